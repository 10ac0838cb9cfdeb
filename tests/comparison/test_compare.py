"""Two hand-made studies side by side: what is called, and what is not."""

from dataclasses import replace
from math import isnan

import numpy as np
import pytest
from scipy.stats import t as student

from flowviz import compare
from flowviz.comparison.differences import WRONG, verdict
from flowviz.comparison.figures import Figure
from flowviz.plumbing.loop import PumpDuty
from flowviz.report.client import facts_of_two, sentences_of_two
from flowviz.scene.apertures import Bore, Slot
from flowviz.scene.model import Coral, Intake, Outlet
from flowviz.tables import comparison_tables

SAME = "The two layouts are the same; what differs is chance"
STEADY = (0.98, 1.02, 1.01, 0.99)  # factors of the speed in each window


def half_dead(x, y, z):
    return np.where(x > 0.6, 0.01, 0.1)


def called(comparison):
    return {each.name for each in comparison.differences if each.called}


def verdicts(comparison):
    return {each.name: each.verdict for each in comparison.differences}


def test_a_study_does_not_differ_from_itself(dead):
    comparison = compare(dead, dead)
    assert called(comparison) == set()
    assert comparison.title == SAME
    assert len(comparison.stayed) == len(dead.measures.zones) == 1


def test_whatever_differs_between_two_studies_of_one_layout_is_chance(dead, alive):
    """However much it is: of the same scene with other water nothing is called, and no pocket is gone or new."""
    comparison = compare(dead, replace(alive, scene=dead.scene))
    assert comparison.title == SAME
    assert comparison.reasons[0].startswith("Nothing was changed between the two scenes")
    assert called(comparison) == set()
    assert verdicts(comparison)["dead_fraction"] == "too close to call"
    assert [pocket.fate for pocket in comparison.pockets] == ["perhaps went"]
    assert not any("gone:" in reason for reason in comparison.reasons)


def test_one_layout_on_other_cells_differs_by_how_it_was_computed_too(make, dead):
    coarser = replace(make.study(dead.scene, make.dead, cell=0.03), scene=dead.scene)
    assert compare(dead, coarser).title == f"{SAME} and how they were computed"


def test_water_that_comes_alive_is_better(dead, alive):
    comparison = compare(dead, alive)
    assert verdicts(comparison)["dead_fraction"] == "better"
    assert verdicts(comparison)["bed/settling_fraction"] == "better"
    assert verdicts(comparison)["holes"] == verdicts(comparison)["glass_removed"] == "the same"
    assert [pocket.before for pocket in comparison.went] == list(dead.measures.zones)
    assert "less dead water" in comparison.title


@pytest.mark.parametrize("milder", ["a band", "a limit"])
def test_milder_measures_make_no_layout_better(make, milder):
    """The same water, 10 cm/s in one part and 1 in the other, judged by less than before."""
    scene = make.scene()
    wish = replace(scene.corals[0], speed=(0.005, 0.3))
    changes = {"corals": (wish,)} if milder == "a band" else {"limits": replace(scene.limits, dead=0.005)}
    one, other = (make.study(each, half_dead) for each in (scene, replace(scene, **changes)))
    told = compare(one, other)
    assert "etter:" not in told.title
    assert "changed" in verdicts(told).values()
    assert not {"better", "worse"} & set(verdicts(told).values())


def test_corals_that_one_layout_does_not_have_are_no_matter_of_both(make):
    garden = Coral("garden", (0.3, 0.2, 0.3), (0.2, 0.2, 0.1), (0.2, 0.4))
    one, other = (make.study(make.scene(corals=corals), make.alive) for corals in ((garden,), ()))
    for before, after in ((one, other), (other, one)):
        assert not any("Neither layout gives" in reason for reason in compare(before, after).reasons)


def test_and_the_other_way_round_it_is_worse(dead, alive):
    comparison = compare(alive, dead)
    assert verdicts(comparison)["dead_fraction"] == "worse"
    assert [pocket.after for pocket in comparison.came] == list(dead.measures.zones)
    assert comparison.reasons[1] == "No pocket is surely gone."
    assert comparison.reasons[2].startswith("The price: more dead water")


def test_the_interval_of_a_change_is_that_of_welch_for_all_figures_together(make):
    """Mean speeds of 10 cm/s times the windows' factors; by hand, with equal windows on both sides."""
    fast = make.study(make.scene(), make.alive, windows=(1.48, 1.52, 1.51, 1.49))
    comparison = compare(make.study(make.scene(), make.alive, windows=STEADY), fast)
    found = next(each for each in comparison.differences if each.name == "mean_speed")
    error = 0.1 * np.std(STEADY, ddof=1) / 2  # of either mean; both scatter alike, so Welch has 2 · 3 degrees
    others = 1  # everything else is a share that no window changes
    expected = student.ppf(1 - WRONG / others / 2, 6) * error * np.sqrt(2)
    assert found.change == pytest.approx(0.05, rel=1e-5)  # single precision
    assert found.change_half_width == pytest.approx(expected, rel=1e-4)  # single precision


