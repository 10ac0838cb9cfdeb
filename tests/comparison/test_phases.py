"""Two layouts whose pumps ramp or alternate: judged over the whole cycle, and phase by phase."""

from dataclasses import replace

import numpy as np
import pytest

from flowviz import compare
from flowviz.assess.cycle import measure_cycle
from flowviz.comparison.course import course
from flowviz.comparison.figures import figures, in_phases
from flowviz.comparison.numbers import comparison_numbers
from flowviz.comparison.sentences import places_and_shares
from flowviz.comparison.speeds import freedom, speed_change, variance
from flowviz.cycle import Moment, scaled
from flowviz.draw.layouts.difference import difference_view, plane_of_change
from flowviz.scene.model import Coral, Phase
from flowviz.study import phase_alone
from flowviz.tables import comparison_tables

HOUR = 3600.0
CREST = Coral("crest", (0.9, 0.3, 0.3), (0.2, 0.1, 0.1), (0.05, 0.3))  # at the right


def left_dead(x, y, z):
    return np.where(x < 0.6, 0.01, 0.1)


def right_dead(x, y, z):
    return np.where(x > 0.6, 0.01, 0.1)


@pytest.fixture
def scene(make):
    return make.scene(rocks=(), corals=(CREST,))


@pytest.fixture
def cycling(make, scene):
    """A study whose phases, told as name, time and speeds (None: at rest), are as long and as fast; the first shown."""

    def made(*phases):
        told = tuple(Phase(name, time, {}, {}) for name, time, _ in phases)
        studies = [make.study(scene, speeds or make.alive) for *_, speeds in phases]
        whole = replace(studies[0].scene, phases=told)
        fields = [study.field if phases[n][2] else scaled(study.field, 0.0) for n, study in enumerate(studies)]
        ways = ["computed" if speeds else "at rest" for *_, speeds in phases]
        moments = [
            Moment(phase, study.loop, field, way)
            for phase, study, field, way in zip(told, studies, fields, ways, strict=True)
        ]
        cycle = measure_cycle(whole, studies[0].grid, fields, [study.loop.rates for study in studies])
        return replace(studies[0], scene=whole, moments=tuple(moments), cycle=cycle)

    return made


def of(found, name):
    return next(each for each in found if each.name == name)


def test_figures_are_those_of_the_cycle(cycling):
    """The same sums as the study's own tables (assess/cycle.py), and those of the corals beside them."""
    study = cycling(("flood", 3 * HOUR, left_dead), ("ebb", HOUR, right_dead))
    found = figures(study)
    for name in ("dead_fraction", "over_fraction"):
        assert found[name].value == study.cycle.spreads[name].mean
        assert found[name].half_width >= study.cycle.spreads[name].uncertainty
    assert found["crest/in_band_fraction"].value == study.cycle.corals["crest"].mean == pytest.approx(0.75)
    assert found["crest/under_fraction"].value == pytest.approx(0.25)  # exact: too still in one hour of four
    assert found["mean_speed"].value == pytest.approx(
        sum(share * in_phases(study)[name]["mean_speed"].value for name, share in (("flood", 0.75), ("ebb", 0.25)))
    )


def test_a_rest_of_all_pumps_is_no_fault_of_the_water(cycling):
    """The loop's figures are means over all the time, those of the water over that in which it moves."""
    study = cycling(("flood", 3 * HOUR, left_dead), ("feeding", HOUR, None))
    alone = cycling(("flood", 3 * HOUR, left_dead))
    found, moving = figures(study), figures(alone)
    for name in ("dead_fraction", "mean_speed", "crest/under_fraction", "bed/settling_fraction"):
        assert found[name] == moving[name]
    assert found["total_flow"].value == moving["total_flow"].value  # the hand-made loop is the same in both phases
    (caution,) = (each for each in compare(study, study).cautions if "pictures" in each.what)
    assert caution.why.endswith("those of the water leave out the phases in which all pumps rest")


def test_what_the_main_phase_does_not_show_is_told(cycling):
    """The flood is as it was; the ebb comes alive."""
    before = cycling(("flood", 3 * HOUR, left_dead), ("ebb", HOUR, right_dead))
    after = cycling(("flood", 3 * HOUR, left_dead), ("ebb", HOUR, lambda x, y, z: np.full_like(x, 0.1)))
    comparison = compare(before, after)
    assert of(comparison.differences, "dead_fraction").verdict == "better"
    assert of(comparison.phases["ebb"], "dead_fraction").verdict == "better"
    assert of(comparison.phases["flood"], "dead_fraction").verdict == "the same"
    told = "less dead water (50 % → 38 %) and less bed where detritus settles (50 % → 38 %) over the cycle"
    assert told in comparison.title
    assert "over the cycle" in comparison.reasons[0]
    assert "in the phase ebb is gone: " in comparison.reasons[1]
    assert [(pocket.fate, pocket.phase) for pocket in comparison.every_pocket] == [("stayed", "flood"), ("went", "ebb")]
    assert [pocket.phase for pocket in comparison.pockets] == ["flood"]
    assert all(pocket.before in before.measures.zones for pocket in comparison.pockets)  # what pictures show


