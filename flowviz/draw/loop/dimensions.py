"""Dimensions in a drawing to scale: how far each hole is from two edges, in a row of figures beside each."""

from collections.abc import Iterable, Mapping

from flowviz.draw.loop.paper import Sheet, measure
from flowviz.draw.loop.spacing import apart
from flowviz.draw.sheets.theme import QUIET
from flowviz.units import System

ROOM = 20.0  # that a row of figures takes beside the panel [mm]
GAP, KNEE, END = 3.6, 3.0, 7.0  # between figures; from the panel to the bend of their lines, and to their end [mm]
SIZE = 7.5  # of the figures [pt]
SAME = 5e-4  # places that differ by less are told as one [m]

Places = Mapping[float, tuple[float, float]]  # distance from an edge [m] to where on the paper its line begins [mm]


def draw_across(sheet: Sheet, places: Places, edge: float, show: System) -> None:
    """Distances from the left edge, under the panel, whose lower edge lies at a height on the paper [mm]."""
    moved = apart([across for across, _ in places.values()], GAP)
    for (distance, (across, up)), x in zip(places.items(), moved, strict=True):
        sheet.line([(across, up), (across, edge - KNEE), (x, edge - END)], 0.4, color=QUIET)
        sheet.text(x, edge - END - 0.8, measure(distance, show), SIZE, rotation=90, ha="center", va="top")


def draw_up(sheet: Sheet, places: Places, edge: float, show: System) -> None:
    """Distances from the lower edge, to the left of the panel, whose left edge lies at a place on the paper [mm]."""
    moved = apart([up for _, up in places.values()], GAP)
    for (distance, (across, up)), y in zip(places.items(), moved, strict=True):
        sheet.line([(across, up), (edge - KNEE, up), (edge - END, y)], 0.4, color=QUIET)
        sheet.text(edge - END - 0.8, y, measure(distance, show), SIZE, ha="right", va="center")


def farthest(holes: Iterable[tuple[float, float]]) -> Mapping[float, float]:
    """Distances from one edge [m] with the largest distance from the other [m] at which there is a hole; those that
    differ by less than a shop can measure as one.
    """
    found: dict[float, float] = {}
    for distance, other in sorted(holes):
        near = next((each for each in found if abs(each - distance) < SAME), distance)
        found[near] = max(found.get(near, other), other)
    return found
