"""The tables of what stands in the water: rock and corals."""

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from flowviz.scene.schema.values import Angle, Length, Place, Size, Speed, Table, TableError, Text


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
