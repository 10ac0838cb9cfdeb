"""Sheets for the glass shop: each drilled panel to scale, its holes dimensioned, and the rules kept or broken."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from matplotlib.patches import Circle, Polygon
from matplotlib.transforms import Bbox

from flowviz.draw.loop.dimensions import ROOM, draw_across, draw_up, farthest
from flowviz.draw.loop.hole_table import SIZE, draw_table, most_rows, row_height, rule_words
from flowviz.draw.loop.paper import (
    INCH,
    MARGIN,
    MM,
    PAPERS,
    Paper,
    Sheet,
    draw_check_bar,
    empty_sheet,
    fitting_scale,
    measure,
)
from flowviz.draw.loop.titles import holes_description, holes_title
from flowviz.draw.sheets.labels import Label, place
from flowviz.draw.sheets.lettering import short
from flowviz.draw.sheets.paragraphs import Text, folded
from flowviz.draw.sheets.theme import INK, PAPER, QUIET
from flowviz.draw.sheets.view import View
from flowviz.draw.sheets.wording import badges
from flowviz.plumbing.dossier import Dossier
from flowviz.plumbing.holes import NEVER, NEVER_DRILL, NO_PROOF, NOT_DESCRIBED, Hole, PanelSheet, cut_out, without_size
from flowviz.scene.model import Panel, Scene
from flowviz.units import System

HEAD, FOOT = 27.0, 35.0  # of the sheet, for its title, and for rules, cautions and the check bar [mm]
TABLE = 0.42  # of the sheet between them, that the table may take
TOP, SIDE = 8.0, 12.0  # room over the panel and to its right, for its own size [mm]
PANE = "#eef2f4"
TITLE, WORDS, TINY = 13.0, 8.5, 7.0  # sizes of letters [pt]
RULE_LINES = 4  # for the rules, at most
OVER_ALL = 20  # where the mark of a panel lies that must not be drilled
WEIGHT = 20  # of covering a hole by a label, over that of covering anything else
NAMED, CROWDED = 165.0, 0.25  # what a name takes of the sheet [mm²], and share of a panel that all may take
CUT_OUT, NO_HOLE_TOLD = "for it is cut out, not drilled", "for the scene tells no hole"  # why an opening is missing
CROSS = 1.6  # how far the centre lines of a hole reach beyond its rim [mm]


@dataclass(frozen=True, slots=True)
class Ground:
    """Where a panel lies on the paper."""

    left: float  # [mm]
    bottom: float  # [mm]
    scale: int  # one to so many

    def at(self, along: float, up: float) -> tuple[float, float]:
        """A place on the panel [m] on the paper [mm]."""
        return self.left + self.on_paper(along), self.bottom + self.on_paper(up)

    def on_paper(self, length: float) -> float:
        """A length [m] on the paper [mm]."""
        return length / (self.scale * MM)


def hole_views(scene: Scene, dossier: Dossier) -> Iterator[tuple[str, View]]:
    """The sheets of all drilled panels, by the panels' names and, of many holes, the sheets' numbers."""
    for panel in dossier.sheets:
        yield panel.panel, hole_view(scene, panel)
        for number, holes in enumerate(shares(panel, scene.show)[1:], start=2):
            yield f"{panel.panel}, sheet {number}", table_view(scene, panel, holes, number)


def shares(panel: PanelSheet, show: System) -> list[tuple[Hole, ...]]:
    """The holes in the table on the panel's sheet, and on each further one that they take."""
    middle = middle_of(PAPERS[show])
    first, most = most_rows(TABLE * middle), most_rows(middle)
    starts = [0, *range(first, len(panel.holes), most)]
    return [panel.holes[start:end] for start, end in zip(starts, [*starts[1:], None], strict=True)]


def middle_of(paper: Paper) -> float:
    """Height of a paper between what stands over and under a drawing [mm]."""
    return paper.height - HEAD - FOOT


