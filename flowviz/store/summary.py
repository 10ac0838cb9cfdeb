"""The numbers of a study as summary.json holds them: SI units, names end in their unit, what is unknown is null."""

from collections.abc import Mapping, Sequence
from dataclasses import fields, is_dataclass
from math import isfinite

from flowviz.assess.zones import Zone
from flowviz.plumbing.animals import Peril
from flowviz.plumbing.blocking import blocked_cautions
from flowviz.plumbing.dossier import Dossier, dossier
from flowviz.plumbing.energy import cycle_energy
from flowviz.plumbing.holes import Hole
from flowviz.plumbing.loop import Loop
from flowviz.scene.model import Caution, Coral, Limits, Scene
from flowviz.scene.standards import standing_of
from flowviz.study import Settings, Study

FORMAT = "flowviz study 2"

UNITS = {  # of a record's field, by the last word of its name; what is not here is a share, a count, or words
    "age": "s",
    "ages": "s",
    "air": "w",
    "along": "m",
    "area": "m2",
    "at": "m",
    "available": "m",
    "bars": "m",
    "between": "m",
    "bounds": "m",
    "centre": "m",
    "corner": "m",
    "diameter": "m",
    "distance": "m",
    "doubt": "m_s",
    "edge": "m",
    "energy": "j",
    "fittings": "m",
    "floor": "m",
    "flow": "m3_s",
    "flows": "m3_s",
    "found": "m",
    "friction": "m",
    "gained": "m3_s",
    "head": "m",
    "height": "m",
    "inside": "m",
    "least": "m",
    "level": "m",
    "load": "pa",
    "loss": "m",
    "losses": "m",
    "lost": "m3",
    "margin": "m",
    "power": "w",
    "reach": "m",
    "rise": "k",
    "saved": "m",
    "skin": "m2",
    "slot": "m",
    "speed": "m_s",
    "stress": "pa",
    "tees": "m",
    "thickness": "m",
    "time": "s",
    "total": "m3_s",
    "trapped": "m3",
    "up": "m",
    "volume": "m3",
    "warming": "k_day",
    "water": "w",
    "weakest": "m3_s",
    "width": "m",
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
            "seed": study.settings.seed,
            "marches": study.settings.marches,
            **grid_numbers(study),
            **loop_numbers(study.loop),
            "suction_reach_m": study.measures.reaches,
            **water_numbers(study),
            "renewal": renewal_numbers(study),
            "cycle": cycle_numbers(study),
            "zones": [zone_numbers(zone, study.settings) for zone in study.measures.zones],
            "corals": {coral.name: coral_numbers(coral, study) for coral in study.scene.corals},
            "dossier": dossier_numbers(dossier(study.scene)),
            "cautions": study_cautions(study),
        }
    )


def study_cautions(study: Study) -> tuple[Caution, ...]:
    """What the user must know of a study: what was found on the way, and what only a blocked intake would bring.

    What scene and cells both tell stands once.
    """
    return tuple(dict.fromkeys((*study.cautions, *blocked_cautions(study.scene))))


def loop_summary(scene: Scene, told: Dossier) -> dict[str, object]:
    """What the plumbing alone says, ready for strict JSON."""
    cautions: tuple[Caution, ...] = (*scene.cautions, *told.loop.cautions, *told.cautions)
    return plain(
        {"scene": scene.title, **loop_numbers(told.loop), "dossier": dossier_numbers(told), "cautions": cautions}
    )


def dossier_numbers(told: Dossier) -> dict[str, object]:
    """What the loop asks of builder and keeper."""
    return {
        **{field.name: getattr(told, field.name) for field in fields(told) if field.name != "loop"},
        "perils": perils_numbers(told.perils),
        "blocked": [
            {
                **record(blocked),
                "loop": None if blocked.loop is None else loop_numbers(blocked.loop),
                "perils": perils_numbers(blocked.perils),
            }
            for blocked in told.blocked
        ],
        "sheets": [{**record(each), "holes": [hole_numbers(hole) for hole in each.holes]} for each in told.sheets],
    }


def perils_numbers(perils: Sequence[Peril]) -> list[dict[str, object]]:
    """Animals before intakes, and whether each is safe there by formula."""
    return [{**record(peril), "safe": peril.safe} for peril in perils]