def test_a_change_within_the_noise_is_never_a_gain(make):
    """The dead corner is at the limit: in half of the windows it is beyond it, in half it is not."""

    def nearly(x, y, z):
        return np.where((x > 0.9) & (y > 0.3), 0.0299, 0.1)

    def just(x, y, z):
        return np.where((x > 0.9) & (y > 0.3), 0.0301, 0.1)

    restless = (0.8, 1.2, 0.7, 1.3)
    comparison = compare(*(make.study(make.scene(), speeds, windows=restless) for speeds in (nearly, just)))
    found = next(each for each in comparison.differences if each.name == "dead_fraction")
    assert found.before > 0.1
    assert found.after == 0.0
    assert found.verdict == "too close to call"
    assert not comparison.went
    assert [pocket.fate for pocket in comparison.doubtful] == ["perhaps went"]


def test_a_pocket_that_is_surely_gone_is_reconciled_with_a_share_that_is_too_close_to_call(make):
    """A place at the limit: in half of the windows it is dead, so its share may be none; after, it has 10 cm/s."""

    def at_the_limit(x, y, z):
        return np.where((x > 0.9) & (y > 0.3) & (z > 0.25), 0.0299, 0.1)

    before = make.study(make.scene(), at_the_limit, windows=(0.8, 1.2, 0.7, 1.3))
    after = make.study(make.scene(), make.alive)
    for pair, fate, word in (((before, after), "went", "gone"), ((after, before), "came", "new")):
        told = compare(*pair)
        assert verdicts(told)["dead_fraction"] == "too close to call"
        assert [pocket.fate for pocket in told.pockets] == [fate]
        assert told.title == f"No figure is surely better or worse; {word}: one dead pocket"
        assert "No figure of the water gets better" in told.reasons[0]
        assert "how much of all the water is dead is another question and too close to call" in told.reasons[1]
        assert any("another question" in words for words in sentences_of_two(told))
        share, pocket, *_ = facts_of_two(told).rows
        assert (share[1], share[-1]) == ("dead water, all in all", "too close to call")
        assert (pocket[0], pocket[-1]) == ("dead pocket", word)
        assert pocket[2 if fate == "went" else 3] != "–"
        assert pocket[3 if fate == "went" else 2] == "–"
        (pockets,) = (table for table in comparison_tables(told) if "pockets" in table.title)
        assert "each judged by the speed in its place" in pockets.title


def test_where_the_share_is_called_too_nothing_is_to_be_reconciled(dead, alive):
    assert not any("another question" in reason for reason in compare(dead, alive).reasons)


@pytest.mark.parametrize(
    ("good", "before", "after", "width", "expected"),
    [
        ("less", 0.30, 0.10, 0.1, "better"),
        ("less", 0.10, 0.30, 0.1, "worse"),
        ("more", 0.10, 0.30, 0.1, "better"),
        ("more", 0.30, 0.10, 0.1, "worse"),
        (None, 0.30, 0.10, 0.1, "changed"),
        ("less", 0.30, 0.10, 0.21, "too close to call"),
        ("less", 0.30, 0.10, float("nan"), "too close to call"),
        ("less", 0.300, 0.299, 0.004, "the same"),
        ("less", 0.300, 0.299, 0.0004, "the same"),
        ("less", float("nan"), 0.1, 0.1, "changed"),
        ("less", float("nan"), float("nan"), 0.1, "the same"),
    ],
)
def test_verdicts(good, before, after, width, expected):
    pair = [Figure("the water", "dead water", "share", good, value, 0.05, 0.001) for value in (before, after)]
    assert verdict(*pair, width) == expected


def test_what_no_window_ever_showed_is_the_same():
    never = Figure("crest", "too strong", "share", "less", 0.0, 0.03, 0.03)  # none of a hundred cells
    once = Figure("crest", "too strong", "share", "less", 0.0, 0.05, 0.03)
    assert verdict(never, never, 0.04) == "the same"
    assert verdict(never, once, 0.06) == "too close to call"


def test_what_no_average_decides_is_the_same_within_what_pipes_are_known_to():
    flows = [Figure("the loop", "flow", "flow", None, value) for value in (1.0, 1.009, 1.011)]
    assert verdict(flows[0], flows[1], 0.0) == "the same"
    assert verdict(flows[0], flows[2], 0.0) == "changed"


