"""The table of the place that a tank stands in."""

from typing import Annotated

from pydantic import AfterValidator, Field

from flowviz.scene.schema.values import Area, Coordinate, Extent, Number, Power, Table, TableError

HIGHEST, LOWEST = 5000.0, -450.0  # where people live, over the sea [m]


def _inhabited(altitude: float) -> float:
    if not LOWEST <= altitude <= HIGHEST:
        raise TableError("", f"comes to {altitude:.4g} m", f"Write {LOWEST:g} to {HIGHEST:g} m above the sea")
    return altitude


class SiteTable(Table):
    """[site]"""

    altitude: Annotated[Coordinate, AfterValidator(_inhabited)] = 0.0
    room: Area | None = None
    price: Annotated[Number, Field(gt=0)] | None = None
    chiller: Power | None = None
    siphon_break: Extent = 0.03
