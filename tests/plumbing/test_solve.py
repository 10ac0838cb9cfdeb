"""The whole floor on an invented loop: what must hold whatever the figures are."""

from dataclasses import replace
from math import pi

import pytest

from flowviz.errors import InputError
from flowviz.plumbing.laws import PumpLaw
from flowviz.plumbing.solve import solve_loop
from flowviz.scene.model import Pump

HOUR = 1 / 3600
GRAVITY = 9.80665


def told(scene, where):
    """What the cautions say about a place."""
    return [caution.what for caution in solve_loop(scene).cautions if caution.where == where]


def with_pump(scene, **changes):
    return replace(scene, pumps=(replace(scene.pumps[0], **changes),))


def test_a_pump_that_gives_more_than_it_takes_is_told(scene):
    """Of one watt; the shipped pump, of 390 W by the scene, gives less."""
    assert any("takes 1 W" in what for what in told(with_pump(scene, power=1.0), "pump loop pump"))
    assert not any(" takes " in what for what in told(scene, "pump loop pump"))


def test_as_much_enters_the_tank_as_leaves_it(scene):
    loop = solve_loop(scene)
    assert abs(sum(loop.rates.values())) <= 1e-9 * loop.total


def test_rates_are_positive_at_outlets_and_negative_at_intakes(scene):
    rates = solve_loop(scene).rates
    assert min(rates["left high"], rates["behind the arch"]) > 0 > rates["left low"]


def test_the_pump_works_on_its_printed_curve(scene):
    """Between the third and the last printed point its head must lie between theirs."""
    duty = solve_loop(scene).pumps["loop pump"]
    assert 12 * HOUR < duty.flow < 16 * HOUR
    assert 1.2 < duty.head < 3.4


def test_head_put_in_is_head_lost(scene):
    """Power of the pump against that of all losses told, tee and openings included; rounding only."""
    loop = solve_loop(scene)
    lost = sum(pipe.flow * pipe.loss for pipe in loop.pipes)
    openings = [*loop.outlets.values(), *loop.intakes.values()]
    lost += sum(opening.flow * sum(opening.losses.values()) for opening in openings)
    duty = loop.pumps["loop pump"]
    assert lost == pytest.approx(duty.flow * duty.head, rel=1e-9)


def test_losses_told_are_differences_of_the_heads_told(scene):
    loop = solve_loop(scene)
    place = {"loop pump": ("loop pump suction", "loop pump delivery")}
    for pipe in loop.pipes:
        start, end = place.get(pipe.start, (0, pipe.start))[1], place.get(pipe.end, (pipe.end, 0))[0]
        assert loop.nodes[start] - loop.nodes[end] == pytest.approx(pipe.loss, abs=1e-9)


@pytest.mark.parametrize("run", [("behind the arch", "loop pump"), ("left high", "behind the arch")])
def test_heads_told_do_not_hang_on_which_leg_of_a_tee_is_named_first(scene, run):
    """At a tee that of the leg with the combined flow, from the pump; differences of heads are losses with any."""
    named = replace(scene, junctions=(replace(scene.junctions[0], in_line=run),))
    loop = solve_loop(named)
    fed = next(pipe for pipe in loop.pipes if pipe.end == "tee")
    straight = sum((fed.friction, *fed.fittings.values()))
    assert loop.nodes["loop pump delivery"] - loop.nodes["tee"] == pytest.approx(straight, abs=1e-9)


def test_parts_of_an_outlet_and_an_intake(scene):
    """Exit 1.0 and entrance 0.5 on the openings' own velocities, strainer on its skin's; sums done here."""
    loop = solve_loop(scene)
    outlet, intake = loop.outlets["left high"], loop.intakes["left low"]
    assert outlet.speed == pytest.approx(outlet.flow / (pi / 4 * 0.032**2))
    assert outlet.losses["exit"] == pytest.approx(outlet.speed**2 / (2 * GRAVITY))
    assert intake.losses["entrance"] == pytest.approx(0.5 * (intake.flow / (pi / 4 * 0.063**2)) ** 2 / (2 * GRAVITY))
    skin = pi * 0.11 * 0.12 + pi / 4 * 0.11**2
    assert intake.approach_speed == pytest.approx(intake.flow / skin)
    assert intake.screen_speed == pytest.approx(intake.flow / (0.38 * skin))
    assert outlet.share + loop.outlets["behind the arch"].share == pytest.approx(1.0)


def test_suction_head_by_hand(scene):
    """101325 Pa of air and 3194 Pa of vapour on 1023.2 kg/m³; the pump 0.12 m over the floor under 0.6 m of water."""
    loop = solve_loop(scene)
    expected = (101325 - 3194) / (1023.2 * GRAVITY) + 0.48 + loop.nodes["loop pump suction"]
    duty = loop.pumps["loop pump"]
    assert duty.npsh_available == pytest.approx(expected, abs=5e-3)  # of the water's properties, rounded here
    assert duty.npsh_margin == pytest.approx(duty.npsh_available - 1.5)


