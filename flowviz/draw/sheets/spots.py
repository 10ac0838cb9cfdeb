"""Free places for labels: near what they name if there is one, else anywhere in the picture. All in pixels."""

from dataclasses import dataclass, field

import numpy as np

ELSEWHERE = 24  # rows and columns of places that are tried all over the picture where none near is free
COVERING, STRAYING, CROSSING = 3.0, 40.0, 5.0  # costs of covering a mark, leaving the picture, a line under a label
TOUCHING = 0.5  # cost of touching a mark, however little of the label lies on it
HIDING = 1e3  # cost of touching a label, and as much again for hiding all of it
FAR, AVERSE = 0.015, 1.0  # costs of a pixel's distance, and of the way opposite to the one that is liked
FINALISTS = 32  # places whose lines are looked at
ALONG = np.linspace(0.0, 1.0, 65)  # places on a leading line that are looked at


def no_boxes() -> np.ndarray:
    """None yet."""
    return np.empty((0, 4))


def no_points() -> np.ndarray:
    """None yet."""
    return np.empty((0, 2))


@dataclass(frozen=True, slots=True, eq=False)
class Taken:
    """What a further label keeps clear of."""

    within: np.ndarray  # box of the picture (4,)
    marks: np.ndarray  # boxes (n, 4) that are better not covered
    fixed: np.ndarray = field(default_factory=no_boxes)  # boxes (n, 4) that neither label nor line may touch
    labels: np.ndarray = field(default_factory=no_boxes)  # boxes (n, 4) that must not be
    leads: np.ndarray = field(default_factory=no_points)  # points (n, 2) of the lines that lead to what is named

    def and_also(self, spot: "Spot") -> "Taken":
        """With a further label."""
        labels, leads = np.vstack((self.labels, spot.box)), np.vstack((self.leads, spot.lead))
        return Taken(self.within, self.marks, self.fixed, labels, leads)


@dataclass(frozen=True, slots=True, eq=False)
class Spot:
    """A place for a label."""

    box: np.ndarray  # (4,)
    lead: np.ndarray  # points (n, 2) of the line from what is named to the label; none where that is near


@dataclass(frozen=True, slots=True, eq=False)
class Wish:
    """What a label names, and where it would like to be."""

    anchors: np.ndarray  # what it names (n, 2), what it likes best first
    size: np.ndarray  # of the label (2,)
    lean: tuple[float, float]  # unit vector of the way it likes to stand off
    led: float  # from this distance on a line leads to it


def find_spot(wish: Wish, offsets: np.ndarray, taken: Taken) -> Spot:
    """The best place at one of the offsets (n, 2) from what is named; if none there is free, anywhere."""
    near = np.vstack([anchor + offsets for anchor in wish.anchors])
    spot, cost = best(wish, near, np.tile(nearness(wish, offsets), len(wish.anchors)), taken)
    if cost < HIDING:
        return spot
    anywhere = all_over(wish.size, taken.within)
    return best(wish, anywhere, nearness(wish, anywhere - wish.anchors[0]), taken)[0]


def best(wish: Wish, middles: np.ndarray, far: np.ndarray, taken: Taken) -> tuple[Spot, float]:
    """Of places by their middles (n, 2) the best, and what it costs; far is what their distance costs (n,)."""
    boxes = np.hstack((middles - wish.size / 2, middles + wish.size / 2))
    costs = far + cover(boxes, taken)
    few = np.argsort(costs, kind="stable")[:FINALISTS]
    leads = led(wish, middles[few])
    costs = costs[few] + CROSSING * crossings(boxes[few], leads, taken) + HIDING * under(leads, taken.fixed)
    first = np.argmin(costs)
    lead = leads[first]
    return Spot(boxes[few[first]], lead[~np.isnan(lead[:, 0])]), float(costs[first])


def all_over(size: np.ndarray, within: np.ndarray) -> np.ndarray:
    """Middles (n, 2) of places all over the picture."""
    low, high = within[:2] + size / 2, within[2:] - size / 2
    across, up = np.linspace(low, high, ELSEWHERE).T
    return np.stack(np.meshgrid(across, up), axis=-1).reshape(-1, 2)


def led(wish: Wish, middles: np.ndarray) -> np.ndarray:
    """Points of the lines to labels with these middles: (n, m, 2); not a number where a label is so near that none is.

    They end at the label's edge.
    """
    at = wish.anchors[0]
    ways = middles - at
    gap = (np.abs(ways) - wish.size / 2).max(axis=1)
    within = (wish.size / 2 / np.maximum(np.abs(ways), 1e-9)).min(axis=1)  # share of the way that lies in the label
    outside = np.where(gap >= wish.led, 1 - within, np.nan)
    return at + ALONG[:, None] * (outside[:, None] * ways)[:, None]


def nearness(wish: Wish, offsets: np.ndarray) -> np.ndarray:
    """What distance and direction cost (n,)."""
    distance = np.linalg.norm(offsets, axis=1)
    against = np.where(distance > 0, 1 - offsets @ wish.lean / np.maximum(distance, 1), 0) / 2
    return FAR * distance + AVERSE * against


def cover(boxes: np.ndarray, taken: Taken) -> np.ndarray:
    """What it costs that boxes cover or leave what they should not (n,)."""
    hidden = covered(boxes, np.vstack((taken.labels, taken.fixed)))
    return (
        HIDING * ((hidden > 0) + hidden).sum(axis=1)
        + COVERING * covered(boxes, taken.marks).sum(axis=1)
        + TOUCHING * touched(boxes, taken.marks).sum(axis=1)
        + STRAYING * (1 - covered(boxes, taken.within[None])[:, 0])
    )


def touched(boxes: np.ndarray, others: np.ndarray) -> np.ndarray:
    """Which boxes (n, 4) meet which of the others (m, 4), which may be lines: (n, m) bool."""
    return ((boxes[:, None, :2] < others[:, 2:]) & (boxes[:, None, 2:] > others[:, :2])).all(axis=-1)


def crossings(boxes: np.ndarray, leads: np.ndarray, taken: Taken) -> np.ndarray:
    """How many labels the lines (n, m, 2) to boxes run under, and whether others run under these (n,)."""
    return under(leads, taken.labels) + held(taken.leads, boxes).any(axis=0)


def under(leads: np.ndarray, boxes: np.ndarray) -> np.ndarray:
    """How many of the boxes each of the lines (n, m, 2) runs through (n,)."""
    return held(leads.reshape(-1, 2), boxes).reshape(*leads.shape[:2], -1).any(axis=1).sum(axis=1)


def covered(boxes: np.ndarray, others: np.ndarray) -> np.ndarray:
    """Share of each box (n, 4) that lies in each of the others (m, 4): (n, m)."""
    low = np.maximum(boxes[:, None, :2], others[:, :2])
    high = np.minimum(boxes[:, None, 2:], others[:, 2:])
    area = np.prod(np.maximum(high - low, 0), axis=-1)
    return area / np.prod(boxes[:, None, 2:] - boxes[:, None, :2], axis=-1)


def held(points: np.ndarray, boxes: np.ndarray) -> np.ndarray:
    """Which points (n, 2) lie in which boxes (m, 4): (n, m) bool."""
    return ((points[:, None] > boxes[:, :2]) & (points[:, None] < boxes[:, 2:])).all(axis=-1)
