"""The tables of outlets and intakes."""

from typing import Literal, Self

from pydantic import model_validator

from flowviz.scene.schema.values import Extent, Flow, Length, Number, Place, Share, Table, TableError, Text, just_one


class StrainerTable(Table):
    """The strainer of an [[intake]]."""

    shape: Literal["basket", "flat"]
    diameter: Length
    length: Extent = 0.0
    open_area: Share
    slot: Length

    @model_validator(mode="after")
    def _length_by_shape(self) -> Self:
        if self.shape == "basket" and not self.length:
            remedy = 'Write how far the basket stands into the tank, as length = "120 mm"'
            raise TableError("length", "is missing", remedy)
        return self


class OpeningTable(Table):
    """What [[outlet]] and [[intake]] have in common."""

    name: Text
    at: Place
    direction: tuple[Number, Number, Number] | None = None
    bore: Length | None = None
    slot: tuple[Length, Length] | None = None
    panel: Text
    hole: Length | None = None
    flow: Flow | None = None

    @model_validator(mode="after")
    def _round_or_slot(self) -> Self:
        just_one(self, "bore", "slot", 'Write bore = "32 mm", or slot = ["120 mm", "12 mm"] (across, up)')
        return self

    @model_validator(mode="after")
    def _somewhere_to_point(self) -> Self:
        if self.direction is not None and not any(self.direction):
            raise TableError("direction", "points nowhere", "Write three numbers that are not all zero, as [1, 0, 0]")
        return self

    @model_validator(mode="after")
    def _hole_round_the_bore(self) -> Self:
        if self.hole is not None and self.panel == "rim":
            raise TableError("hole", "stands at a pipe over the rim", "Leave hole out, or name the panel drilled")
        if self.hole is not None and self.bore is not None and self.hole < self.bore:
            raise TableError("hole", "is narrower than the bore", "Write what is drilled for the bulkhead")
        return self


class OutletTable(OpeningTable):
    """[[outlet]]"""


class IntakeTable(OpeningTable):
    """[[intake]]"""

    strainer: StrainerTable | None = None
