"""What the user must know about a solved loop although it works: outlets, pumps, intakes and pipes that stand out."""

from collections.abc import Iterator, Mapping
from dataclasses import replace

from flowviz.formulas.water import kinematic_viscosity
from flowviz.plumbing.animals import COVER, LARGER, animal_cautions
from flowviz.plumbing.circuits import even_shares, outlets_words
from flowviz.plumbing.graph import TANK
from flowviz.plumbing.heat import heating
from flowviz.plumbing.heights import height_cautions, heights
from flowviz.plumbing.laws import OneWay, PumpLaw
from flowviz.plumbing.loop import Loop, PumpDuty
from flowviz.plumbing.mouths import jet_reynolds
from flowviz.plumbing.network import Layout
from flowviz.plumbing.power import power_cautions
from flowviz.plumbing.surface import air_cautions
from flowviz.plumbing.ways import reached, unless_shut
from flowviz.plumbing.yardsticks import THROUGH_SCREEN
from flowviz.scene.model import Caution, Outlet, Pump, Scene
from flowviz.units import System, percent, shown

CHILLER = "chiller"  # that its cautions are of
TRICKLE, FLOOD = 0.5, 1.5  # of the mean speed out of all outlets of a circuit: outside, an outlet stands out [-]
EVEN = 0.9  # weakest over strongest hole of a spray bar [-]: 10 % is the usual bound for laterals
SMOOTH = 1000.0  # Reynolds number below which a jet stays laminar [-]: McNaughton & Sinclair (1966), from memory
UNEVEN = "Water that slows down in a narrow bar gains pressure. Take a wider bar, or fewer or smaller holes."
MIXES_LESS = "All jets are taken as turbulent: this one mixes less than shown. Check its flow; give it more, or none."
JETS = frozenset((MIXES_LESS, UNEVEN))  # why the jets of an outlet are told with the phases in which they are so
SUCTION_SPEED = 1.5  # in pipes before a pump [m/s]: common practice, no source
DELIVERY_SPEED = 2.5  # in pipes behind a pump [m/s]: common practice, no source
NPSH_MARGIN, NPSH_SHARE = 0.5, 0.1  # the greater of [m] and of the required head [-]: common practice, no source


def loop_cautions(layout: Layout, loop: Loop) -> tuple[Caution, ...]:
    """In the order pumps, outlets, intakes, pipes, heights, heat."""
    before = suction_pipes(layout)
    return (
        *(told for pump in layout.scene.pumps for told in _pump(pump.name, loop.pumps[pump.name], layout.scene.show)),
        *power_cautions(loop),
        *(told for pump in layout.scene.pumps for told in _mounting(pump)),
        *_unprimed(layout.scene),
        *_unfilled(layout, loop),
        *(told for outlet in layout.scene.outlets if loop.total for told in _outlet(outlet, layout.scene, loop)),
        *intake_cautions(layout.scene, loop),
        *_pipes(layout, loop, before),
        *_narrow_suction(layout.scene, loop),
        *height_cautions(layout.scene),
        *chiller_cautions(layout.scene, heating(layout.scene, loop).into_water),
    )


def intake_cautions(scene: Scene, loop: Loop) -> tuple[Caution, ...]:
    """Of intakes and the animals before them."""
    return (*_intakes(scene, loop), *air_cautions(scene, loop), *animal_cautions(scene, loop))


def suction_pipes(layout: Layout) -> frozenset[int]:
    """Numbers of the pipes before the pumps: those joined to a suction side by pipes, and to no delivery side."""
    network = layout.network
    inner = [link for link in network.links if TANK not in (link.start, link.end)]
    pumps = [link for link in inner if isinstance(link.law, PumpLaw)]
    pipes = [link for link in inner if not isinstance(link.law, PumpLaw)]
    before = reached(pipes, [pump.start for pump in pumps], unless_shut)
    before -= reached(pipes, [pump.end for pump in pumps], unless_shut)
    return frozenset(number for number in range(len(layout.pipes)) if network.links[number].end in before)


def _pump(name: str, duty: PumpDuty, system: System) -> Iterator[Caution]:
    where, given = f"pump {name}", f"it gives {shown(duty.flow, 'flow', system)},"
    if duty.flow < 0:
        yield Caution(where, "water runs backwards through it", "Another pump overpowers it; add a check valve.")
    elif duty.flow < duty.first_flow:
        what = f"{given} {percent(duty.flow / duty.first_flow)} of the first flow of its curve"
        yield Caution(where, what, "Its head there is a guess, and it may run hot; ask the maker for the whole curve.")
    elif duty.speed_share and duty.flow > duty.last_flow:
        what = f"{given} {percent(duty.flow / duty.last_flow)} of the last flow of its curve"
        yield Caution(
            where,
            what,
            "Its head there is a guess, and the motor may be overloaded; throttle its delivery.",
        )
    if duty.efficiency is not None and duty.efficiency > 1:
        given, taken = (shown(power, "power", system) for power in (duty.water_power, duty.power))
        why = "No pump gives more than it takes: compare its power and its curve with the data sheet."
        yield Caution(where, f"it gives the water {given} and takes {taken}", why)
    if duty.npsh_margin is not None and duty.npsh_margin < duty.npsh_available:  # it requires something
        yield from _npsh(where, duty, system)


