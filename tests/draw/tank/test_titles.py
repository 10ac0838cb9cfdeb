"""The sentence over the still: the worst first."""

from dataclasses import replace

import numpy as np
import pytest

from flowviz.cycle import Moment
from flowviz.draw.flat.pages import section_view
from flowviz.draw.flat.planes import Section, Subject
from flowviz.draw.flat.planes import corals as group_sections
from flowviz.draw.flat.section import is_in_rock
from flowviz.draw.flat.slices import Plane
from flowviz.draw.flat.titles import plan_title, section_title
from flowviz.draw.sheets.wording import place
from flowviz.draw.tank.page import below_the_title
from flowviz.draw.tank.panel import panel
from flowviz.draw.tank.still import set_up, thing_labels
from flowviz.draw.tank.titles import discontent, study_title
from flowviz.scene.model import Coral, Phase

CREST = Coral("crest", (0.6, 0.3, 0.35), (0.2, 0.2, 0.05), (0.05, 0.3))
NEEDY = Coral("garden", (0.9, 0.2, 0.3), (0.2, 0.2, 0.1), (0.3, 0.4))


def even(x, y, z):
    return np.full(x.shape, 0.1)


def mostly_dead(x, y, z):
    return np.where(x > 0.5, 0.01, 0.1)


@pytest.fixture
def needy(make):
    """Water at 10 cm/s throughout: right for the crest (5 to 30 cm/s), too weak for the garden (30 to 40)."""
    return make.study(make.scene(corals=(CREST, NEEDY)), even)


def test_corals_without_their_current_stand_before_water_that_is_well(needy):
    assert study_title(needy) == "All of the corals of garden are in too weak a current; no water is dead"


@pytest.mark.parametrize(("name", "told"), [("corals", "the corals"), ("soft corals", "the soft corals")])
def test_corals_that_are_called_so_are_told_once(make, name, told):
    title = study_title(make.study(make.scene(corals=(replace(NEEDY, name=name),)), even))
    assert title.startswith(f"All of {told} are in too weak a current; ")


def test_the_larger_share_stands_first(make):
    """More than half of the water is dead; of a band of 50 cm along the tank the part to the right of 50 cm is."""
    partly = Coral("band", (0.4, 0.1, 0.4), (0.5, 0.1, 0.1), (0.05, 0.3))  # from 15 to 65 cm: 3 tenths are dead
    title = study_title(make.study(make.scene(corals=(partly,)), mostly_dead))
    assert title.index("of the water is dead") < title.index("of the corals of band")


def test_of_several_groups_the_worst_is_named(make):
    """All of the frags stand in too strong a current; of the band the dead part alone in too weak a one."""
    band = Coral("band", (0.4, 0.1, 0.4), (0.5, 0.1, 0.1), (0.05, 0.3))
    frags = Coral("frags", (0.2, 0.2, 0.3), (0.2, 0.2, 0.1), (0.01, 0.02))
    title = study_title(make.study(make.scene(corals=(band, frags, CREST)), mostly_dead))
    assert title.startswith("All of the corals of frags are in too strong a current; ")
    assert "band" not in title


def unsure_of(study, **more):
    """A study whose corals' shares, and what else is told, may be anything."""
    corals = {
        name: replace(found, uncertainty=dict.fromkeys(found.uncertainty, 1.2))
        for name, found in study.measures.corals.items()
    }
    unsure = {**study.measures.uncertainty, **more}
    return replace(study, measures=replace(study.measures, corals=corals, uncertainty=unsure))


def test_a_headline_never_opens_with_a_share_that_may_be_anything(make, needy):
    band = Coral("band", (0.4, 0.1, 0.4), (0.5, 0.1, 0.1), (0.05, 0.3))
    study = unsure_of(make.study(make.scene(corals=(band,)), mostly_dead), dead_fraction=1.2)
    assert study_title(study) == (
        "Too unsure to say how much of the water is dead: a fine run or compare tells more; "
        "too unsure to say of band: a fine run or compare tells more"
    )
    title = study_title(unsure_of(needy))
    assert title == "Too unsure to say of garden: a fine run or compare tells more; no water is dead"


def test_what_is_known_is_told_before_what_nothing_can_be_said_of(make):
    """A sixth of the water is dead. Of both groups nothing can be said, then of the garden, the worse one, alone."""
    study = make.study(make.scene(corals=(CREST, NEEDY)), lambda x, y, z: np.where(x > 1.0, 0.01, 0.1))
    unsure = unsure_of(study)
    assert study_title(unsure).endswith("; too unsure to say of garden: a fine run or compare tells more")
    crest = replace(study.measures.corals["garden"], in_band_fraction=0.1, under_fraction=0.9)
    mixed = replace(unsure, measures=replace(unsure.measures, corals={**unsure.measures.corals, "crest": crest}))
    assert study_title(mixed).startswith("90.0 ± ")
    assert [subject.number for subject in group_sections(mixed)] == [0, 1]
    beside = [text.words for texts in panel(mixed) for text in texts]
    assert beside.index("garden: too unsure to say") > [words.startswith("crest: ") for words in beside].index(True)