def test_flow_goes_with_the_speed_of_the_pump(scene):
    """A closed loop without static head: Q ∝ n but for the friction factor, which rises by some 10 % at half speed."""
    full, half = solve_loop(scene), solve_loop(with_pump(scene, speed=0.5))
    assert half.total / full.total == pytest.approx(0.5, rel=0.03)
    assert half.total < 0.5 * full.total
    assert half.pumps["loop pump"].power == pytest.approx(240 / 8)


def test_twice_the_same_is_the_same_to_the_bit(scene):
    assert solve_loop(scene) == solve_loop(scene)


def test_the_order_of_the_pipes_does_not_matter(scene):
    """To rounding."""
    turned = replace(scene, pipes=scene.pipes[::-1])
    assert solve_loop(turned).rates == pytest.approx(solve_loop(scene).rates, rel=1e-9)


def test_fixed_flows_are_taken_as_they_are_and_one_takes_the_difference(scene):
    left, right = scene.outlets
    fixed = replace(scene, outlets=(replace(left, flow=1e-3), replace(right, flow=2e-3)), pipes=(), pumps=())
    assert solve_loop(fixed).rates == pytest.approx({"left high": 1e-3, "behind the arch": 2e-3, "left low": -3e-3})


def test_fixed_flows_that_do_not_add_up_are_refused(scene):
    left, right = scene.outlets
    (intake,) = scene.intakes
    outlets = (replace(left, flow=1e-3), replace(right, flow=2e-3))
    fixed = replace(scene, outlets=outlets, intakes=(replace(intake, flow=2.9e-3),), pipes=(), pumps=())
    with pytest.raises(InputError, match="10\u202f800 L/h come into the tank and 10\u202f440 L/h leave it"):
        solve_loop(fixed)


def test_a_speed_that_no_loop_gives_is_refused_where_a_pump_makes_it(scene):
    """A curve in kilometres for metres: a thousand times the head, some thirty times the speed of 1 to 2 m/s."""
    curve = tuple((30 * flow, 1000 * head) for flow, head in scene.pumps[0].curve)
    with pytest.raises(InputError, match=r"outlet .* would run at .* m/s, which no tank's loop gives"):
        solve_loop(replace(scene, pumps=(replace(scene.pumps[0], curve=curve),)))


def test_two_flows_left_open_are_refused(scene):
    with pytest.raises(InputError, match='opening "behind the arch": it has no flow'):
        solve_loop(replace(scene, pipes=(), pumps=()))


def test_a_trickle_is_told_with_its_cause(scene, with_pipe):
    """One branch in 1/2 in: its elbows take most."""
    thin = with_pipe(scene, 2, size="1/2 in sch 40", fittings={"globe valve": 1})
    (caution,) = (caution for caution in solve_loop(thin).cautions if caution.where == "outlet left high")
    assert "what its opening would get if all outlets were equally fast" in caution.what
    assert 'goes to "globe valve"' in caution.why
    assert any("its opening would get" in what for what in told(thin, "outlet behind the arch"))


def test_even_outlets_are_not_told(scene):
    assert told(scene, "outlet left high") == told(scene, "outlet behind the arch") == []


def test_a_pump_beyond_its_curve_is_told(scene):
    weak = with_pump(scene, curve=((0.0, 6.5), (6 * HOUR, 5.6), (9 * HOUR, 4.5)))
    assert any("of the last flow of its curve" in what for what in told(weak, "pump loop pump"))
    assert not any("of its curve" in what for what in told(scene, "pump loop pump"))


def test_a_pump_before_its_curve_is_told(scene):
    late = with_pump(scene, curve=((20 * HOUR, 2.5), (24 * HOUR, 1.0)))
    assert any("of the first flow of its curve" in what for what in told(late, "pump loop pump"))


def test_a_pump_that_is_left_a_trickle_is_told_with_the_pipe_that_costs_most(scene, with_pipe):
    """A hose of 12 mm before the tee lets a few per cent of the open flow through."""
    told = {caution.what: caution.why for caution in solve_loop(with_pipe(scene, 1, size=None, inside=0.012)).cautions}
    (why,) = (why for what, why in told.items() if "the loop leaves it a trickle" in what)
    assert 'of the power goes into pipe "loop pump" to "tee"' in why
    assert not any("trickle" in caution.what for caution in solve_loop(scene).cautions)


def test_a_pump_that_runs_backwards_is_told(scene):
    """A second pump of a hundredth of the head side by side with the first, no check valve between."""
    small = Pump("small", ((0.0, 0.05), (1 * HOUR, 0.01)), None, None, "dry", 1.0)
    pipes = (
        *scene.pipes,
        replace(scene.pipes[0], end="small"),
        replace(scene.pipes[1], start="small"),
    )
    both = replace(scene, pumps=(*scene.pumps, small), pipes=pipes, junctions=())
    assert solve_loop(both).pumps["small"].flow < 0
    assert "water runs backwards through it" in told(both, "pump small")


