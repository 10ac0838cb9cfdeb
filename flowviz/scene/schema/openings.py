"""The tables of outlets and intakes."""

from typing import Annotated, ClassVar, Literal, Self

from pydantic import Field, ValidationInfo, model_validator

from flowviz.scene.schema.values import (
    Count,
    Extent,
    Flow,
    Length,
    Number,
    Place,
    Share,
    Table,
    TableError,
    Text,
    just_one,
    told,
)


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

    @model_validator(mode="after")
    def _slots_within(self, info: ValidationInfo) -> Self:
        if self.slot >= self.diameter:
            slot, across = (told(each, "length", info) for each in (self.slot, self.diameter))
            fault = f"{slot} is as wide as the strainer, {across}"
            raise TableError("slot", fault, "Write the width of one of its slots or holes")
        return self


class OpeningTable(Table):
    """What [[outlet]] and [[intake]] have in common."""

    MOUTHS: ClassVar[tuple[str, ...]] = ("bore", "slot")
    MOUTH: ClassVar[str] = 'Write bore = "32 mm", or slot = ["120 mm", "12 mm"] (across, up)'
    HALF_OUT: ClassVar[str]  # what is reckoned of one that stands out of the water in part

    name: Text
    at: Place
    direction: tuple[Number, Number, Number] | None = None
    bore: Length | None = None
    slot: tuple[Length, Length] | None = None
    panel: Text
    hole: Length | None = None
    flow: Flow | None = None
    fitted: Annotated[Count, Field(ge=1950, le=2100)] | None = None

    @model_validator(mode="after")
    def _one_mouth(self) -> Self:
        just_one(self, *self.MOUTHS, remedy=self.MOUTH)
        return self

    @model_validator(mode="after")
    def _somewhere_to_point(self) -> Self:
        if self.direction is not None and not any(self.direction):
            raise TableError("direction", "points nowhere", "Write three numbers that are not all zero, as [1, 0, 0]")
        return self

    @model_validator(mode="after")
    def _hole_round_the_bore(self, info: ValidationInfo) -> Self:
        if self.hole is not None and self.panel == "rim":
            raise TableError("hole", "stands at a pipe over the rim", "Leave hole out, or name the panel drilled")
        if self.hole is not None and self.bore is not None and self.hole < self.bore:
            hole, bore = (told(each, "length", info) for each in (self.hole, self.bore))
            raise TableError(
                "hole", f"{hole} is narrower than the bore, {bore}", "Write what is drilled for the bulkhead"
            )
        return self


class BarTable(Table):
    """The spray bar of an [[outlet]]: a pipe with a row of equal holes, fed at one end and closed at the other."""

    length: Length
    inside: Length
    holes: Annotated[Count, Field(ge=2)]
    hole: Length

    @model_validator(mode="after")
    def _holes_have_room(self) -> Self:
        if self.hole >= self.inside:
            raise TableError("hole", "is as wide as the bar inside", "Write the diameter of one small hole")
        if self.holes * self.hole >= self.length:
            raise TableError("holes", "leave no wall between them", "Write fewer or smaller holes, or a longer bar")
        return self


class OutletTable(OpeningTable):
    """[[outlet]]"""

    HALF_OUT: ClassVar[str] = "Its flow and speed are reckoned as if all of it were under water."
    MOUTHS: ClassVar[tuple[str, ...]] = ("bore", "slot", "bar")
    MOUTH: ClassVar[str] = (
        'Write bore = "32 mm", or slot = ["120 mm", "12 mm"] (across, up), '
        'or bar = { length = "600 mm", inside = "26 mm", holes = 20, hole = "5 mm" }'
    )

    bar: BarTable | None = None
    nozzle: Share | None = None

    @model_validator(mode="after")
    def _nozzle_or_bar(self) -> Self:
        if self.nozzle is not None and self.bar is not None:
            raise TableError("nozzle", "stands beside bar", "Keep one of them")
        return self


class IntakeTable(OpeningTable):
    """[[intake]]"""

    HALF_OUT: ClassVar[str] = "Only its wetted part carries water."

    strainer: StrainerTable | None = None
    edge: Extent = 0.0

    @model_validator(mode="after")
    def _strainer_over_the_bore(self, info: ValidationInfo) -> Self:
        if self.strainer is not None and self.bore is not None and self.strainer.diameter < self.bore:
            across, bore = (told(each, "length", info) for each in (self.strainer.diameter, self.bore))
            fault = f"{across} is narrower than the bore, {bore}"
            raise TableError(
                "strainer.diameter", fault, "Write the width of the strainer itself, which covers the bore"
            )
        return self
