"""A whole scene file: which tables there are.

Quantities become SI floats here; what only two tables together can show is looked at elsewhere.
"""

from typing import Any, Literal

from pydantic import model_validator

from flowviz.scene.schema.loop import JunctionTable, PipeTable, PumpTable, refuse_half_a_tee
from flowviz.scene.schema.openings import IntakeTable, OutletTable
from flowviz.scene.schema.phases import PhaseTable
from flowviz.scene.schema.site import SiteTable
from flowviz.scene.schema.stock import AnimalTable, CoralTable, MeasuredTable, RockTable
from flowviz.scene.schema.tank import LimitsTable, SandTable, TankTable, WaterTable
from flowviz.scene.schema.values import Table, Text


class SceneTable(Table):
    """The whole file."""

    title: Text
    show: Literal["metric", "us"] = "metric"
    coral_kinds: Text | None = None
    water: WaterTable
    tank: TankTable
    limits: LimitsTable = LimitsTable()
    site: SiteTable = SiteTable()
    sand: SandTable | None = None
    rock: tuple[RockTable, ...] = ()
    coral: tuple[CoralTable, ...] = ()
    outlet: tuple[OutletTable, ...] = ()
    intake: tuple[IntakeTable, ...] = ()
    pump: tuple[PumpTable, ...] = ()
    pipe: tuple[PipeTable, ...] = ()
    junction: tuple[JunctionTable, ...] = ()
    animal: tuple[AnimalTable, ...] = ()
    measured: tuple[MeasuredTable, ...] = ()
    phase: tuple[PhaseTable, ...] = ()

    @model_validator(mode="before")
    @classmethod
    def _tees_are_whole(cls, raw: dict[str, Any]) -> dict[str, Any]:
        refuse_half_a_tee(raw)
        return raw