def table_view(scene: Scene, panel: PanelSheet, holes: Sequence[Hole], number: int) -> View:
    """A further sheet of a panel, on which its table goes on."""
    sheet, title = empty_sheet(scene.show), holes_title(panel)
    top = sheet.paper.height - MARGIN
    sheet.text(MARGIN, top, title, TITLE, weight="bold", va="top")
    words = f"{short(scene.title, 70)}. Panel {panel.panel}, sheet {number}: the table goes on."
    sheet.text(MARGIN, top - 6.2, words, WORDS, va="top")
    row = row_height(len(holes), middle_of(sheet.paper))
    draw_table(sheet, panel, holes, badges(scene), scene.show, (MARGIN, sheet.paper.height - HEAD), row)
    draw_foot(sheet, panel)
    return View(sheet.figure, title, f"{title}. {words}")


def hole_view(scene: Scene, panel: PanelSheet) -> View:
    """The sheet of a panel with its drawing."""
    sheet, title = empty_sheet(scene.show), holes_title(panel)
    middle, holes = middle_of(sheet.paper), shares(panel, scene.show)[0]
    row = row_height(len(holes), TABLE * middle)
    table = row * (len(holes) + 1)
    room = sheet.paper.width - 2 * MARGIN - ROOM - SIDE, middle - table - ROOM - TOP
    scale = fitting_scale(sheet.paper, (panel.width, panel.height), room)
    wide, tall = (side / (scale * MM) for side in (panel.width, panel.height))
    ground = Ground(MARGIN + ROOM + (room[0] - wide) / 2, FOOT + table + ROOM + (room[1] - tall) / 2, scale)
    draw_head(sheet, scene, panel, title, scale)
    draw_panel(sheet, scene, panel, ground)
    draw_sizes(sheet, panel, ground, scene.show)
    draw_holes(sheet, panel, ground, badges(scene), scene.show)
    draw_table(sheet, panel, holes, badges(scene), scene.show, (MARGIN, FOOT + table), row)
    draw_foot(sheet, panel)
    return View(sheet.figure, title, f"{title}. {holes_description(scene, panel, scale)}")


def draw_head(sheet: Sheet, scene: Scene, panel: PanelSheet, title: str, scale: int) -> None:
    """What the sheet is about."""
    top = sheet.paper.height - MARGIN
    unit = "mm" if scene.show == "metric" else "inches"
    sheet.text(MARGIN, top, title, TITLE, weight="bold", va="top")
    pane = NOT_DESCRIBED if panel.described is None else pane_words(panel.described, scene.show)
    about = f"{short(scene.title, 70)}. Panel {panel.panel}, {pane}, {seen(scene, panel)}."
    sheet.text(MARGIN, top - 6.2, about, WORDS, va="top")
    told = f"Scale 1:{scale} on {sheet.paper.name}. All figures in {unit}, {inside(scene, panel)}."
    sheet.text(MARGIN, top - 10.4, told, WORDS, va="top")
    sheet.text(MARGIN, top - 14.6, " ".join(_more(scene, panel)), WORDS, colour=QUIET, va="top")


def _more(scene: Scene, panel: PanelSheet) -> Iterator[str]:
    """What else must be said of a sheet."""
    if any(hole.checks for hole in panel.holes):
        yield "Dotted: what the edge rule asks to be left round each hole."
    if panel.described is None:
        name = panel.panel if " " not in panel.panel else f'"{panel.panel}"'
        yield f"No rule is checked: write [tank.panels.{name}] with material and thickness, of glass tempered too."
    if len(shares(panel, scene.show)) > 1:
        yield "The table goes on on sheet 2."
    here = {each.name for each in scene.openings if each.panel == panel.panel}
    for why, names in ((CUT_OUT, cut_out(scene)), (NO_HOLE_TOLD, without_size(scene))):
        missing = [short(name) for name in names if name in here]
        if missing:
            yield f"Not drawn, {why}: {', '.join(missing)}."


def seen(scene: Scene, panel: PanelSheet) -> str:
    """How the panel is looked at."""
    if panel.panel == "floor":
        return "SEEN FROM ABOVE, from inside the tank, the front below"
    if not scene.tank.plan.walls:
        return "SEEN FROM OUTSIDE, rolled flat from the point at the tank's right end"
    return "SEEN FROM OUTSIDE"


