"""What the phases of a cycle come to, together and one by one."""

from collections.abc import Iterator, Mapping

from flowviz.assess.cycle import Spread, rest_told, surely_worse
from flowviz.assess.needs import group
from flowviz.assess.words import share_within
from flowviz.cycle import Moment
from flowviz.plumbing.energy import CycleEnergy, Energy, cycle_energy
from flowviz.plumbing.loop import Loop
from flowviz.scene.model import Limits, Scene
from flowviz.study import Study
from flowviz.tables.keeper import energy_told, price_told
from flowviz.tables.table import FIGURE, WORD, Table
from flowviz.units import System, shown, within

TO_BE_TOLD = "Make it the longest in a copy of the scene and run that, to be told where, why and what is worth trying"
AT_REST = "–"  # stands for the dead share of a phase in which all pumps rest


def cycle_tables(study: Study) -> tuple[Table, ...]:
    """All of them; without rows where there is no cycle."""
    loops = {moment.phase.name: moment.loop for moment in study.moments}
    return (spread_table(study), phase_table(study), *phase_loop_tables(study.scene, loops))


def phase_loop_tables(scene: Scene, loops: Mapping[str, Loop]) -> tuple[Table, ...]:
    """What the loop does in each phase, by its name, and what its pumps take over the cycle."""
    return (flow_table(scene, loops), energy_table(scene, loops))


def flow_table(scene: Scene, loops: Mapping[str, Loop]) -> Table:
    """What each opening passes and each pump lifts and takes in each phase; without rows where there is none."""
    columns = (("", WORD), *((name, FIGURE) for name in loops))
    rows = [
        (opening.name, *(shown(abs(loop.rates[opening.name]), "flow", scene.show) for loop in loops.values()))
        for opening in scene.openings
    ]
    rows += [
        (f"head of {pump.name}", *(shown(loop.pumps[pump.name].head, "head", scene.show) for loop in loops.values()))
        for pump in scene.pumps
    ]
    rows += [*strainer_rows(scene, loops), *power_rows(scene, loops)]
    return Table("The loop in each phase", columns, tuple(rows) if loops else ())


def strainer_rows(scene: Scene, loops: Mapping[str, Loop]) -> Iterator[tuple[str, ...]]:
    """How fast the water goes through each strainer."""
    for intake in scene.intakes:
        if intake.strainer:
            speeds = (loop.intakes[intake.name].screen_speed for loop in loops.values())
            yield (f"through the strainer of {intake.name}", *(shown(each, "speed", scene.show) for each in speeds))


def power_rows(scene: Scene, loops: Mapping[str, Loop]) -> Iterator[tuple[str, ...]]:
    """What each pump takes of the mains, where the scene tells it."""
    for pump in scene.pumps:
        if pump.power is not None:
            powers = (loop.pumps[pump.name].power for loop in loops.values())
            yield (f"power of {pump.name}", *(shown(each, "power", scene.show) for each in powers))


def energy_table(scene: Scene, loops: Mapping[str, Loop]) -> Table:
    """What the pumps take of the mains over the whole cycle; without rows where there is none, or no power is told."""
    taken = cycle_energy(scene, loops)
    columns = (("", WORD), ("on average", FIGURE), ("energy of a year", FIGURE), ("cost of a year", FIGURE))
    rows = () if taken is None else tuple(energy_rows(taken, scene))
    return Table(f"What the pumps take over the cycle{price_told(scene)}", columns, rows)


def energy_rows(taken: CycleEnergy, scene: Scene) -> Iterator[tuple[str, ...]]:
    """Pump by pump, and all that are known together; a pump of unknown power is named, and is in no sum."""
    yield from ((name, *energy_figures(each, scene)) for name, each in taken.pumps.items())
    yield from ((name, "not given", "", "") for name in taken.unknown)
    if len(taken.pumps) > 1:
        whole = "all together, without what is not given" if taken.unknown else "all together"
        yield (whole, *energy_figures(taken.together, scene))


def energy_figures(taken: Energy, scene: Scene) -> tuple[str, str, str]:
    """A mean power, and what comes of it in a year."""
    cost = "no price given" if taken.cost is None else f"{taken.cost:.0f}"
    return shown(taken.power, "power", scene.show), energy_told(taken.energy), cost


def spread_table(study: Study) -> Table:
    """Worst, mean and best over the cycle, and how long water is dead."""
    columns = (("", WORD), ("mean over time", FIGURE), ("worst", FIGURE), ("best", FIGURE))
    if study.cycle is None:
        return Table("The cycle", columns, ())
    whole = shown(study.cycle.time, "time", study.scene.show)
    rests = f" ({rest_told(study.cycle)}: not counted here)" if study.cycle.resting else ""
    title = f"The cycle of {whole}{rests}; the other tables are of its phase {study.main_phase.name}"
    return Table(title, columns, tuple(spread_rows(study)))


