"""The vocabulary of a scene file: which tables and keys there are, and what each may hold.

Quantities become SI floats here; what only two tables together can show is looked at elsewhere.
"""

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from flowviz.scene.values import (
    Angle,
    Coordinate,
    Count,
    Extent,
    Flow,
    Head,
    Length,
    Number,
    Place,
    Power,
    Rate,
    Salinity,
    Share,
    Size,
    Speed,
    Table,
    TableError,
    Temperature,
    Text,
    Truth,
)


class WaterTable(Table):
    """[water]"""

    temperature: Temperature
    salinity: Salinity


class PanelTable(Table):
    """[tank.panels.left]"""

    material: Literal["glass", "acrylic"]
    thickness: Length
    tempered: Truth

    @model_validator(mode="after")
    def _only_glass_is_tempered(self) -> Self:
        if self.tempered and self.material == "acrylic":
            raise TableError(
                "tempered", "is true of an acrylic panel", "Write tempered = false; only glass is tempered"
            )
        return self


class TankTable(Table):
    """[tank]: a rectangle by length and width, a cylinder by diameter, any other floor plan by its outline."""

    length: Length | None = None
    width: Length | None = None
    diameter: Length | None = None
    outline: tuple[tuple[Coordinate, Coordinate], ...] | None = None
    height: Length
    depth: Length
    seen_from: tuple[Text, ...] | None = None
    panels: dict[Text, PanelTable] = Field(default_factory=dict)

    @model_validator(mode="after")
    def _one_floor_plan(self) -> Self:
        plans = {"length": self.length or self.width, "diameter": self.diameter, "outline": self.outline}
        given = [key for key, value in plans.items() if value is not None]
        if not given:
            raise TableError(
                "length", "is missing", 'Write length = "2400 mm" and width = "760 mm", or diameter, or outline'
            )
        if len(given) > 1:
            raise TableError(
                given[1], f"stands beside {given[0]}", "Describe the floor once: length and width, diameter or outline"
            )
        if self.outline is None and self.diameter is None and None in (self.length, self.width):
            lacking = "width" if self.width is None else "length"
            raise TableError(lacking, "is missing", f'Write {lacking} = "760 mm"')
        return self

    @model_validator(mode="after")
    def _water_below_the_rim(self) -> Self:
        if self.depth > self.height:
            raise TableError(
                "depth", f"of the water, {self.depth:g} m, is above the rim at {self.height:g} m", "Lower the water"
            )
        return self


class LimitsTable(Table):
    """[limits]: the defaults are common practice, no source."""

    dead: Speed = 0.03
    over: Speed = 0.5

    @model_validator(mode="after")
    def _dead_below_over(self) -> Self:
        if self.dead >= self.over:
            raise TableError("dead", "is not below over", "Write the slower speed as dead and the faster as over")
        return self


class SandTable(Table):
    """[sand]"""

    depth: Length
    grain: Length


class _SolidTable(Table):
    name: Text
    turn: Angle = 0.0


class BoxTable(_SolidTable):
    """[[rock]] with shape = "box"."""

    shape: Literal["box"]
    centre: Place
    size: Size


class EllipsoidTable(_SolidTable):
    """[[rock]] with shape = "ellipsoid"."""

    shape: Literal["ellipsoid"]
    centre: Place
    size: Size


class CylinderTable(_SolidTable):
    """[[rock]] with shape = "cylinder", upright."""

    shape: Literal["cylinder"]
    centre: Place
    diameter: Length
    height: Length


class CapsuleTable(_SolidTable):
    """[[rock]] with shape = "capsule"."""

    shape: Literal["capsule"]
    start: Place = Field(alias="from")
    end: Place = Field(alias="to")
    diameter: Length


class MeshTable(_SolidTable):
    """[[rock]] with shape = "mesh"."""

    shape: Literal["mesh"]
    file: Text
    scale: Length
    at: Place


