"""The sentences over the pictures of a loop, and what is told to those who cannot see them."""

from collections.abc import Sequence

from flowviz.assess.words import named
from flowviz.draw.loop.profile import Profile
from flowviz.draw.loop.words import costliest, head_words, pipe_length
from flowviz.draw.sheets.lettering import short
from flowviz.plumbing.cautions import FLOOD, TRICKLE
from flowviz.plumbing.choice import Choice
from flowviz.plumbing.circuits import even_shares
from flowviz.plumbing.dossier import Dossier
from flowviz.plumbing.holes import NEVER_DRILL, NO_PROOF, PanelSheet
from flowviz.plumbing.loop import Loop, PumpDuty
from flowviz.plumbing.power import is_starved
from flowviz.plumbing.strainers import Swap, broken_words
from flowviz.scene.model import Pipe, Scene
from flowviz.units import percent, shown


def loop_title(scene: Scene, loop: Loop) -> str:
    """What the pumps give and what comes out of the outlets, in one sentence: the worst of it."""
    if not scene.pipes:
        total = shown(loop.total, "flow", scene.show)
        return f"{total} go round as the scene fixes it: no pump and pipes are described"
    if not loop.total:
        return "No water moves: no pump turns"
    return _of_pumps(scene, loop) or _of_outlets(scene, loop)


def _of_pumps(scene: Scene, loop: Loop) -> str:
    """What is wrong with the pumps; empty: nothing."""
    backwards = [name for name, duty in loop.pumps.items() if duty.flow < 0]
    if backwards:
        return f"{_named(backwards)} {'runs' if len(backwards) == 1 else 'run'} backwards: add a check valve"
    starved = [name for name, duty in loop.pumps.items() if is_starved(duty)]
    if not starved or any(figures.flow <= 0 for figures in loop.outlets.values()):
        return ""
    duty = loop.pumps[starved[0]]
    left = f"{shown(duty.flow, 'flow', scene.show)}, {percent(duty.surviving_share)} of its open flow"
    return f"The loop leaves {_named(starved[:1])} a trickle: {left}"


def _of_outlets(scene: Scene, loop: Loop) -> str:
    """What comes out of the outlets."""
    shares = even_shares(scene, loop)
    flows = {name: figures.flow for name, figures in loop.outlets.items()}
    wrong = [name for name, flow in flows.items() if flow <= 0]
    if wrong:
        return f"{_named(wrong)} {'gives' if len(wrong) == 1 else 'give'} no water"
    least, most = (pick(shares, key=shares.__getitem__) for pick in (min, max))
    trickles = sum(share < TRICKLE for share in shares.values())
    if trickles:
        told = f"{_named([least])} gets {'a trickle' if trickles == 1 else 'least'}: "
        many = "" if trickles == 1 else f"{trickles} of {len(shares)} outlets get a trickle; "
        return f"{many}{told}{_of_share(scene, flows[least], shares[least])}"
    if shares[most] > FLOOD:
        return f"{_named([most])} gets far more than its share: {_of_share(scene, flows[most], shares[most])}"
    return _even(scene, loop, least, most)


def _even(scene: Scene, loop: Loop, least: str, most: str) -> str:
    total, shares = shown(loop.total, "flow", scene.show), even_shares(scene, loop)
    if len(scene.outlets) == 1:
        return f"{total} come out of the one outlet"
    ends = dict.fromkeys(percent(shares[name]) for name in (least, most))
    return f"No outlet gets a trickle: each of the {len(shares)} has {' to '.join(ends)} of its share"


def loop_description(scene: Scene, loop: Loop) -> str:
    """The diagram in words."""
    outlets = (f"{short(name)} {shown(each.flow, 'flow', scene.show)}" for name, each in loop.outlets.items())
    pumps = (
        f"{short(name)} gives {shown(duty.flow, 'flow', scene.show)} against {shown(duty.head, 'head', scene.show)}"
        for name, duty in loop.pumps.items()
    )
    return f"Diagram of the loop. Outlets: {'; '.join(outlets)}. Pumps: {'; '.join(pumps) or 'none described'}."


def _named(names: list[str]) -> str:
    return " and ".join(f"\N{LEFT DOUBLE QUOTATION MARK}{short(name)}\N{RIGHT DOUBLE QUOTATION MARK}" for name in names)


def _of_share(scene: Scene, flow: float, share: float) -> str:
    return f"{shown(flow, 'flow', scene.show)}, {percent(share)} of what an even split would give it"


def head_title(scene: Scene, loop: Loop, way: Profile) -> str:
    """Which pipe takes most of what the pumps give."""
    number = costliest(loop)
    if number is None:
        return f"The head goes into the water of {_named([way.line.outlet])}"
    pipe, found = scene.pipes[number], loop.pipes[number]
    taken = head_words(abs(found.loss), scene.show)
    whole = f"{taken} of {head_words(way.lift, scene.show)}" if number in way.line.pipes else taken
    return f"The {pipe_length(pipe.length, scene.show)} of pipe {_between(loop, pipe)} costs most head: {whole}"


def heads_title(ways: Sequence[Profile]) -> str:
    """On which way pipes and fittings take most, and on which least."""
    least, most = (pick(ways, key=lambda way: way.before_outlet / way.lift) for pick in (min, max))
    shares = [percent(way.before_outlet / way.lift) for way in (most, least)]
    if shares[0] == shares[1]:
        return f"Pipes and fittings take {shares[0]} of the head on every way"
    names = [_named([way.line.outlet]) for way in (most, least)]
    return f"Pipes and fittings take {shares[0]} of the head on the way to {names[0]}, {shares[1]} to {names[1]}"