def test_a_share_that_is_too_close_to_call_is_so_in_the_phase_of_the_pocket(cycling, findings):
    """The ebb's pocket is gone; its share of dead water alone is made too close to call, that of the cycle is not."""
    before = cycling(("flood", 3 * HOUR, left_dead), ("ebb", HOUR, right_dead))
    after = cycling(("flood", 3 * HOUR, left_dead), ("ebb", HOUR, lambda x, y, z: np.full_like(x, 0.1)))
    told = compare(before, after)
    found = findings(differences=told.differences, phases=told.phases, pockets=told.every_pocket)
    assert not list(places_and_shares(found))
    close = tuple(replace(each, verdict="too close to call") for each in found.phases["ebb"])
    (words,) = places_and_shares(replace(found, phases={**found.phases, "ebb": close}))
    assert "how much of all the water is dead in the phase ebb is another question" in words


def test_why_corals_are_worse_off_is_told_of_the_phase_it_was_looked_for_in(cycling):
    """The crest has what it wants in the ebb before, and in neither phase after."""
    slow = ("flood", 3 * HOUR, lambda x, y, z: np.full_like(x, 0.04))  # it wants 5 cm/s; 3 are dead
    before = cycling(slow, ("ebb", HOUR, lambda x, y, z: np.full_like(x, 0.1)))
    after = cycling(slow, ("ebb", HOUR, lambda x, y, z: np.full_like(x, 0.04)))
    told = compare(before, after)
    assert told.reasons[1].startswith("Now, the corals of crest have not the current they want: in the phase flood, ")


def test_a_phase_that_gets_worse_is_named_though_the_cycle_gets_better(cycling):
    before = cycling(("flood", 3 * HOUR, left_dead), ("ebb", HOUR, lambda x, y, z: np.full_like(x, 0.1)))
    after = cycling(("flood", 3 * HOUR, lambda x, y, z: np.full_like(x, 0.1)), ("ebb", HOUR, right_dead))
    comparison = compare(before, after)
    assert of(comparison.differences, "dead_fraction").verdict == "better"
    better, worse = comparison.title.split("; worse: ")
    assert (
        better == "Better: less dead water (38 % → 12 %) over the cycle and one other figure"
    )  # the rest is cut short
    assert worse == "more of the crest in too weak a current (0 % → 25 %) over the cycle and 2 other figures"
    assert "more dead water (0 % before, 50 % after)" in comparison.reasons[2]
    assert "in the phase ebb" in comparison.reasons[2]


def test_water_that_every_phase_leaves_dead_is_a_figure_of_its_own(cycling, make, scene):
    """Against a tank without phases, whose dead water is always dead: the halves take turns to be so."""
    steady = make.study(scene, left_dead)
    turns = cycling(("flood", HOUR, left_dead), ("ebb", HOUR, right_dead))
    comparison = compare(steady, turns)
    found = of(comparison.differences, "always_dead_fraction")
    assert (found.before, found.after) == (steady.measures.dead_fraction, 0.0)
    assert found.verdict == "better"
    assert not comparison.phases
    assert "always_dead_fraction" not in {each.name for each in compare(steady, steady).differences}


def test_rest_is_no_noise(cycling):
    """Of water at rest no average decides anything: it is wholly dead before, and in part dead after."""
    before = cycling(("flood", 3 * HOUR, left_dead), ("night", HOUR, None))
    after = cycling(("flood", 3 * HOUR, left_dead), ("night", HOUR, left_dead))
    for pair, verdict in (((before, before), "the same"), ((before, after), "better"), ((after, before), "worse")):
        assert of(compare(*pair).phases["night"], "dead_fraction").verdict == verdict


