"""Where the head goes: the grade line on the way to an outlet, and the parts that take most."""

from collections.abc import Mapping, Sequence

from matplotlib.axes import Axes

from flowviz.draw.loop.grade import draw_grade, names_height, suction_labels
from flowviz.draw.loop.page import page
from flowviz.draw.loop.profile import Profile, profile
from flowviz.draw.loop.titles import head_description, head_title, heads_title
from flowviz.draw.loop.words import costliest, head_words, part_words, subject
from flowviz.draw.sheets.lettering import drawable, short, style
from flowviz.draw.sheets.theme import INK, SMALL
from flowviz.draw.sheets.view import View, head
from flowviz.plumbing.circuits import circuit_of, even_shares
from flowviz.plumbing.dossier import Dossier
from flowviz.plumbing.grade import Loss
from flowviz.plumbing.loop import Loop
from flowviz.plumbing.pipes import pipe_name
from flowviz.scene.model import Scene
from flowviz.units import percent

WIDTH, HEIGHT = 6.6, 4.2  # of the chart [in]
LEFT, RIGHT, FIGURES = 0.65, 0.6, 0.6  # room beside it and under it for figures and names [in]
BARS, BAR = 8, 0.25  # costliest parts that are told, and the height of each [in]
BAR_WORDS, BAR_LETTERS = 3.9, 53  # width of what is written beside the bars [in], and letters of it at most
BAR_GREY = "#a9b0b6"
LABELS, LABELS_SMALL = 9, 3  # parts that are named on a line at most, alone and beside others
MOST, OF_A_PAGE = 8, 4  # charts beside each other, and of them on one page
SMALL_SIZE = (2.75, 2.6)  # of each of several charts [in]
FOOT = (
    "Line: total head, from the tank's water surface; what a pipe's fittings take is drawn at its end; heavy: the "
    "costliest pipe. Grey ground: how high the way lies."
)
OF_ONE = (
    f"{FOOT} Broken lines: the ways to the other outlets of its loop. Pressures are heights of water, less what the "
    "water's speed takes."
)


def head_view(scene: Scene, dossier: Dossier) -> View:
    """Where the head goes on the way to the outlet that is told about, and in the whole loop."""
    ways = profiles(scene, dossier)
    main = ways[told_outlet(scene, dossier)]
    title = head_title(scene, dossier.loop, main)
    told = dossier.losses[:BARS]
    below = FIGURES + BAR * (len(told) + 2)
    where = f"{subject(scene, 60)}: on the way from {short(main.line.intake)} to {short(main.line.outlet)}"
    made = page(LEFT + WIDTH + RIGHT, below + HEIGHT + names_height([main]), head(title, where), (OF_ONE,))
    own = circuit_of(main.line.outlet, dossier.loop).openings
    others = [way for way in ways.values() if way is not main and way.line.outlet in own]
    axes = made.axes(LEFT, below, WIDTH, HEIGHT)
    pressures = suction_labels(axes, scene, dossier.loop, main)
    draw_grade(axes, scene, dossier.loop, main, others, LABELS, pressures)
    draw_bars(made.axes(0, 0, LEFT + WIDTH + RIGHT, BAR * (len(told) + 1)), told, scene, dossier.loop)
    return View(made.figure, title, f"{title}. {head_description(scene, dossier)}")


def heads_views(scene: Scene, dossier: Dossier) -> tuple[View, ...]:
    """The grade lines beside each other: those whose pipes and fittings take the largest shares first."""
    ways = sorted(profiles(scene, dossier).values(), key=lambda way: -way.before_outlet / way.lift)[:MOST]
    title = heads_title(ways)
    return tuple(
        _charts_view(scene, dossier, ways[first : first + OF_A_PAGE], title) for first in range(0, len(ways), OF_A_PAGE)
    )


def _charts_view(scene: Scene, dossier: Dossier, ways: Sequence[Profile], title: str) -> View:
    """A page of grade lines."""
    rows = -(-len(ways) // 2)
    wide, tall = SMALL_SIZE[0] + LEFT + RIGHT, SMALL_SIZE[1] + names_height(ways) + FIGURES
    made = page(2 * wide, tall * rows, head(title, subject(scene)), (FOOT,))
    for number, way in enumerate(ways):
        down, across = divmod(number, 2)
        axes = made.axes(LEFT + across * wide, FIGURES + (rows - 1 - down) * tall, *SMALL_SIZE)
        draw_grade(axes, scene, dossier.loop, way, (), LABELS_SMALL)
    return View(made.figure, title, f"{title}. {head_description(scene, dossier)}")


def profiles(scene: Scene, dossier: Dossier) -> Mapping[str, Profile]:
    """The ways to all outlets that get water, by outlet."""
    return {line.outlet: profile(scene, dossier.loop, line) for line in dossier.grade_lines}


def told_outlet(scene: Scene, dossier: Dossier) -> str:
    """The worst off of the outlets whose water comes through the costliest pipe."""
    shares, pipe = even_shares(scene, dossier.loop), costliest(dossier.loop)
    through = [line.outlet for line in dossier.grade_lines if pipe in line.pipes]
    return min(through or [line.outlet for line in dossier.grade_lines], key=shares.__getitem__)


def draw_bars(axes: Axes, told: Sequence[Loss], scene: Scene, loop: Loop) -> None:
    """The costliest parts of the whole loop, by the share of the pumps' power; black those of the costliest pipe."""
    number = costliest(loop)
    worst = "" if number is None else pipe_name(loop.pipes[number])
    wide = axes.get_window_extent().width / axes.figure.dpi
    room = wide - BAR_WORDS - 1.2
    axes.set(xlim=(0, wide), ylim=(-len(told) - 0.5, 0.5))
    axes.axis("off")
    where = "in all loops together" if len(loop.circuits) > 1 else "in the whole loop"
    heading = f"Shares of the power that the pumps give the water, {where}, and the head"
    axes.text(0, 0, heading, **style(heading, SMALL, INK, weight="bold", va="center"))
    for row, loss in enumerate(told, start=1):
        words = short(f"{part_words(loss.part, scene)}, {loss.where}", BAR_LETTERS)
        axes.text(0, -row, drawable(words), **style(words, SMALL, INK, va="center"))
        length = room * loss.share / told[0].share
        axes.barh(-row, length, 0.62, BAR_WORDS, color=INK if loss.where == worst else BAR_GREY)
        figure = f"{percent(loss.share)}  {head_words(loss.head, scene.show)}"
        axes.text(BAR_WORDS + length + 0.08, -row, figure, **style(figure, SMALL, INK, va="center"))
