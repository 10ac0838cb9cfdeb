"""How often scenes are looked at: often enough to know what chance does.

All by the same random numbers, so that a scene has the same figures alone, before another and after it. Flows of unlike
scenes forget within seconds that they had them in common; as far as they do not, the noise of what they differ by is
less than is reckoned with.
"""

from collections.abc import Mapping

from flowviz.study import Detail, Settings

MARCHES: Mapping[Detail, int] = {  # a fine march looks long enough by itself
    "sketch": 12,
    "coarse": 8,
    "fine": 1,
}


def settings_of(detail: Detail, cell: float | None = None, marches: int | None = None) -> Settings:
    """Of a scene that a command computes.

    cell      edge of a cell [m]; None: chosen from the tank
    marches   None: as many as its level needs
    """
    return Settings(detail, cell, marches=marches or MARCHES[detail])