def hole_numbers(hole: Hole) -> dict[str, object]:
    """A hole, and whether it keeps each rule."""
    return {**record(hole), "checks": [{**record(check), "kept": check.kept} for check in hole.checks]}


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
        "limits": {f"{each.name}_m_s": getattr(limits, each.name) for each in fields(limits)},
        "limit_standings": {each.name: standing_numbers(each.name, limits) for each in fields(limits)},
        "turnover_per_h": measures.turnover,
        "circulation_per_h": measures.circulation,
        "speed_m_s": measures.speed,
        "dead_fraction": measures.dead_fraction,
        "over_fraction": measures.over_fraction,
        "uncertainty": {
            **{name: width for name, width in widths.items() if name not in SPEEDS},
            **{f"{name}_speed_m_s": widths[name] for name in SPEEDS},
        },
        "smallest_zone_m3": measures.smallest_zone,
        "bed": with_intervals(measures.bed),
        "rock": with_intervals(measures.rock),
        "rubble": measures.rubble,
        "surface": with_intervals(measures.surface),
        "measured": measures.agreement,
    }


def standing_numbers(name: str, limits: Limits) -> dict[str, str]:
    """Where a limit stands, and its source."""
    standard = standing_of(name, getattr(limits, name))
    return {"standing": standard.standing, "source": standard.source}


def renewal_numbers(study: Study) -> dict[str, object] | None:
    """How old the water is and what goes straight through; None where that was not computed."""
    if study.renewal is None:
        return None
    numbers = record(study.renewal)
    return {name: numbers[name] for name in numbers if name not in ("age_s", "cautions")}


def cycle_numbers(study: Study) -> dict[str, object] | None:
    """What the phases come to, together and one by one; None where there are none."""
    if study.cycle is None:
        return None
    numbers, phases = record(study.cycle), {}
    for moment in study.moments:
        way = {"way": moment.way, "scaled_from": moment.scaled_from, **phase_loop_numbers(moment.loop)}
        found = study.cycle.phases[moment.phase.name]
        corals = {name: with_intervals(each) for name, each in found.corals.items()}
        phases[moment.phase.name] = {**record(found), "corals": corals, **way}
    left_out = ("dead_time_s", "cautions", "phases")
    return {
        "main_phase": study.main_phase.name,
        **{n: v for n, v in numbers.items() if n not in left_out},
        "energy": cycle_energy(study.scene, {moment.phase.name: moment.loop for moment in study.moments}),
        "phases": phases,
    }


def phase_loop_numbers(loop: Loop) -> dict[str, object]:
    """What the loop does in one phase."""
    return {
        "rates_m3_s": loop.rates,
        "heads_m": {name: duty.head for name, duty in loop.pumps.items()},
        "powers_w": {name: duty.power for name, duty in loop.pumps.items()},
        "screen_speeds_m_s": {name: figures.screen_speed for name, figures in loop.intakes.items()},
    }


def cycle_loop_numbers(scene: Scene, loops: Mapping[str, Loop]) -> tuple[dict[str, object], object]:
    """What the loop does in each phase, by its name, and what its pumps take over the cycle, ready for strict JSON."""
    return plain({name: phase_loop_numbers(loop) for name, loop in loops.items()}), plain(cycle_energy(scene, loops))


def zone_numbers(zone: Zone, settings: Settings) -> dict[str, object]:
    """A pocket, and how sure it is."""
    return {**record(zone), "touches": zone.touches, "sureness": zone.sureness(settings.detail, settings.marches)}


def coral_numbers(coral: Coral, study: Study) -> dict[str, object]:
    """What a group of corals wants and gets."""
    figures = study.measures.corals[coral.name]
    need = study.measures.needs.get(coral.name)
    why = {"cause": need.words if need else None, "remedy": need.remedy if need else None}
    return {"wanted_m_s": coral.speed, "kind": coral.kind, **with_intervals(figures), **why}


def with_intervals(figures: object) -> dict[str, object]:
    """A record whose intervals are called as what they are of."""
    return {**record(figures), "uncertainty": {named(name): width for name, width in figures.uncertainty.items()}}


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