def test_the_title_of_a_section_opens_with_a_capital(needy):
    of_garden = Subject("coral", 1)
    assert section_title(unsure_of(needy), of_garden) == "Too unsure to say of garden: a fine run or compare tells more"
    assert section_title(needy, of_garden) == "Garden: all too still, below 30 cm/s"


def test_a_limit_is_told_as_it_was_set(make):
    """1.6 ft/s are 19.2 in/s, and not 19: what is set is no finding that a digit may be taken from."""
    scene = make.scene(show="us", corals=(Coral("needy", (0.9, 0.2, 0.3), (0.2, 0.2, 0.1), (0.48768, 0.6096)),))
    study = make.study(replace(scene, limits=replace(scene.limits, over=0.48768)), lambda x, y, z: 0.6 + 0 * x)
    told = [text.words for texts in panel(study) for text in texts]
    assert "is too strong: faster than 19.2 in/s" in told
    assert "above 19.2 in/s" in section_title(study, Subject("fastest", 0))


def test_a_further_section_never_denies_the_pockets_of_the_first(make):
    """Without corals a third section goes through the stillest water once more, or through the fastest."""
    study = make.study(make.scene(corals=()), lambda x, y, z: np.where(x > 0.5, 0.01, 0.7))
    assert {zone.kind for zone in study.measures.zones} == {"dead", "over"}
    for kind, word in (("stillest", "Dead: "), ("fastest", "Too strong: ")):
        title = section_title(study, Subject(kind, 0))
        assert title.startswith(word)
        assert title.endswith("in pockets and in small spots")


def test_over_the_plan_stands_how_large_the_worst_pocket_is(make):
    """Both ends are dead, 30 and 20 cm of a tank that is 50 cm wide and has 45 cm of water: 68 L and 45."""
    study = make.study(make.scene(), lambda x, y, z: np.where((x < 0.3) | (x > 1.0), 0.01, 0.1))
    assert plan_title(study) == "2 dead pockets, the worst 68 L filling the left end"


def test_cores_of_jets_that_do_no_harm_are_told_as_such(make):
    """A core in open water; the same where corals are in it, and beside some that want calmer water than the rest."""

    def core(x, y, z):
        return np.where((abs(y - 0.1) < 0.03) & (abs(z - 0.4) < 0.03) & (x < 0.6), 0.8, 0.1)

    struck = Coral("struck", (0.5, 0.1, 0.4), (0.2, 0.1, 0.1), (0.05, 0.9))
    tender = Coral("tender", (0.5, 0.4, 0.1), (0.2, 0.1, 0.1), (0.02, 0.08))
    open_water, at_corals, beside = (
        study_title(make.study(make.scene(corals=corals), core)) for corals in ((), (struck,), (tender,))
    )
    assert open_water.endswith(" of the water is too strong, away from corals and sand; no water is dead")
    assert at_corals.endswith(" of the water is too strong; no water is dead")
    assert beside.startswith("All of the corals of tender are in too strong a current; ")
    assert beside.endswith(" of the water is too strong")


def test_without_corals_it_tells_of_the_water(make):
    study = make.study(make.scene(corals=()), even)
    assert study_title(study) == "No water is dead; no water is too strong"


def test_a_group_without_water_says_nothing(make):
    buried = Coral("buried", (0.6, 0.3, 0.1), (0.05, 0.02, 0.05), (0.3, 0.4))  # inside the wall
    assert not discontent(make.study(make.scene(corals=(buried,)), even))


def test_a_cycle_says_which_phase_it_shows(needy):
    ebb = Moment(Phase("ebb", 600.0, {}, {}), needy.loop, needy.field, "computed")
    assert study_title(replace(needy, moments=(ebb,))).startswith("In the phase ebb, all of the corals")


def test_the_label_of_corals_says_what_is_wrong(needy):
    labels = {label.text: label for label in thing_labels(needy, set_up(needy, 5.0, 4.0))}
    assert labels["garden: too still"].rim > labels["crest"].rim
    assert (labels["garden: too still"].weight, labels["crest"].weight) == ("bold", "normal")


def words_beside(study):
    """What stands beside the still, and the labels in it."""
    labels = {label.text for label in thing_labels(study, set_up(study, 5.0, 4.0))}
    return {text.words for texts in panel(study) for text in texts}, labels


