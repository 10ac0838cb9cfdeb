"""The sentences over flat pictures: each says what is wrong, with its measure."""

from collections.abc import Callable, Mapping

from flowviz.assess.needs import unknowable
from flowviz.draw.flat.planes import Subject
from flowviz.draw.flat.slices import Plane
from flowviz.draw.sheets.lettering import short
from flowviz.draw.sheets.wording import (
    KINDS,
    WORTH_A_WORD,
    part,
    percent_within,
    place,
    rough,
    too_unsure,
)
from flowviz.scene.model import Tank
from flowviz.study import Study
from flowviz.units import System, shown

DIGITS = 3  # significant, of a length that is measured off


def section_title(study: Study, subject: Subject) -> str:
    """What a section is about."""
    words = SENTENCES[subject.kind](study, subject.number)
    return f"{words[:1].upper()}{words[1:]}"


def plan_title(study: Study) -> str:
    """Where the pockets of dead water are; if there are none, those of too-strong water."""
    dead, over = (pockets_told(study, kind) for kind in KINDS)
    if dead:
        return dead[0].upper() + dead[1:]
    return f"No dead pocket; {over}" if over else stillest_title(study, 0)


def pockets_told(study: Study, kind: str) -> str:
    """How many pockets of a kind there are, how large the worst is and where; nothing if there are none."""
    found = [zone for zone in study.measures.zones if zone.kind == kind]
    if not found:
        return ""
    kind_words = KINDS[kind].replace(" ", "-")
    worst = f"{rough(found[0].volume, 'volume', study.scene.show)} {place(found[0].place, study.scene)}"
    if len(found) == 1:
        return f"one {kind_words} pocket: {worst}"
    return f"{len(found)} {kind_words} pockets, the worst {worst}"


def dead_title(study: Study, number: int) -> str:
    """Of a dead pocket."""
    zone, show = study.measures.zones[number], study.scene.show
    limit = shown(study.scene.limits.dead, "speed", show)
    return f"Dead: {rough(zone.volume, 'volume', show)} below {limit} {place(zone.place, study.scene)}"


def over_title(study: Study, number: int) -> str:
    """Of a pocket of too-strong water."""
    zone, show = study.measures.zones[number], study.scene.show
    over = study.scene.limits.over
    peak, limit = rough(zone.extreme_speed, "speed", show, beside=over), shown(over, "speed", show)
    volume = rough(zone.volume, "volume", show)
    return f"Too strong: {volume} above {limit}, up to {peak}, {place(zone.place, study.scene)}"


def coral_title(study: Study, number: int) -> str:
    """Of a group of corals."""
    coral = study.scene.corals[number]
    figures, show = study.measures.corals[coral.name], study.scene.show
    low, high = (shown(speed, "speed", show, beside=coral.speed[0]) for speed in coral.speed)
    words = {
        "under_fraction": f"too still, below {low}",
        "in_band_fraction": "in the wanted current",
        "over_fraction": f"too strong, above {high}",
    }
    shares = {name: part(getattr(figures, name), figures.uncertainty[name]) for name in words}
    if unknowable(figures):
        return too_unsure(f"of {short(coral.name)}")
    told = sorted(words, key=lambda side: -getattr(figures, side))
    told = [told[0], *(side for side in told[1:] if getattr(figures, side) >= WORTH_A_WORD)]
    return f"{short(coral.name)}: {'; '.join(f'{shares[side]} {words[side]}' for side in told)}"


def stillest_title(study: Study, _: int) -> str:
    """Of the slowest water, be it in pockets or not."""
    measures, show = study.measures, study.scene.show
    limit = shown(study.scene.limits.dead, "speed", show)
    if measures.dead_fraction == 0:
        return f"Nowhere dead: 95 % of the water is faster than {rough(measures.speed.p05, 'speed', show)}"
    share = percent_within(measures.dead_fraction, measures.uncertainty["dead_fraction"])
    if any(zone.kind == "dead" for zone in measures.zones):
        return f"Dead: {share} of the water below {limit}, in pockets and in small spots"
    return f"No dead pocket: {share} of the water is below {limit}, in small spots"


def fastest_title(study: Study, _: int) -> str:
    """Of the fastest water, be it in pockets or not."""
    measures, show = study.measures, study.scene.show
    over = study.scene.limits.over
    peak, limit = rough(measures.speed.max, "speed", show, beside=over), shown(over, "speed", show)
    if measures.over_fraction == 0:
        return f"Nowhere too strong: the fastest water moves at {peak}"
    share = percent_within(measures.over_fraction, measures.uncertainty["over_fraction"])
    if any(zone.kind == "over" for zone in measures.zones):
        return f"Too strong: {share} of the water above {limit}, up to {peak}, in pockets and in small spots"
    return f"Too strong in small spots only: {share} of the water above {limit}, up to {peak}"


SENTENCES: Mapping[str, Callable[[Study, int], str]] = {
    "dead": dead_title,
    "over": over_title,
    "coral": coral_title,
    "stillest": stillest_title,
    "fastest": fastest_title,
}


def whereabouts(cut: Plane, tank: Tank, system: System) -> str:
    """Where a plane is, by a tape measure."""
    if cut.axis == 2:
        return f"level section, {shown(cut.at, 'length', system, DIGITS)} above the floor, seen from above"
    length = tank.plan.size[cut.axis]
    near, far = (("left", "right"), ("front", "back"))[cut.axis]
    side, distance = (near, cut.at) if cut.at <= length / 2 else (far, length - cut.at)
    way = ("across", "along")[cut.axis]
    return f"upright section {way} the tank, {shown(distance, 'length', system, DIGITS)} from the {side}"