def test_each_phase_has_a_table_and_numbers(cycling):
    study = cycling(("flood", 3 * HOUR, left_dead), ("ebb", HOUR, right_dead))
    comparison = compare(study, study)
    assert comparison.title == "The two layouts are the same; what differs is chance"
    titles = [table.title for table in comparison_tables(comparison)]
    assert titles[:3] == ["What differs", "What differs in the phase flood", "What differs in the phase ebb"]
    assert titles[3] == "What becomes of the pockets, each judged by the speed in its place, before → after"
    assert [", in the phase " in row[-1] for row in comparison_tables(comparison)[3].rows] == [True, True]
    labels = [row[1] for row in comparison_tables(comparison)[0].rows]
    assert labels[:2] == ["dead water, over the cycle", "water that is dead in every phase"]
    assert "holes drilled" in labels
    assert "water that the worst break lets out" in labels  # whatever the pumps do
    numbers = comparison_numbers(comparison)
    assert set(numbers["phases"]) == {"flood", "ebb"}
    assert numbers["differences"][0]["when"] == "over the cycle"


def test_cautions_say_what_is_of_one_phase_and_what_phases_differ(cycling, make, scene):
    study = cycling(("flood", 3 * HOUR, left_dead), ("ebb", HOUR, right_dead))
    other = cycling(("flood", 2 * HOUR, left_dead), ("ebb", HOUR, right_dead))
    alike, unlike = (" ".join(map(str, compare(study, each).cautions)) for each in (study, other))
    assert "pictures of the water are of the phase flood only" in alike
    assert "different phases" not in alike
    assert "different phases" in unlike
    steady = make.study(scene, left_dead)
    assert "phase" not in " ".join(map(str, compare(steady, steady).cautions))


def test_a_phase_alone_has_only_what_blows_in_it(make):
    """Else a jet that is shut would be what ends a pocket, or what makes it."""
    jets = (
        make.outlet("left jet", (0.0, 0.1, 0.4), (1, 0, 0), "left"),
        make.outlet("top", (0.6, 0.1, 0.5), (0, 0, -1), None),
    )
    study = make.study(make.scene(outlets=jets), make.alive)
    loop = replace(study.loop, rates=study.loop.rates | {"left jet": 0.0})
    alone = phase_alone(study, Moment(Phase("ebb", HOUR, {}, {}), loop, study.field, "computed"))
    assert [outlet.name for outlet in alone.scene.outlets] == ["top"]
    assert [patch.name for patch in alone.grid.patches] == ["top", "right low"]
    assert alone.measures.dead_fraction == study.measures.dead_fraction


def test_a_course_says_that_its_measures_are_of_the_cycle(cycling, make, scene):
    study = cycling(("flood", HOUR, left_dead), ("ebb", HOUR, right_dead))
    steady = make.study(scene, left_dead)
    assert course([study, study], "left jet").reasons[0].endswith("it has moved, as means over the cycle.")
    assert course([steady, steady], "left jet").reasons[0].endswith("it has moved.")


def test_a_course_has_no_picture_of_one_phase_to_warn_of(cycling):
    study = cycling(("flood", HOUR, left_dead), ("ebb", HOUR, right_dead))
    assert "phase" not in " ".join(map(str, course([study, study], "left jet").cautions))


def test_a_phase_that_was_hardly_looked_at_is_told_but_blurs_no_picture_of_the_main_one(cycling):
    """The windows of all are marches of their own, but for the ebb's, which was averaged for a second only."""
    study = cycling(("flood", 3 * HOUR, left_dead), ("ebb", HOUR, right_dead))
    known = replace(study.field, quality=replace(study.field.quality, marches=len(study.field.batches)))
    glimpse = replace(known, quality=replace(known.quality, marches=1, averaged=1.0))
    long, brief = (
        replace(study, field=known, moments=tuple(map(seen_as, study.moments, (known, each))))
        for each in (known, glimpse)
    )
    assert "hardly longer" not in " ".join(map(str, compare(long, long).cautions))
    assert "hardly longer" in " ".join(map(str, compare(long, brief).cautions))
    assert (freedom_of(long, brief) == freedom_of(long, long)).all()


def seen_as(moment, field):
    return replace(moment, field=field)


def freedom_of(before, after):
    return freedom(variance(before), variance(after), before, after, variance(before) + variance(after) + 1e-12)


@pytest.mark.parametrize(
    ("main", "told"), [("flood", "In the phase flood, "), ("ebb", "In the phase flood and in the phase ebb, ")]
)
def test_the_map_of_changes_says_of_which_phase_it_is(cycling, main, told):
    """The main one of each layout, which is the first of these."""
    before = cycling(("flood", 3 * HOUR, left_dead), ("rest", HOUR, None))
    after = cycling((main, 3 * HOUR, lambda x, y, z: np.full_like(x, 0.1)), ("rest", HOUR, None))
    comparison = compare(before, after)
    change = speed_change(before, after)
    cut = plane_of_change(comparison, change)
    assert f"noise. {told}" in difference_view(comparison, cut, change).description