RockTable = Annotated[
    BoxTable | EllipsoidTable | CylinderTable | CapsuleTable | MeshTable, Field(discriminator="shape")
]


class CoralTable(Table):
    """[[coral]]"""

    name: Text
    centre: Place
    size: Size
    speed: tuple[Speed, Speed]

    @model_validator(mode="after")
    def _rising_band(self) -> Self:
        if self.speed[0] >= self.speed[1]:
            raise TableError("speed", "does not rise", 'Write the slower speed first, as ["10 cm/s", "35 cm/s"]')
        return self


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
            raise TableError(
                "length", "is missing", 'Write how far the basket stands into the tank, as length = "120 mm"'
            )
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
        if self.bore is None and self.slot is None:
            raise TableError("bore", "is missing", 'Write bore = "32 mm", or slot = ["120 mm", "12 mm"] (across, up)')
        if self.bore is not None and self.slot is not None:
            raise TableError("slot", "stands beside bore", "Keep the one that the opening has")
        return self

    @model_validator(mode="after")
    def _somewhere_to_point(self) -> Self:
        if self.direction is not None and not any(self.direction):
            raise TableError("direction", "points nowhere", "Write three numbers that are not all zero, as [1, 0, 0]")
        return self

    @model_validator(mode="after")
    def _hole_round_the_bore(self) -> Self:
        if self.hole is not None and self.panel == "rim":
            raise TableError(
                "hole", "is drilled for a pipe that goes over the rim", "Leave hole out, or name the panel"
            )
        if self.hole is not None and self.bore is not None and self.hole < self.bore:
            raise TableError(
                "hole", "is narrower than the bore", "Write the drilled diameter, which the bulkhead fits into"
            )
        return self


class OutletTable(OpeningTable):
    """[[outlet]]"""


class IntakeTable(OpeningTable):
    """[[intake]]"""

    strainer: StrainerTable | None = None


Duty = tuple[Rate, Head]


class PumpTable(Table):
    """[[pump]]"""

    name: Text
    curve: tuple[Duty, ...]
    power: Power | None = None
    npsh_required: Extent | None = None
    mounting: Literal["dry", "submerged"] = "dry"
    speed: Share = 1.0

    @model_validator(mode="after")
    def _falling_curve(self) -> Self:
        if len(self.curve) < 2:
            raise TableError(
                "curve",
                f"has {len(self.curve)} of the two points it needs",
                "Write flow and head at both ends at least",
            )
        for (flow, head), (next_flow, next_head) in zip(self.curve, self.curve[1:], strict=False):
            if next_flow <= flow:
                raise TableError("curve", "has flows that do not rise", "Sort its points by flow")
            if next_head >= head:
                raise TableError(
                    "curve",
                    f"rises or stays level from {head:g} m to {next_head:g} m",
                    "Write heads that fall as the flow grows",
                )
        return self


class PipeTable(Table):
    """[[pipe]]"""

    start: Text = Field(alias="from")
    end: Text = Field(alias="to")
    size: Text | None = None
    inside: Length | None = None
    length: Length
    rise: Coordinate = 0.0
    fittings: dict[Text, Count] = Field(default_factory=dict)
    loss: Annotated[Number, Field(ge=0)] = 0.0


class JunctionTable(Table):
    """[[junction]]"""

    name: Text
    kind: Literal["tee"]
    in_line: tuple[Text, Text]


class SceneTable(Table):
    """The whole file."""

    title: Text
    show: Literal["metric", "us"] = "metric"
    water: WaterTable
    tank: TankTable
    limits: LimitsTable = LimitsTable()
    sand: SandTable | None = None
    rock: tuple[RockTable, ...] = ()
    coral: tuple[CoralTable, ...] = ()
    outlet: tuple[OutletTable, ...] = ()
    intake: tuple[IntakeTable, ...] = ()
    pump: tuple[PumpTable, ...] = ()
    pipe: tuple[PipeTable, ...] = ()
    junction: tuple[JunctionTable, ...] = ()
