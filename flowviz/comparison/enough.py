"""How the layouts of a comparison are computed: each looked at often enough, and no two by the same chance."""

from collections.abc import Mapping

from flowviz.study import Detail, Settings

MARCHES: Mapping[Detail, int] = {  # a fine march looks long enough by itself
    "sketch": 12,
    "coarse": 8,
    "fine": 1,
}


def settings_of(number: int, detail: Detail, cell: float | None = None, marches: int | None = None) -> Settings:
    """Of the n-th layout of a comparison; 0 is the one that all others are held against.

    cell      edge of a cell [m]; None: chosen from the tank
    marches   of each layout; None: as many as its level needs
    """
    count = marches or MARCHES[detail]
    return Settings(detail, cell, seed=number * count, marches=count)