def spread_rows(study: Study) -> Iterator[tuple[str, ...]]:
    """Water and bed, corals, and the strongest moment."""
    cycle, system = study.cycle, study.scene.show
    words = measures(study.scene.limits, system)
    for name, spread in cycle.spreads.items():
        yield (words[name], *told(spread, {phase: each.uncertainty[name] for phase, each in cycle.phases.items()}))
    for name, spread in cycle.corals.items():
        groups = {phase: each.corals[name] for phase, each in cycle.phases.items()}
        doubts = {phase: each.uncertainty["in_band_fraction"] for phase, each in groups.items()}
        yield (f"{name} in its band", *told(spread, doubts))
    for name, noun in (("always_dead_fraction", "dead in every phase"), ("ever_dead_fraction", "dead in some phase")):
        yield (noun, share_within(getattr(cycle, name), cycle.uncertainty[name]), "", "")
    strongest = cycle.strongest
    yield (f"strongest moment: {strongest.phase}, {strongest.place}", "", shown(strongest.speed, "speed", system), "")


def measures(limits: Limits, system: System) -> dict[str, str]:
    """What is told of water and bed."""
    return {
        "dead_fraction": f"dead (below {shown(limits.dead, 'speed', system)})",
        "over_fraction": f"too strong (above {shown(limits.over, 'speed', system)})",
        "settling_fraction": "of the bed: detritus settles",
        "blown_fraction": "of the bed: sand blown out",
    }


def told(spread: Spread, doubts: Mapping[str, float]) -> tuple[str, str, str]:
    """Mean, worst and best of a share; doubts are the half-widths of its intervals by phase."""
    ends = ((spread.worst, spread.worst_phase), (spread.best, spread.best_phase))
    worst, best = (f"{share_within(share, doubts[phase])}, {phase}" for share, phase in ends)
    return share_within(spread.mean, spread.uncertainty), worst, best


def in_main_phase(study: Study) -> str:
    """Which phase pockets, corals and what is worth trying are of, behind other words; empty where there are none."""
    return f" in the phase {study.main_phase.name}" if study.main_phase else ""


def worse_elsewhere(study: Study) -> tuple[str, ...]:
    """Each phase in which surely more water is dead, or fewer corals are well, than in the one that is advised on."""
    found: dict[str, list[str]] = {}
    for phase, clause in (*dead_elsewhere(study), *corals_elsewhere(study)) if study.cycle else ():
        found.setdefault(phase, []).append(clause)
    return tuple(
        f"In the phase {phase}, {', and '.join(clauses)}. Nothing is advised here for that phase. {TO_BE_TOLD}"
        for phase, clauses in found.items()
    )


def dead_elsewhere(study: Study) -> Iterator[tuple[str, str]]:
    """The phase in which most water is dead, and how much, if that is surely more than in the main one."""
    cycle, here = study.cycle, study.measures
    dead, doubt = cycle.spreads["dead_fraction"], here.uncertainty["dead_fraction"]
    unsure = cycle.phases[dead.worst_phase].uncertainty["dead_fraction"]
    if surely_worse(dead, unsure, here.dead_fraction, doubt):
        shares = (share_within(*each) for each in ((dead.worst, unsure), (here.dead_fraction, doubt)))
        yield dead.worst_phase, f"{next(shares)} of the water is dead ({study.main_phase.name}: {next(shares)})"


def corals_elsewhere(study: Study) -> Iterator[tuple[str, str]]:
    """Of each group of corals the phase in which it is worst off, and how, if that is surely worse than in the main."""
    for name, spread in study.cycle.corals.items():
        there, here = study.cycle.phases[spread.worst_phase].corals[name], study.measures.corals[name]
        unsure, doubt = (each.uncertainty["in_band_fraction"] for each in (there, here))
        if surely_worse(spread, unsure, here.in_band_fraction, doubt):
            shares = (share_within(*each) for each in ((spread.worst, unsure), (here.in_band_fraction, doubt)))
            words = f"of {group(name)} have the current they want"
            yield spread.worst_phase, f"{next(shares)} {words} ({study.main_phase.name}: {next(shares)})"


def phase_table(study: Study) -> Table:
    """Each phase as if it went on for ever."""
    columns = (
        ("", WORD),
        ("lasts", FIGURE),
        ("flow", FIGURE),
        ("mean speed", FIGURE),
        ("dead", FIGURE),
        ("how", WORD),
    )
    rows = tuple(phase_row(moment, study) for moment in study.moments)
    return Table("The phases, each as if it went on for ever", columns, rows)


def phase_row(moment: Moment, study: Study) -> tuple[str, ...]:
    """One phase."""
    figures, system = study.cycle.phases[moment.phase.name], study.scene.show
    at_rest = moment.phase.name in study.cycle.resting
    return (
        moment.phase.name,
        shown(figures.time, "time", system),
        shown(moment.loop.total, "flow", system),
        within(figures.mean_speed, figures.mean_doubt, "speed", system),
        AT_REST if at_rest else share_within(figures.shares["dead_fraction"], figures.uncertainty["dead_fraction"]),
        f"scaled from {moment.scaled_from}" if moment.scaled_from else moment.way,
    )
