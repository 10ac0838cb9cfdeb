"""Outlets and intakes in flat pictures: badges with the same letter in every picture, and arrows of the jets."""

from dataclasses import dataclass
from math import hypot

import numpy as np
from matplotlib.axes import Axes
from matplotlib.patches import FancyArrowPatch, Polygon
from matplotlib.transforms import Bbox, ScaledTranslation
from scipy.spatial import ConvexHull

from flowviz.draw.flat.slices import SIDES, flat
from flowviz.draw.sheets.labels import Label
from flowviz.draw.sheets.theme import INK, PAPER, SCREEN
from flowviz.scene.apertures import Aperture, Bore
from flowviz.scene.model import Intake, Outlet
from flowviz.scene.panels import frame
from flowviz.study import Study

ARROW = "simple,head_length=0.9,head_width=0.9,tail_width=0.3"
LAYER, FRAME = 6, 5.2  # of what openings are drawn with, and of the frames of corals
COVER = 0.004  # thickness that a flat cover is drawn with [m]
SHORTEST = 0.2  # arrow of a jet; longer ones end at the glass [in]
STEEP = 0.35  # share of a direction that lies in the plane, below which it is drawn as a point


@dataclass(frozen=True, slots=True)
class Look:
    """How an opening is drawn."""

    fill: str
    line: str
    width: float  # of its lines [pt]
    length: float  # of its arrow, if that lies in the plane of the picture [in]
    size: float  # of the arrow's head [pt]


HERE = Look(INK, PAPER, 0.9, 0.5, 14)  # in the plane of the picture
ELSEWHERE = Look(PAPER, INK, 0.7, 0.3, 9)


def badge(opening: Outlet | Intake, text: str, axis: int, here: bool) -> Label:
    """The label of an opening: round for outlets, square for intakes; filled if it is in the plane."""
    right, up = flat(opening.normal, axis)
    length = hypot(right, up)
    return Label(
        text,
        flat(opening.centre, axis),
        box="circle,pad=0.25" if isinstance(opening, Outlet) else "square,pad=0.3",
        weight="bold",
        ink=PAPER if here else INK,
        paper=INK if here else PAPER,
        edge=PAPER if here else INK,
        nearest=4.0,
        lean=(-right / length, -up / length) if length > STEEP else (0.0, 1.0),
    )


def draw_opening(axes: Axes, opening: Outlet | Intake, axis: int, here: bool) -> None:
    """The mark of an opening: its rim, and of an outlet the arrow of its jet; hollow if it is not in the plane."""
    look = HERE if here else ELSEWHERE
    draw_rim(axes, opening, axis, look)
    if isinstance(opening, Outlet):
        draw_jet(axes, opening, axis, look)


def shut(study: Study) -> set[str]:
    """Names of the openings that pass nothing."""
    return {name for name, rate in study.loop.rates.items() if rate == 0}


def draw_shut(axes: Axes, opening: Outlet | Intake, axis: int, here: bool) -> None:
    """The mark of an opening that passes nothing: its rim alone."""
    draw_rim(axes, opening, axis, HERE if here else ELSEWHERE)


def draw_rim(axes: Axes, opening: Outlet | Intake, axis: int, look: Look) -> None:
    """The edge of an opening, and the basket over an intake."""
    if isinstance(opening, Intake) and opening.strainer:
        draw_basket(axes, opening, axis, look)
    edge = {"facecolor": look.fill, "edgecolor": INK, "linewidth": look.width}
    axes.add_patch(Polygon(rim(opening)[:, SIDES[axis]], closed=True, zorder=LAYER, **edge))


def draw_basket(axes: Axes, intake: Intake, axis: int, look: Look) -> None:
    """A strainer, dotted if it is not in the plane."""
    points = np.concatenate(basket(intake))[:, SIDES[axis]]
    corners = points[ConvexHull(points).vertices]
    here = {"facecolor": SCREEN, "edgecolor": INK}
    screen = here if look is HERE else {"facecolor": "none", "edgecolor": PAPER, "linestyle": ":"}
    axes.add_patch(Polygon(corners, closed=True, linewidth=1.0, zorder=LAYER, **screen))


def basket(intake: Intake) -> tuple[np.ndarray, np.ndarray]:
    """The rims (n, 3) of a strainer, at its intake and in the water [m]."""
    screen = intake.strainer
    hoop = outline(intake, Bore(screen.diameter))
    return hoop, hoop + np.multiply(max(screen.length, COVER), intake.normal)


def room_taken(axes: Axes) -> list[Bbox]:
    """The boxes of all openings and arrows in a picture, and of the sides of the frames of corals, in pixels."""
    renderer = axes.figure.canvas.get_renderer()
    boxes = {
        layer: [patch.get_window_extent(renderer) for patch in axes.patches if patch.get_zorder() == layer]
        for layer in (LAYER, FRAME)
    }
    return [*boxes[LAYER], *(side for frame in boxes[FRAME] for side in sides_of(frame))]


def sides_of(frame: Bbox) -> list[Bbox]:
    """The sides of a frame, as boxes without width."""
    left, low, right, high = frame.extents
    return [
        Bbox(((a, b), (c, d)))
        for a, b, c, d in (
            (left, low, right, low),
            (left, high, right, high),
            (left, low, left, high),
            (right, low, right, high),
        )
    ]


def rim(opening: Outlet | Intake) -> np.ndarray:
    """Outline (n, 3) of an opening [m]."""
    return outline(opening, opening.aperture)


def outline(opening: Outlet | Intake, shape: Aperture) -> np.ndarray:
    """Outline (n, 3) of a shape round the middle of an opening and in its plane [m]."""
    return opening.centre + shape.outline() @ np.array(frame(opening.normal))


def draw_jet(axes: Axes, outlet: Outlet, axis: int, look: Look) -> None:
    """The way an outlet blows: an arrow, or a ringed point where it blows at the onlooker or away."""
    right, up = flat(outlet.direction, axis)
    at = flat(outlet.centre, axis)
    if hypot(right, up) < STEEP:
        axes.plot(*at, "o", markersize=9, markerfacecolor=look.fill, markeredgecolor=look.line, zorder=LAYER)
        return
    inches = axes.figure.dpi_scale_trans + ScaledTranslation(*at, axes.transData)
    arrow = {"arrowstyle": ARROW, "facecolor": look.fill, "edgecolor": look.line, "linewidth": look.width}
    arrow |= {"mutation_scale": look.size, "shrinkA": 0, "shrinkB": 0}
    length = max(min(look.length, way_to_glass(axes, at, (right, up))), SHORTEST)
    tip = (length * right, length * up)
    axes.add_patch(FancyArrowPatch((0, 0), tip, transform=inches, clip_on=False, zorder=LAYER, **arrow))


def way_to_glass(axes: Axes, at: tuple[float, float], way: tuple[float, float]) -> float:
    """How far it is [in] from a place [m] along a way to an end of the tank: round it all margins are alike."""
    per_metre = axes.get_window_extent().width / axes.figure.dpi / np.ptp(axes.get_xlim())
    sizes = (sum(axes.get_xlim()), sum(axes.get_ylim()))
    rooms = [size - place if part > 0 else place for size, place, part in zip(sizes, at, way, strict=True)]
    return min(per_metre * room / abs(part) for room, part in zip(rooms, way, strict=True) if part)
