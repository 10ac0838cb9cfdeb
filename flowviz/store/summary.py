"""The numbers of a study as summary.json holds them: SI units, names end in their unit, what is unknown is null."""

from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from math import isfinite

from flowviz.plumbing.loop import Loop
from flowviz.scene.model import Caution, Coral, Scene
from flowviz.study import Study

FORMAT = "flowviz study 1"

UNITS = {  # of a record's field, by the last word of its name; what is not here is a share, a count, or words
    "at": "m",
    "available": "m",
    "bounds": "m",
    "centre": "m",
    "fittings": "m",
    "flow": "m3_s",
    "friction": "m",
    "head": "m",
    "inside": "m",
    "losses": "m",
    "margin": "m",
    "power": "w",
    "speed": "m_s",
    "tees": "m",
    "volume": "m3",
}
SPEEDS = ("mean", "median", "p05", "p95", "max")  # whose intervals stand beside those of the shares


def summary(study: Study) -> dict[str, object]:
    """Everything a study says, ready for strict JSON."""
    return plain(
        {
            "format": FORMAT,
            "scene": study.scene.title,
            "detail": study.settings.detail,
            "asked_cell_m": study.settings.cell,
            **grid_numbers(study),
            **loop_numbers(study.loop),
            **water_numbers(study),
            "zones": study.measures.zones,
            "corals": {coral.name: coral_numbers(coral, study) for coral in study.scene.corals},
            "cautions": study.cautions,
        }
    )


def loop_summary(scene: Scene, loop: Loop) -> dict[str, object]:
    """What the plumbing alone says, ready for strict JSON."""
    cautions: tuple[Caution, ...] = (*scene.cautions, *loop.cautions)
    return plain({"scene": scene.title, **loop_numbers(loop), "cautions": cautions})


def grid_numbers(study: Study) -> dict[str, object]:
    """The cells, and how well the flow was solved on them."""
    grid, quality = study.grid, study.field.quality
    return {
        "cell_m": grid.cell_volume ** (1 / 3),
        "spacing_m": grid.spacing,
        "cells": grid.kind.size,
        "water_cells": int(grid.water.sum()),
        "water_volume_m3": study.measures.water_volume,
        "balance_error": quality.balance_error,
        "simulated_s": quality.simulated,
        "averaged_s": quality.averaged,
        "windows": len(study.field.batches),
        "steady": quality.steady,
    }


def loop_numbers(loop: Loop) -> dict[str, object]:
    """The flow at every opening, and what it costs."""
    return {
        "outlets": loop.outlets,
        "intakes": loop.intakes,
        "pumps": {name: {**record(duty), "surviving_share": duty.surviving_share} for name, duty in loop.pumps.items()},
        "pipes": [{**record(pipe), "loss_m": pipe.loss} for pipe in loop.pipes],
        "heads_m": loop.nodes,
    }


def water_numbers(study: Study) -> dict[str, object]:
    """How the water as a whole moves."""
    measures, limits = study.measures, study.scene.limits
    widths = measures.uncertainty
    return {
        "limits": {"dead_m_s": limits.dead, "over_m_s": limits.over},
        "turnover_per_h": measures.turnover,
        "speed_m_s": measures.speed,
        "dead_fraction": measures.dead_fraction,
        "over_fraction": measures.over_fraction,
        "uncertainty": {
            **{name: width for name, width in widths.items() if name not in SPEEDS},
            **{f"{name}_speed_m_s": widths[name] for name in SPEEDS},
        },
        "smallest_zone_m3": measures.smallest_zone,
    }


def coral_numbers(coral: Coral, study: Study) -> dict[str, object]:
    """What a group of corals wants and gets."""
    figures = study.measures.corals[coral.name]
    widths = {named(name): width for name, width in figures.uncertainty.items()}
    return {"wanted_m_s": coral.speed, **record(figures), "uncertainty": widths}


def plain(value: object) -> object:
    """Records, mappings and tuples as dicts and lists, numbers that are none as null."""
    if is_dataclass(value):
        return plain(record(value))
    if isinstance(value, Mapping):
        return {name: plain(each) for name, each in value.items()}
    if isinstance(value, tuple | list):
        return [plain(each) for each in value]
    if isinstance(value, float) and not isfinite(value):
        return None
    return value


def record(value: object) -> dict[str, object]:
    """The fields of a record by name and unit."""
    return {named(field.name): getattr(value, field.name) for field in fields(value)}


def named(name: str) -> str:
    """A field's name with its unit."""
    unit = UNITS.get(name.rpartition("_")[2])
    return f"{name}_{unit}" if unit else name
