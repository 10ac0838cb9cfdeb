"""The tables of water, tank, limits and sand."""

from typing import Literal, Self

from pydantic import Field, ValidationInfo, model_validator

from flowviz.scene.schema.values import (
    Corner,
    Length,
    Salinity,
    Side,
    Speed,
    Table,
    TableError,
    Temperature,
    Text,
    Truth,
    told,
)
from flowviz.scene.standards import standard_limits


class WaterTable(Table):
    """[water]"""

    temperature: Temperature
    salinity: Salinity


class PanelTable(Table):
    """[tank.panels.left]"""

    material: Literal["glass", "acrylic"]
    thickness: Length
    tempered: Truth = False  # to be told of glass

    @model_validator(mode="after")
    def _glass_is_tempered_or_not(self) -> Self:
        if self.tempered and self.material == "acrylic":
            raise TableError("tempered", "is true of an acrylic panel", "Write false; only glass is tempered")
        if "tempered" not in self.model_fields_set and self.material == "glass":
            raise TableError("tempered", "is missing", "Write tempered = false, or true")
        return self


class TankTable(Table):
    """[tank]: a rectangle by length and width, a cylinder by diameter, any other floor plan by its outline."""

    length: Side | None = None
    width: Side | None = None
    diameter: Side | None = None
    outline: tuple[tuple[Corner, Corner], ...] | None = None
    height: Side
    depth: Side
    seen_from: tuple[Text, ...] | None = None
    panels: dict[Text, PanelTable] = Field(default_factory=dict)

    @model_validator(mode="after")
    def _one_floor_plan(self) -> Self:
        plans = {"length": self.length or self.width, "diameter": self.diameter, "outline": self.outline}
        given = [key for key, value in plans.items() if value is not None]
        if not given:
            remedy = 'Write length = "2400 mm" and width = "760 mm", or diameter, or outline'
            raise TableError("length", "is missing", remedy)
        if len(given) > 1:
            remedy = "Describe the floor once: by length and width, by diameter, or by outline"
            raise TableError(given[1], f"stands beside {given[0]}", remedy)
        if self.outline is None and self.diameter is None and None in (self.length, self.width):
            lacking = "width" if self.width is None else "length"
            raise TableError(lacking, "is missing", f'Write {lacking} = "760 mm"')
        return self

    @model_validator(mode="after")
    def _water_below_the_rim(self, info: ValidationInfo) -> Self:
        if self.depth > self.height:
            deep, rim = (told(each, "length", info) for each in (self.depth, self.height))
            fault = f"puts the water, {deep} deep, above the rim at {rim}"
            raise TableError("depth", fault, "Write a depth up to tank.height")
        return self


class LimitsTable(Table):
    """[limits]"""

    dead: Speed = standard_limits()["dead"].speed
    over: Speed = standard_limits()["over"].speed
    settle: Speed = standard_limits()["settle"].speed
    stir: Speed = standard_limits()["stir"].speed

    @model_validator(mode="after")
    def _dead_below_over(self) -> Self:
        if self.dead >= self.over:
            raise TableError("dead", "is not below over", "Write the slower speed as dead and the faster as over")
        if self.settle >= self.stir:
            raise TableError("settle", "is not below stir", "Write the slower speed as settle and the faster as stir")
        return self


class SandTable(Table):
    """[sand]"""

    depth: Length
    grain: Length
    mineral: Literal["aragonite", "quartz"] = "aragonite"