def _mounting(pump: Pump) -> Iterator[Caution]:
    where = f"pump {pump.name}"
    if pump.mounting == "submerged":
        why = "All its power heats the tank, and mains voltage stands in the water: use a residual-current device."
        yield Caution(where, "it works in the water", why)
    else:
        why = "Keep its housing open to the air; use a residual-current device and a drip loop in its cord."
        yield Caution(where, "it is cooled by the air around it", why)


def _unprimed(scene: Scene) -> Iterator[Caution]:
    place = heights(scene)
    for pump in scene.pumps:
        if place[pump.name] > scene.tank.depth:
            why = "It does not fill itself: prime it, and expect it to run dry when air leaks in. Set it lower."
            yield Caution(f"pump {pump.name}", "it stands above the water surface", why)


def _unfilled(layout: Layout, loop: Loop) -> Iterator[Caution]:
    """Of circuits with a place behind their pumps so high that none of these lifts water there to fill the pipe."""
    network, scene, place = layout.network, layout.scene, heights(layout.scene)
    pipes = network.links[: len(layout.pipes)]
    for circuit in loop.circuits:
        turning = [i for i, pump in enumerate(scene.pumps) if pump.name in circuit.pumps and layout.pumps[i].speed]
        behind = reached(pipes, [network.links[layout.pump_link(i)].end for i in turning], unless_shut)
        names = (network.nodes[node] for node in behind)
        over = {name: place[name] - scene.tank.depth for name in names if name in place}
        lifts = {scene.pumps[i].name: layout.pumps[i].head(0.0)[0] for i in turning}
        best, highest = (max(each, key=each.__getitem__, default=None) for each in (lifts, over))
        if best and highest and over[highest] > lifts[best]:
            head, height = (shown(each, "head", scene.show) for each in (lifts[best], over[highest]))
            what = f"it lifts water by {head} at most, and {highest} lies {height} over the water surface"
            why = "It cannot fill the pipe there, so nothing runs over it: lead it lower, or take a pump for more head."
            yield Caution(f"pump {best}", what, why)


def _npsh(where: str, duty: PumpDuty, system: System) -> Iterator[Caution]:
    required = duty.npsh_available - duty.npsh_margin
    head = shown(duty.npsh_available, "head", system)
    what = f"its suction head is {head}, {percent(duty.npsh_available / required)} of what it requires"
    if duty.npsh_margin < 0:
        yield Caution(where, what, "It will cavitate: set it lower, or widen, shorten and clear its suction pipe.")
    elif duty.npsh_margin < max(NPSH_MARGIN, NPSH_SHARE * required):
        yield Caution(where, what, "A fouled strainer will make it cavitate: set it lower or widen its suction pipe.")


def _outlet(outlet: Outlet, scene: Scene, loop: Loop) -> Iterator[Caution]:
    where, rate = f"outlet {outlet.name}", loop.rates[outlet.name]
    if rate < 0:
        why = "It hangs on a pump's suction side, or fast water in a narrow tee draws on it: widen that tee."
        yield Caution(where, "it draws water instead of giving it", why)
        return
    if rate == 0:
        yield Caution(
            where, "no water comes out of it", "A valve on its way is shut, it is blocked, or its pump rests."
        )
        return
    yield from _smooth(outlet, scene, rate)
    yield from _uneven(where, loop.outlets[outlet.name].evenness)
    share, flow = even_shares(scene, loop)[outlet.name], shown(rate, "flow", scene.show)
    if_even = f"its opening would get if {outlets_words(loop)} were equally fast"
    what = f"it gets {flow}, {percent(share)} of what {if_even}"
    if share < TRICKLE:
        yield Caution(where, what, f"{_costliest(outlet, loop)} Widen it, or throttle the others.")
    elif share > FLOOD:
        yield Caution(where, what, "The way to it is easier than to the others: throttle it, or widen theirs.")


def _smooth(outlet: Outlet, scene: Scene, rate: float) -> Iterator[Caution]:
    reynolds = jet_reynolds(outlet, rate, kinematic_viscosity(scene.water.temperature, scene.water.salinity))
    if 0 < reynolds < SMOOTH:
        flow = shown(rate, "flow", scene.show)
        what = f"{flow} leave it so slowly that the jet stays smooth, Reynolds number {reynolds:.0f}"
        yield Caution(f"outlet {outlet.name}", what, MIXES_LESS)