def inside(scene: Scene, panel: PanelSheet) -> str:
    """That lengths are told of the tank's inside, and what they are outside on a round wall, which is wider there."""
    if panel.panel == "floor" or scene.tank.plan.walls:
        return "from the tank's inside edges: the pane itself is larger"
    if panel.described is None:
        return "those along the wall on its INSIDE: outside these are longer by as much as it is wider"
    longer = 1 + 2 * panel.described.thickness / scene.tank.plan.size[0]
    return f"those along the wall on its INSIDE: outside take these times {longer:.4f}"


def pane_words(pane: Panel, show: System) -> str:
    """What a panel is made of."""
    tempered = "tempered " if pane.tempered else ""
    return f"{tempered}{pane.material}, {measure(pane.thickness, show)} {'mm ' if show == 'metric' else ''}thick"


def draw_panel(sheet: Sheet, scene: Scene, panel: PanelSheet, ground: Ground) -> None:
    """The pane with its water line; one that must not be drilled is crossed through."""
    corners = [(0.0, 0.0), (panel.width, 0.0), (panel.width, panel.height), (0.0, panel.height)]
    outline = scene.tank.plan.outline() if panel.panel == "floor" else corners
    points = [ground.at(*corner) for corner in outline]
    look = {"facecolor": PANE, "edgecolor": INK, "linewidth": 1.4, "zorder": 1}
    sheet.axes.add_patch(Polygon(points, closed=True, gid="panel", **look))
    if panel.panel != "floor":
        level = scene.tank.depth
        sheet.line([ground.at(0, level), ground.at(panel.width, level)], 0.5, (0, (6, 3)), color=QUIET)
        across, up = ground.at(0, level)
        sheet.text(across - 1, up, "water", TINY, colour=QUIET, ha="right", va="center")
    if panel.tempered:
        for ends in ((corners[0], corners[2]), (corners[1], corners[3])):
            sheet.line([ground.at(*end) for end in ends], 3.0, zorder=OVER_ALL - 1)
        middle = ground.at(panel.width / 2, panel.height / 2)
        box = {"boxstyle": "square,pad=0.4", "facecolor": PAPER, "edgecolor": INK, "linewidth": 2.0}
        look = {"weight": "bold", "ha": "center", "va": "center", "bbox": box, "zorder": OVER_ALL}
        sheet.text(*middle, NEVER_DRILL.upper(), 20, **look)


def draw_sizes(sheet: Sheet, panel: PanelSheet, ground: Ground, show: System) -> None:
    """The panel's own width over it, and its height to the right."""
    (left, bottom), (right, top) = ground.at(0, 0), ground.at(panel.width, panel.height)
    look = {"arrowstyle": "<->", "color": INK, "linewidth": 0.6, "shrinkA": 0, "shrinkB": 0, "mutation_scale": 7}
    for start, end in (((left, top + 3), (right, top + 3)), ((right + 3, bottom), (right + 3, top))):
        sheet.axes.annotate("", xy=end, xytext=start, arrowprops=look)
    sheet.text((left + right) / 2, top + 3.6, measure(panel.width, show), WORDS, ha="center", va="bottom")
    beside = {"rotation": 90, "ha": "left", "va": "center"}
    sheet.text(right + 4.0, (bottom + top) / 2, measure(panel.height, show), WORDS, **beside)


