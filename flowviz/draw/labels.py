"""Labels that find a free place beside what they name."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, pi, sin

from matplotlib.axes import Axes
from matplotlib.transforms import Bbox

from flowviz.draw.lettering import drawable, style
from flowviz.draw.theme import INK, PAPER, SMALL

DISTANCES = (0.0, 4.0, 12.0, 24.0, 40.0, 60.0, 90.0)  # between what is named and the label [pt]
WAYS = 16  # directions that are tried
LED = 10.0  # from this distance on a line leads to what is named [pt]
COVERING, STRAYING, HIDING = 3.0, 40.0, 200.0  # costs of covering a mark, leaving the picture, hiding a label
FAR, AVERSE = 0.03, 1.0  # costs of a point's distance, and of the way opposite to the one that is liked


@dataclass(frozen=True, slots=True)
class Label:
    """A text and what it names."""

    text: str
    at: tuple[float, float]  # in the data of the axes
    box: str = "round,pad=0.25"
    size: float = SMALL
    weight: str = "normal"
    ink: str = INK
    paper: str = PAPER
    edge: str = INK
    turn: float = 0.0  # of the text [°]
    nearest: float = 0.0  # that it may come to what it names [pt]
    lean: tuple[float, float] = (0.0, 1.0)  # unit vector of the way it likes to stand off


def place(axes: Axes, labels: Sequence[Label], within: Bbox, marks: Sequence[Bbox] = ()) -> None:
    """Write the labels, the first with the first choice of places; within and marks to be spared are in pixels."""
    taken: list[Bbox] = []
    for label in labels:
        width, height = measured(axes, label)
        places = candidates(axes, label, width, height)
        offset, box = min(places, key=lambda found: cost(found[0], found[1], label, within, marks, taken))
        written(axes, label, offset, box)
        taken.append(box)


def measured(axes: Axes, label: Label) -> tuple[float, float]:
    """Width and height of a label with its frame in pixels."""
    text = axes.text(0, 0, drawable(label.text), bbox={"boxstyle": label.box}, **setting(label))
    text.get_window_extent(axes.figure.canvas.get_renderer())
    text.update_bbox_position_size(axes.figure.canvas.get_renderer())
    box = text.get_bbox_patch().get_window_extent(axes.figure.canvas.get_renderer())
    text.remove()
    return box.width, box.height


def candidates(axes: Axes, label: Label, width: float, height: float) -> list[tuple[tuple[float, float], Bbox]]:
    """Offsets of the label's middle from what it names [pt], and the boxes it would take in pixels."""
    per_point = axes.figure.dpi / 72
    x, y = axes.transData.transform(label.at)
    found = []
    for distance in (distance for distance in DISTANCES if distance >= label.nearest):
        for way in range(WAYS if distance else 1):
            dx, dy = cos(2 * pi * way / WAYS), sin(2 * pi * way / WAYS)
            reach = 0.0 if distance == 0 else 1.0
            right = dx * (distance * per_point) + reach * clamped(dx) * width / 2
            up = dy * (distance * per_point) + reach * clamped(dy) * height / 2
            box = Bbox.from_bounds(x + right - width / 2, y + up - height / 2, width, height)
            found.append(((right / per_point, up / per_point), box))
    return found


def clamped(part: float) -> float:
    """A part of a unit vector stretched so that a box touches with its side, not with its corner."""
    return max(-1.0, min(1.0, 1.5 * part))


def cost(
    offset: tuple[float, float], box: Bbox, label: Label, within: Bbox, marks: Sequence[Bbox], taken: Sequence[Bbox]
) -> float:
    """How bad a place is."""
    right, up = offset
    distance = (right**2 + up**2) ** 0.5
    against = 0.0 if distance == 0 else AVERSE * (1 - (right * label.lean[0] + up * label.lean[1]) / distance) / 2
    return (
        FAR * distance
        + against
        + HIDING * sum(share_covered(box, other) for other in taken)
        + COVERING * sum(share_covered(box, other) for other in marks)
        + STRAYING * (1 - share_covered(box, within))
    )


def share_covered(box: Bbox, other: Bbox) -> float:
    """Share of a box that lies in another."""
    common = Bbox.intersection(box, other)
    return 0.0 if common is None else common.width * common.height / (box.width * box.height)


def written(axes: Axes, label: Label, offset: tuple[float, float], box: Bbox) -> None:
    """The label set at an offset [pt] from what it names, with a line to it if it is far."""
    x, y = axes.transData.transform(label.at)
    gap = max(box.x0 - x, x - box.x1, box.y0 - y, y - box.y1, 0.0) * 72 / axes.figure.dpi
    line = {"arrowstyle": "-", "color": INK, "linewidth": 0.8, "shrinkA": 0, "shrinkB": 0} if gap >= LED else None
    axes.annotate(
        drawable(label.text),
        xy=label.at,
        xytext=offset,
        textcoords="offset points",
        arrowprops=line,
        bbox={"boxstyle": label.box, "facecolor": label.paper, "edgecolor": label.edge, "linewidth": 0.7},
        zorder=10,
        annotation_clip=False,
        **setting(label),
    )


def setting(label: Label) -> dict[str, object]:
    """How the letters of a label are set."""
    return style(label.text, label.size, label.ink, weight=label.weight, ha="center", va="center", rotation=label.turn)