def test_a_weir_cut_out_of_its_panel_is_no_hole_more(make, alive):
    scene = make.scene()
    weir = Intake("weir", (0.0, 0.3, 0.5), (1, 0, 0), Slot(0.6, 0.05), "left", None, None, None)
    comparison = compare(alive, make.study(replace(scene, intakes=(*scene.intakes, weir)), make.alive))
    (holes,) = (each for each in comparison.differences if each.name == "holes")
    assert holes.change == 0
    (cut,) = (each for each in comparison.differences if each.label == "weirs and slots cut out")
    assert (cut.before, cut.after, cut.verdict) == (0, 1, "worse")
    assert "more weirs and slots cut out" in comparison.reasons[2]
    assert ("the glass", "weirs and slots cut out", "0", "1", "worse") in facts_of_two(comparison).rows


def test_of_weirs_nothing_is_told_where_there_are_none(make, alive, dead):
    assert not any("weir" in cell for row in comparison_tables(compare(alive, dead))[0].rows for cell in row)


def test_a_further_outlet_costs_its_hole(make, alive):
    scene = make.scene()
    second = Outlet("second", (0.0, 0.4, 0.4), (1, 0, 0), (1, 0, 0), Bore(0.03), "left", 0.06, None)
    comparison = compare(alive, make.study(replace(scene, outlets=(*scene.outlets, second)), make.alive))
    found = {each.name: each for each in comparison.differences}
    assert found["holes"].verdict == "worse"
    assert found["holes"].change == 1
    assert found["glass_removed"].change == pytest.approx(np.pi / 4 * 0.06**2)
    assert isnan(found["second/flow"].before)
    assert found["second/flow"].verdict == "changed"
    assert "more holes" in comparison.reasons[2]
    back = compare(comparison.after, comparison.before).reasons
    assert not any(word in back[2] for word in ("hole", "glass removed"))  # a gain is no price
    assert str(comparison.changes[0]) == "the second is added"


def test_what_ought_to_be_alike_is_told_where_it_is_not(make, dead):
    other = make.study(make.scene(limits=replace(dead.scene.limits, dead=0.02)), make.dead)
    other = replace(other, settings=replace(other.settings, detail="coarse"))
    told = " ".join(caution.what for caution in compare(dead, other).cautions)
    assert "levels of detail" in told
    assert "limits" in told


def test_tanks_of_other_cells_are_compared_place_by_place(make, dead):
    """The same water on larger cells: its one pocket stays, and nothing is called better or worse."""
    coarser = make.study(make.scene(), make.dead, cell=0.03)
    comparison = compare(dead, coarser)
    assert [pocket.fate for pocket in comparison.pockets] == ["stayed"]
    assert comparison.stayed[0].speed_after == pytest.approx(comparison.stayed[0].speed_before, rel=0.05)  # edge cells


def duty(head, power):
    """Of a pump that moves a litre a second."""
    return PumpDuty(1.0, 1e-3, head, 2e-3, 0.0, 2e-3, 10.0, power, 10.0 / power, 9.0, None)


def with_pumps(study, **pumps):
    """The same with duty points."""
    return replace(study, loop=replace(study.loop, pumps=pumps))


def test_another_pump_in_the_place_of_the_only_one_is_told(dead):
    comparison = compare(with_pumps(dead, small=duty(2.0, 100.0)), with_pumps(dead, large=duty(3.0, 200.0)))
    found = {each.name: (each.before, each.after) for each in comparison.differences}
    assert found["the pump/head"] == (2.0, 3.0)
    assert verdicts(comparison)["the pump/power"] == "worse"


def test_a_pump_that_one_layout_lacks_is_no_cost(dead):
    pump = duty(2.0, 100.0)
    two = with_pumps(dead, one=pump, two=pump)
    for pair in ((dead, with_pumps(dead, pump=pump)), (two, with_pumps(dead, one=pump))):
        comparison = compare(*pair)
        assert not any("nan" in told or "head of" in told for told in comparison.reasons)
        assert comparison_tables(comparison)


def test_one_look_at_each_calls_nothing(make):
    """All is better by far, but averaged for a second only, in which no current wanders."""
    looks = []
    for speeds in (make.dead, make.alive):
        study = make.study(make.scene(), speeds, windows=STEADY)
        quality = replace(study.field.quality, averaged=1.0)
        looks.append(replace(study, field=replace(study.field, quality=quality)))
    comparison = compare(*looks)
    assert comparison.title == "Too close to call"
    assert "have each marched more often" in comparison.reasons[1]
    assert not any(each.called for each in comparison.differences if each.noisy)
    assert not comparison.went


def test_layouts_of_unlike_tanks_are_told_apart(make, dead):
    """Another depth of the same tank, and the same tank described anew."""

    def told(study):
        return [caution.what for caution in compare(dead, study).cautions]

    tank = dead.scene.tank
    shallow = replace(dead, scene=replace(dead.scene, tank=replace(tank, depth=0.9 * tank.depth)))
    assert "the layouts are of tanks that differ in size or shape" in told(shallow)
    assert not any("tanks" in what for what in told(make.study(make.scene(), make.alive)))
