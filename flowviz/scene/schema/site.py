"""The table of the place that a tank stands in."""

from typing import Annotated

from pydantic import Field

from flowviz.scene.schema.values import Area, Coordinate, Extent, Number, Power, Table, between

HIGHEST, LOWEST = 5000.0, -450.0  # where people live, over the sea [m]


class SiteTable(Table):
    """[site]"""

    altitude: Annotated[Coordinate, between(LOWEST, HIGHEST, "head")] = 0.0
    room: Area | None = None
    price: Annotated[Number, Field(gt=0)] | None = None
    chiller: Power | None = None
    siphon_break: Extent = 0.03