@pytest.mark.parametrize(("required", "remedy"), [(12.0, "It will cavitate"), (9.6, "A fouled strainer will make it")])
def test_too_little_suction_head_is_told(scene, required, remedy):
    starved = with_pump(scene, npsh_required=required)
    found = [caution for caution in solve_loop(starved).cautions if caution.what.startswith("its suction head is")]
    assert len(found) == 1
    assert found[0].why.startswith(remedy)
    assert not any(what.startswith("its suction head is") for what in told(scene, "pump loop pump"))


@pytest.mark.parametrize(
    ("altitude", "spare", "close"),
    [(0.0, 0.095, True), (0.0, 0.105, False), (6500.0, 0.45, True), (6500.0, 0.55, False)],
)
def test_suction_to_spare_is_half_a_metre_or_a_tenth(scene, altitude, spare, close):
    """The greater of both, ANSI/HI 9.6.1 (from memory): a tenth of 9 m that are required by the sea, half a metre of
    less than 5 m high up in the mountains.
    """
    high = replace(scene, site=replace(scene.site, altitude=altitude))
    available = solve_loop(high).pumps["loop pump"].npsh_available
    required = available - spare if altitude else available / (1 + spare)
    assert required < 5 if altitude else required > 5
    cautions = solve_loop(with_pump(high, npsh_required=required)).cautions
    assert any(caution.what.startswith("its suction head is") for caution in cautions) == close


def test_fast_pipes_are_told_by_the_side_of_the_pump(scene):
    """1.92 m/s in both 2 in pipes: more than 1.5 before the pump, less than 2.5 behind it."""
    assert any("highest usual speed before a pump" in what for what in told(scene, 'pipe "left low" to "loop pump"'))
    assert told(scene, 'pipe "loop pump" to "tee"') == []


def test_narrow_suction_is_told(scene, with_pipe):
    narrow = with_pipe(scene, 0, size="1 1/2 in sch 40")
    assert "its suction pipe is narrower than its delivery pipe" in told(narrow, "pump loop pump")
    assert "its suction pipe is narrower than its delivery pipe" not in told(scene, "pump loop pump")


def test_mounting_is_told(scene):
    assert "it is cooled by the air around it" in told(scene, "pump loop pump")
    assert "it works in the water" in told(with_pump(scene, mounting="submerged"), "pump loop pump")


def test_a_pump_above_the_water_is_told(scene, with_pipe):
    high = with_pipe(scene, 0, rise=0.6)
    assert "it stands above the water surface" in told(high, "pump loop pump")
    assert "it stands above the water surface" not in told(scene, "pump loop pump")


def test_a_pipe_over_the_rim_draws_in_worse_than_a_bulkhead(scene):
    """Crane's 0.78 for a pipe end in the water against 0.5 flush with the glass."""
    rim = replace(scene, intakes=(replace(scene.intakes[0], panel=None, hole=None),))
    flush, inward = solve_loop(scene).intakes["left low"], solve_loop(rim).intakes["left low"]
    ratio = inward.losses["entrance"] / inward.flow**2 / (flush.losses["entrance"] / flush.flow**2)
    assert ratio == pytest.approx(0.78 / 0.5)


@pytest.mark.parametrize("last", [0.5, 0.7, 0.9])
def test_a_curve_that_stops_early_goes_on_as_a_parabola(last):
    """H = 8 - 0.5 Q² (m, L/s), printed at three points up to a share of its open flow of 4 L/s, goes on so: exact.
    Straight on it would open 25 % too far from half of that, and 6.4 % from seven tenths.
    """
    flows = [share * last * 4e-3 for share in (0.0, 0.5, 1.0)]
    law = PumpLaw(tuple((flow, 8 - 0.5e6 * flow**2) for flow in flows), 1.0)
    assert law.open_flow == pytest.approx(4e-3, rel=1e-12)
    assert law.head(3.8e-3)[0] == pytest.approx(8 - 0.5 * 3.8**2, rel=1e-12)
    assert law.head(3.8e-3)[1] == pytest.approx(-3.8e3, rel=1e-12)


def test_a_curve_that_stops_early_is_nearer_its_pump_bent_than_straight():
    """Six points of a pump, 8, 7.8, 7, 5.7, 4.1 and 1.8 m at 0 to 5 L/s (an invented pump), of which four are printed:
    at 5 L/s 1.6 m by the bent curve and 2.6 m by a straight one.
    """
    law = PumpLaw(((0.0, 8.0), (1e-3, 7.8), (2e-3, 7.0), (3e-3, 5.7)), 1.0)
    assert law.head(5e-3)[0] == pytest.approx(5.7 - 1.55 * 2 - 0.25 * 2**2)


@pytest.mark.parametrize("first", [0.0, 1e-3])
def test_a_curve_that_flattens_goes_on_straight(first):
    """5, 3 and 2 m at 0, 1 and 2 L/s, or each a litre a second later: at least as steeply as from end to end, 1.5 m for
    1 L/s.
    """
    law = PumpLaw(((first, 5.0), (first + 1e-3, 3.0), (first + 2e-3, 2.0)), 1.0)
    assert law.open_flow == pytest.approx(first + 2e-3 + 2.0 / 1.5e3)
