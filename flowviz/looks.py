"""How often scenes are looked at: often enough to know what chance does, and no two layouts by the same chance."""

from collections.abc import Mapping

from flowviz.study import Detail, Settings

MARCHES: Mapping[Detail, int] = {  # a fine march looks long enough by itself
    "sketch": 12,
    "coarse": 8,
    "fine": 1,
}


def settings_of(number: int, detail: Detail, cell: float | None = None, marches: int | None = None) -> Settings:
    """Of the n-th of some layouts; 0 is the one that all others are held against, or the only one.

    cell      edge of a cell [m]; None: chosen from the tank
    marches   of each layout; None: as many as its level needs
    """
    count = marches or MARCHES[detail]
    return Settings(detail, cell, seed=number * count, marches=count)