def draw_holes(sheet: Sheet, panel: PanelSheet, ground: Ground, letters: Mapping[str, str], show: System) -> None:
    """The holes with their centre lines, dimensions and names; broken rules by a heavy rim and a word."""
    right = farthest((hole.along, hole.up) for hole in panel.holes)
    up = farthest((hole.up, hole.along) for hole in panel.holes)
    draw_across(sheet, {along: ground.at(along, high) for along, high in right.items()}, ground.bottom, show)
    draw_up(sheet, {high: ground.at(along, high) for high, along in up.items()}, ground.left, show)
    for number, hole in enumerate(panel.holes, start=1):
        draw_hole(sheet, hole, ground, number)
    label = letter_label if is_crowded(panel, ground) else hole_label
    labels = [label(hole, ground, letters[hole.opening], show) for hole in panel.holes]
    circles = (patch for patch in sheet.axes.patches if isinstance(patch, Circle) and patch.get_fill())
    spared = [circle.get_window_extent() for circle in circles] * WEIGHT
    (left, low), (far, high) = ground.at(0, 0), ground.at(panel.width, panel.height)
    within = sheet.axes.transData.transform([(left, low), (far, high)])
    figures = [text.get_window_extent() for text in sheet.axes.texts if text.get_text()]
    place(sheet.axes, labels, Bbox(within), spared, figures)


def is_crowded(panel: PanelSheet, ground: Ground) -> bool:
    """Whether the names of all holes would hide too much of a panel; the table has them too."""
    area = ground.on_paper(panel.width) * ground.on_paper(panel.height)
    return len(panel.holes) * NAMED > CROWDED * area


def draw_hole(sheet: Sheet, hole: Hole, ground: Ground, number: int) -> None:
    """A hole with its centre lines, and around it what the strictest rule asks to be left."""
    centre, radius = ground.at(hole.along, hole.up), ground.on_paper(hole.diameter / 2)
    look = {"facecolor": PAPER, "edgecolor": INK, "linewidth": 2.6 if is_broken(hole) else 1.1, "zorder": 4}
    sheet.axes.add_patch(Circle(centre, radius, gid=f"hole {number}", **look))
    for across, up in ((1, 0), (0, 1)):
        reach = radius + CROSS
        ends = [(centre[0] + side * across * reach, centre[1] + side * up * reach) for side in (-1, 1)]
        sheet.line(ends, 0.4, (0, (5, 1, 1, 1)), zorder=5)
    asked = [check.least for check in hole.checks if check.rule.what == "edge"]
    if asked:
        kept_free = radius + ground.on_paper(max(asked))
        sheet.axes.add_patch(
            Circle(centre, kept_free, fill=False, edgecolor=QUIET, linewidth=0.5, linestyle=(0, (2, 2)))
        )


def hole_label(hole: Hole, ground: Ground, letter: str, show: System) -> Label:
    """Name and diameter of a hole."""
    words = f"{letter}  {short(hole.opening, 16)}\nØ {measure(hole.diameter, show)}"
    words += "\nRULE BROKEN" if is_broken(hole) else ""
    return replace(letter_label(hole, ground, letter, show), text=words)


def letter_label(hole: Hole, ground: Ground, letter: str, _: System) -> Label:
    """The letter of a hole, white on black where a rule is broken."""
    ink, paper = (PAPER, INK) if is_broken(hole) else (INK, PAPER)
    clear = ground.on_paper(hole.diameter / 2) * 72 / 25.4 + 3
    at = ground.at(hole.along, hole.up)
    return Label(letter, at, size=SIZE, ink=ink, paper=paper, nearest=clear, lean=(0.7, 0.7))


def is_broken(hole: Hole) -> bool:
    """Whether a hole breaks a rule."""
    return any(not check.kept for check in hole.checks)


def draw_foot(sheet: Sheet, panel: PanelSheet) -> None:
    """Rules, cautions and the check bar."""
    rules = Text("  ".join(f"{rule}." for rule in rule_words(panel)), TINY, most=RULE_LINES)
    lines = folded(rules, (sheet.paper.width - 2 * MARGIN) * MM / INCH, sheet.figure)
    for number, line in enumerate(lines):
        sheet.text(MARGIN, FOOT - 3.0 - 2.7 * number, line, TINY, colour=QUIET, va="top")
    caution = f"{NO_PROOF} {NEVER if panel.tempered else ''}".strip()
    sheet.text(MARGIN, MARGIN + 6.2, caution, WORDS, weight="bold", va="bottom")
    draw_check_bar(sheet, MARGIN, MARGIN)