def test_headline_label_and_figures_agree_on_corals_that_nothing_can_be_said_of(needy):
    told, labels = words_beside(unsure_of(needy))
    assert "garden: too unsure to say" in told & labels
    assert not any("too still" in words for words in told | labels)


def test_a_group_in_no_water_stands_out(make):
    buried = Coral("buried", (0.6, 0.3, 0.1), (0.05, 0.02, 0.05), (0.3, 0.4))  # inside the wall
    told, labels = words_beside(make.study(make.scene(corals=(buried,)), even))
    assert "buried: in no water" in told & labels


def test_the_long_name_of_an_opening_does_not_run_into_the_next_column(make):
    """A place in quotes is never broken, so the name in it is shortened to 26 letters."""
    name = "the outlet that stood here before anybody can remember"
    jet = replace(make.scene().outlets[0], name=name)
    scene = make.scene(outlets=(jet,))
    assert place(f"in the jet of “{name}”, high", scene) == "in the jet of “the outlet that stood her…”, high"


def test_an_opening_behind_rock_is_not_drawn_in_it(make):
    """The wall stands from x 45 to 75 cm, y 25 to 35 cm, z 0 to 30 cm; the outlet is moved to the front, behind it."""
    jet = replace(make.scene().outlets[0], centre=(0.6, 0.0, 0.2), normal=(0.0, 1.0, 0.0), direction=(0.0, 1.0, 0.0))
    scene = make.scene(outlets=(replace(jet, panel="front"),))
    assert is_in_rock(scene.outlets[0], scene, Plane(1, 0, 0.3))
    assert not is_in_rock(scene.outlets[0], scene, Plane(1, 0, 0.4))
    texts = [
        {text.get_text() for text in section_view(study, Section(Subject("fastest", 0), cut)).figure.axes[0].texts}
        for study in [make.study(scene, even)]
        for cut in (Plane(1, 12, 0.3125), Plane(1, 16, 0.4125))
    ]
    assert ["A" in found for found in texts] == [False, True]


def test_dead_water_that_is_drawn_is_told_beside_the_still_though_no_pocket_is_large_enough(make):
    """Thirty-two cells of 25 mm are drawn, 0.5 L; a pocket has at least 0.2 % of the 17 000 of this tank."""
    spot = make.study(make.scene(), lambda x, y, z: np.where((x > 1.1) & (y > 0.4) & (z > 0.45), 0.01, 0.1))
    assert not spot.measures.zones
    told = [text.words for texts in panel(spot) for text in texts]
    (words,) = (each for each in told if each.startswith("dead in small spots only"))
    assert told[told.index(words) - 1] == "Worst pockets"
    both = make.study(make.scene(), lambda x, y, z: np.where((x > 1.1) & (y > 0.4) & (z > 0.45) | (x < 0.2), 0.01, 0.1))
    beside = [text.words for texts in panel(both) for text in texts]
    assert words.replace("small spots only", "further small spots") in beside
    well = make.study(make.scene(), even)
    assert "Worst pockets" not in [text.words for texts in panel(well) for text in texts]


def test_the_columns_beside_each_other_begin_at_one_height(make):
    """Without corals the last one begins with the loop's figures, and not with the space above them."""
    for corals in ((), (CREST,)):
        study = make.study(make.scene(corals=corals), mostly_dead)
        assert [column[0].words.strip() != "" for column in panel(study)] == [True, True, True]


def test_under_the_headline_it_stands_that_a_quick_run_is_one_look(make):
    """A sketch of one march, averaged for 30 s; of the mean of several marches nothing is said."""
    study = make.study(make.scene(), even)
    brief = replace(study, field=replace(study.field, quality=replace(study.field.quality, averaged=30.0)))
    shot = set_up(study, 5.0, 4.0)
    assert below_the_title(brief, shot).endswith("; one look of 30 s; several tell more")
    several = replace(brief, settings=replace(brief.settings, marches=12))
    assert "look" not in below_the_title(several, shot)


def test_the_panel_tells_all_that_is_worth_trying_first(make):
    """A dead corner beside the jet, and corals far along it that want more: as after a run, something for each."""
    garden = Coral("garden", (0.9, 0.2, 0.3), (0.2, 0.2, 0.1), (0.2, 0.4))
    study = make.study(make.scene(corals=(garden,)), lambda x, y, z: np.where((x < 0.3) & (y > 0.3), 0.01, 0.1))
    told = {text.words for texts in panel(study) for text in texts}
    assert len(study.measures.first_steps) == 2
    for step in study.measures.first_steps:
        assert {f"Why: {step.cause}", f"Worth trying: {step.remedy}"} <= told