def jets_in_phases(scene: Scene, loops: Mapping[str, Loop]) -> Iterator[Caution]:
    """One for each jet that stays smooth in any phase, and for each bar that is uneven in any; those of JETS.

    loops    by the names of the phases
    """
    for outlet in scene.outlets:
        rates = {name: loop.rates[outlet.name] for name, loop in loops.items()}
        slow = {name: told for name, rate in rates.items() for told in _smooth(outlet, scene, rate)}
        yield from _of_phases(slow, max(slow, key=rates.__getitem__, default=""), len(loops), "at most ")
    for outlet in scene.outlets:
        shares = {name: loop.outlets[outlet.name].evenness for name, loop in loops.items()}
        uneven = {name: told for name, share in shares.items() for told in _uneven(f"outlet {outlet.name}", share)}
        yield from _of_phases(uneven, min(uneven, key=shares.__getitem__, default=""), len(loops), "at worst ")


def _of_phases(told: Mapping[str, Caution], standing: str, phases: int, bound: str) -> Iterator[Caution]:
    """The one of a phase that stands for those of others, if there is any, with the phases; not where they are all.

    told        by the names of the phases in which it holds
    bound       what is put before it where it holds in several
    """
    if told:
        when = "" if len(told) == phases else f", phase{'s' if len(told) > 1 else ''} {', '.join(told)}"
        one = told[standing]
        yield replace(one, where=one.where + when, what=f"{bound if len(told) > 1 else ''}{one.what}")


def _uneven(where: str, evenness: float | None) -> Iterator[Caution]:
    if evenness is not None and evenness < EVEN:
        yield Caution(where, f"the weakest hole of its bar gets {percent(evenness)} of what the strongest gets", UNEVEN)


def _costliest(outlet: Outlet, loop: Loop) -> str:
    """The part that takes most head from the pipe of an outlet, as a sentence."""
    parts = dict(loop.outlets[outlet.name].losses)
    for pipe in loop.pipes:
        if outlet.name == pipe.end:
            parts |= {"friction": pipe.friction, **pipe.fittings, **pipe.tees}
    name = max(parts, key=parts.__getitem__)
    share = percent(parts[name] / sum(parts.values()))
    return f'Of the head lost in its own pipe and opening {share} goes to "{name}".'


def _intakes(scene: Scene, loop: Loop) -> Iterator[Caution]:
    covered = {intake.name for intake in scene.intakes if intake.strainer is not None}
    for name, figures in loop.intakes.items():
        if figures.flow < 0:
            why = "Join its pipe to the suction side of a pump."
            yield Caution(f"intake {name}", "it gives water instead of drawing it", why)
        elif figures.screen_speed > THROUGH_SCREEN.speed:
            over = percent(figures.screen_speed / THROUGH_SCREEN.speed)
            speed = shown(figures.screen_speed, "speed", scene.show)
            way, remedy = ("slots", LARGER) if name in covered else ("open mouth", COVER)
            what = f"water passes its {way} at {speed}, {over} of {THROUGH_SCREEN.short}"
            why = f"That is a rule for rivers (40 CFR 125.84), no protection of small fish. {remedy}"
            yield Caution(f"intake {name}", what, why)


def _pipes(layout: Layout, loop: Loop, before: frozenset[int]) -> Iterator[Caution]:
    for number, pipe in enumerate(loop.pipes):
        where = layout.network.links[number].name
        if pipe.flow == 0 and isinstance(layout.network.links[number].law, OneWay):
            yield Caution(where, "its check valve is shut", "No water runs here; the head behind the valve is higher.")
        usual = SUCTION_SPEED if number in before else DELIVERY_SPEED
        if abs(pipe.speed) > usual:
            side = "before" if number in before else "behind"
            speed = shown(abs(pipe.speed), "speed", layout.scene.show)
            share = percent(abs(pipe.speed) / usual)
            what = f"water runs in it at {speed}, {share} of the highest usual speed {side} a pump"
            yield Caution(
                where, what, "Noise, wear and head go up with the speed (common practice): take a larger size."
            )


def chiller_cautions(scene: Scene, heat: float) -> Iterator[Caution]:
    """Where the pumps alone bring more heat [W] than is taken away, or it is not known of all what they bring."""
    taken, unknown = scene.site.chiller, [pump.name for pump in scene.pumps if pump.power is None]
    if taken is None or (heat <= taken and not unknown):
        return
    left_out = f", without {' and '.join(unknown)}, of unknown power," if unknown else ""
    brought = shown(heat, "power", scene.show)
    what = f"the pumps{left_out} bring {brought} into the water, {percent(heat / taken)} of what it takes away"
    larger = "Light and the room come on top: take a larger one, or pumps that need less."
    yield Caution(CHILLER, what, larger if heat > taken else "Write the power of every pump, or the sum is too low.")


def _narrow_suction(scene: Scene, loop: Loop) -> Iterator[Caution]:
    """Pumps whose last suction pipe is narrower than their first delivery pipe."""
    for pump in scene.pumps:
        into = max(pipe.inside for pipe in loop.pipes if pipe.end == pump.name)
        if into < max(pipe.inside for pipe in loop.pipes if pipe.start == pump.name):
            what = "its suction pipe is narrower than its delivery pipe"
            why = "Restrict a pump behind it, never before it: take the larger size."
            yield Caution(f"pump {pump.name}", what, why)
