"""What must be known before a comparison is believed."""

from collections.abc import Iterator

from flowviz.comparison.floods import worse_than_any, worst_break
from flowviz.comparison.noise import flowing
from flowviz.comparison.sentences import MOST, joined
from flowviz.flow.memory import looks
from flowviz.scene.model import Caution, Scene
from flowviz.study import Study
from flowviz.units import shown

FEW = 4.0  # looks at the flow, on average, below which hardly any difference can be told (common practice, no source)


def cautions(before: Study, after: Study) -> Iterator[Caution]:
    """Of two studies as they were computed; each has its own besides."""
    studies = (before, after)
    yield from unlike(before, after)
    if before.scene.tank.plan != after.scene.tank.plan or before.scene.tank.depth != after.scene.tank.depth:
        what = "the layouts are of tanks that differ in size or shape"
        places = "" if before.scene.tank.plan == after.scene.tank.plan else "; nothing holds place against place"
        why = f"Each share is of its own tank's water: what differs may come of the tank{places}"
        yield Caution("comparison", what, why)
    yield from floods(before.scene, after.scene)
    if any(study.settings.detail == "sketch" for study in studies):
        what = "at least one of the layouts is a sketch"
        yield Caution("comparison", what, "It shows which way things go; compute both finer before glass is drilled")
    if any(looks(study.grid, field) < FEW for study in studies for field in flowing(study)):
        what = "a layout was averaged for hardly longer than its currents take to wander"
        remedy = "Hardly any difference can be called; have each marched more often"
        yield Caution("comparison", what, remedy)


def floods(before: Scene, after: Scene) -> Iterator[Caution]:
    """Which breaks let out more than any did before, where that matters."""
    told = [f"{leak.where} lets out {let_out(leak.lost, after)}" for leak in worse_than_any(before, after)]
    if told:
        others = len(told) - MOST
        more = [f"{others} other{'s' if others > 1 else ''} likewise"] if others > 0 else []
        what = f"{joined([*told[:MOST], *more])}; no break of the first layout lets out more than "
        why = "The tank runs out down to the opening that broke: set it higher, or see that the room can take that much"
        yield Caution("a broken pipe or bulkhead", f"{what}{let_out(worst_break(before), after)}", why)


def let_out(lost: float, scene: Scene) -> str:
    """A volume of water in words."""
    return shown(lost, "volume", scene.show)


def of_phases(before: Study, after: Study) -> Iterator[Caution]:
    """What of layouts with phases is not judged over the whole cycle."""
    phases = [{moment.phase.name: moment.phase.time for moment in study.moments} for study in (before, after)]
    mains = [study.main_phase.name for study in (before, after) if study.main_phase]
    if mains:
        what = f"pictures of the water are of the phase {' and '.join(dict.fromkeys(mains))} only"
        means = "All figures over the cycle are means over the time that its phases last"
        rests = any(study.cycle.resting for study in (before, after) if study.cycle)
        but = "; those of the water leave out the phases in which all pumps rest" if rests else ""
        yield Caution("comparison", what, f"{means}{but}")
    if phases[0] != phases[1]:
        what = "the layouts go through different phases, or through the same for different times"
        yield Caution("comparison", what, "Each is judged over its own cycle, and only phases of both by themselves")


def unlike(before: Study, after: Study) -> Iterator[Caution]:
    """In what two studies differ that ought to be alike."""
    for name, one, other in (
        ("levels of detail", before.settings.detail, after.settings.detail),
        ("numbers of marches", before.settings.marches, after.settings.marches),
        ("sizes of cells", before.grid.spacing, after.grid.spacing),
    ):
        if one != other:
            what = f"the layouts were computed with different {name}"
            yield Caution("comparison", what, "A difference may come from that alone; compute both alike")
    if before.scene.limits != after.scene.limits:
        what = "the layouts have different limits of dead and too-strong water"
        yield Caution("comparison", what, "Each is judged by its own; give both the same to compare the water")
    bands = [{coral.name: coral.speed for coral in study.scene.corals} for study in (before, after)]
    for name in (name for name in bands[0] if bands[1].get(name, bands[0][name]) != bands[0][name]):
        what = "wants another current in each of the layouts"
        yield Caution(f"coral {name}", what, "Each is judged by its own; give both the same to compare the water")