def _between(loop: Loop, pipe: Pipe) -> str:
    """A pipe by the one end that tells most about it: outlets and intakes before pumps before junctions."""
    if pipe.end in loop.outlets:
        return f"to {_named([pipe.end])}"
    if pipe.start in loop.intakes:
        return f"from {_named([pipe.start])}"
    return f"from {_named([pipe.start])} to {_named([pipe.end])}"


def head_description(scene: Scene, dossier: Dossier) -> str:
    """The grade line in words."""
    told = (
        f"{loss.part} in {loss.where} {shown(loss.head, 'head', scene.show)} ({percent(loss.share)} of the power)"
        for loss in dossier.losses[:5]
    )
    return f"Total head along the way of the water, over the height of the way. The costliest parts: {'; '.join(told)}."


def pump_title(scene: Scene, name: str, duty: PumpDuty) -> str:
    """How much water a pump gives here, and what the loop leaves of what it could give."""
    flow, head = shown(duty.flow, "flow", scene.show), shown(duty.head, "head", scene.show)
    given = f"{_named([name])} gives {flow} at {head}"
    if duty.flow < 0:
        return f"{_named([name])} runs backwards: other pumps overpower it"
    if not duty.first_flow <= duty.flow <= duty.last_flow:
        return f"{given}, {'beyond the end' if duty.flow > duty.last_flow else 'before the beginning'} of its curve"
    return f"{given}: the loop leaves {percent(duty.surviving_share)} of its open flow"


def pump_description(scene: Scene, duty: PumpDuty) -> str:
    """The chart of a pump in words."""
    first, last = (shown(flow, "flow", scene.show) for flow in (duty.first_flow, duty.last_flow))
    power = f" It takes {shown(duty.power, 'power', scene.show)}." if duty.power else ""
    return f"Head against flow: the pump's curve from {first} to {last} and the rising curve of the loop.{power}"


def strainer_title(dossier: Dossier) -> str:
    """When the first strainer is to be swapped, and what breaks then."""
    first = min((care.swap for care in dossier.strainers.values()), key=lambda swap: swap.fouled)
    if first.limit is None:
        return f"No strainer breaks a limit before {percent(first.fouled)} of its slots are clogged"
    if first.too_small:
        return f"{_named([first.intake])} is too small {first.too_small}: {_broken(first)}"
    return (
        f"{_named([first.intake])} is to be swapped at {percent(first.fouled)} clogged: from then on {_broken(first)}"
    )


def _broken(swap: Swap) -> str:
    return broken_words(swap.limit, named(short(swap.limit, 40)))


def strainer_description(scene: Scene, dossier: Dossier) -> str:
    """The charts of the strainers in words."""
    told = (
        f"{short(name)}: {_swap_words(care.swap)}; "
        f"{shown(care.fouling[0].slot_speed, 'speed', scene.show)} in the slots when clean"
        for name, care in dossier.strainers.items()
    )
    drawn = "Flow, speed in the slots and suction to spare against the share of the slots that is clogged"
    return f"{drawn}. {'; '.join(told)}."


def _swap_words(swap: Swap) -> str:
    """From which share of clogged slots on what goes wrong."""
    if swap.limit is None:
        return f"no limit breaks up to {percent(swap.fouled)} clogged"
    when = f"too small {swap.too_small}:" if swap.too_small else f"from {percent(swap.fouled)} clogged on"
    return f"{when} {_broken(swap)}"


def holes_title(panel: PanelSheet) -> str:
    """How many holes a panel gets, and whether the rules are kept."""
    count = len(panel.holes)
    holes = f"{count} hole{'' if count == 1 else 's'} in the {panel.panel} panel, {percent(panel.removed)} of it"
    if panel.described is None:
        return f"{holes}; the scene does not say what it is made of"
    if panel.tempered:
        return f"{holes}; {NEVER_DRILL}"
    wrong = list(dict.fromkeys(name for name, _ in panel.broken))
    return f"{holes}; rules broken at {_named(wrong)}" if wrong else f"{holes}; all distances keep the rules"


def holes_description(scene: Scene, panel: PanelSheet, scale: int) -> str:
    """The sheet of a panel in words."""
    told = (
        f"{short(hole.opening)}, {shown(hole.diameter, 'length', scene.show)} wide, "
        f"{shown(hole.along, 'length', scene.show)} from the left and {shown(hole.up, 'length', scene.show)} from below"
        for hole in panel.holes
    )
    return f"Drawing for the glass shop at 1:{scale}. {'; '.join(told)}. {NO_PROOF}"


def choice_title(scene: Scene, tried: Sequence[Choice]) -> str:
    """Which pump gives most water, and which most for its power."""
    most = max(tried, key=lambda each: each.duty.flow)
    given = f"{_named([most.pump])} gives most, {shown(most.duty.flow, 'flow', scene.show)}"
    known = [each for each in tried if each.duty.power]
    if len(tried) == 1 or not known:
        return given
    thrifty = max(known, key=lambda each: each.duty.flow / each.duty.power)
    return f"{given}{' and' if thrifty is most else f'; {_named([thrifty.pump])} gives'} most for its power"


def choice_description(scene: Scene, tried: Sequence[Choice]) -> str:
    """The chart of pumps that were tried in words."""
    told = (
        f"{short(each.pump)} {shown(each.duty.flow, 'flow', scene.show)} at {shown(each.duty.head, 'head', scene.show)}"
        for each in tried
    )
    return f"Head against flow: the curve of each pump and that of the loop. {'; '.join(told)}."
