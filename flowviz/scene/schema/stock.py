"""The tables of what stands, lives and was measured in the water."""

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from flowviz.scene.schema.values import (
    Angle,
    Current,
    Length,
    Number,
    Place,
    Size,
    Speed,
    Table,
    TableError,
    Text,
    just_one,
)


class _SolidTable(Table):
    name: Text
    turn: Angle = 0.0
    open: Annotated[Number, Field(ge=0.25, le=0.8)] | None = None
    stone: Length | None = None

    @model_validator(mode="after")
    def _all_of_a_heap(self) -> Self:
        for given, missing in (("open", "stone"), ("stone", "open")):
            if getattr(self, given) is not None and getattr(self, missing) is None:
                remedy = 'A heap that water seeps through needs both, as open = 0.4 and stone = "40 mm"'
                raise TableError(missing, f"is missing beside {given}", remedy)
        return self


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
    """[[rock]] with shape = "cylinder": an upright column, which no turn changes."""

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
    """[[coral]]: the band that it wants stands here, or is that of its kind."""

    name: Text
    centre: Place
    size: Size
    speed: tuple[Speed, Speed] | None = None
    kind: Text | None = None

    @model_validator(mode="after")
    def _rising_band(self) -> Self:
        just_one(self, "speed", "kind", remedy='Write speed = ["10 cm/s", "35 cm/s"], or kind = "branching stony"')
        if self.speed is not None and self.speed[0] >= self.speed[1]:
            raise TableError("speed", "does not rise", 'Write the slower speed first, as ["10 cm/s", "35 cm/s"]')
        return self


class AnimalTable(Table):
    """[[animal]]: how fast it swims stands here, or in lengths of its body a second."""

    name: Text
    length: Length
    width: Length
    speed: Speed | None = None
    lengths_per_second: Annotated[Number, Field(gt=0)] | None = None

    @model_validator(mode="after")
    def _one_speed(self) -> Self:
        if self.speed is not None and self.lengths_per_second is not None:
            raise TableError("lengths_per_second", "stands beside speed", "Keep one of them")
        if self.width > self.length:
            raise TableError("width", "is more than length", "Write how long the animal is as length")
        return self


class MeasuredTable(Table):
    """[[measured]]"""

    name: Text | None = None
    at: Place
    speed: Current
    uncertainty: Current = 0.0
