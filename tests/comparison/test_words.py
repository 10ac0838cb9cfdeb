"""What a comparison says of two hand-made studies, in a title and in sentences."""

from dataclasses import replace
from math import nan

import numpy as np
import pytest

from flowviz import compare
from flowviz.assess.words import share_within
from flowviz.comparison.differences import Difference
from flowviz.comparison.sentences import figure
from flowviz.report.client import TRUST, facts_of_two, sentences_of_two
from flowviz.scene.model import Coral
from flowviz.tables.comparison import row


def moved_jet(make):
    return make.outlet("left jet", (0.0, 0.1, 0.41), (1, 0, 0), "left")


def test_the_group_that_gains_most_is_told_first(make):
    """Dead water of a part of the tank, and two groups of corals: one wholly in it, one half and otherwise well."""
    whole = Coral("zinnia", (0.9, 0.3, 0.3), (0.2, 0.1, 0.1), (0.05, 0.3))
    half = replace(whole, name="aster", centre=(0.6, 0.3, 0.3))
    scene = make.scene(corals=(half, whole), rocks=())
    stale = make.study(scene, lambda x, y, z: np.where(x > 0.6, 0.01, 0.1))
    fresh = make.study(scene, lambda x, y, z: np.full(x.shape, 0.1))
    gain, loss = compare(stale, fresh).title, compare(fresh, stale).title
    assert gain.startswith("Better: more of the zinnia in the current it wants (0 % → 100 %), ")
    assert loss.startswith("Worse: more of the zinnia in too weak a current (0 % → 100 %), ")


def test_corals_that_neither_layout_suits_are_told_with_the_price(make):
    """The garden wants 20 to 40 cm/s and gets 10 in both; the crest has what it wants in both."""
    garden = Coral("garden", (0.3, 0.2, 0.3), (0.2, 0.2, 0.1), (0.2, 0.4))
    scene = make.scene(corals=(*make.scene().corals, garden))
    dead, alive = make.study(scene, make.dead), make.study(replace(scene), make.alive)
    told = compare(dead, alive)
    assert told.title.startswith("Better: less dead water")
    assert told.reasons[2].endswith(
        " Neither layout gives the corals of garden the current they want: 0 % have it before, 0 % after."
    )
    assert "crest the current" not in told.reasons[2]


def test_corals_that_are_better_off_and_still_lack_what_they_want_are_told_to(make):
    """The garden, from x = 0.8 to 1.0 m, wants 20 to 40 cm/s and gets 10; then a quarter of it has 30."""
    scene = make.scene(corals=(Coral("garden", (0.9, 0.1, 0.2), (0.2, 0.1, 0.1), (0.2, 0.4)),))
    ill = make.study(scene, make.alive)
    hardly = make.study(replace(scene, outlets=(moved_jet(make),)), lambda x, y, z: np.where(x < 0.85, 0.3, 0.1))
    told = compare(ill, hardly)
    assert told.title.startswith("Better: more of the garden in the current it wants")
    assert told.reasons[2].endswith(" the corals of garden the current they want: 0 % have it before, 25 % after.")


def test_the_core_of_a_jet_in_which_nothing_lives_is_new_and_no_price(make):
    """A core at 80 cm/s off the corals; half a percent of the water, which is too little for its share to be worse."""

    def core(x, y, z):
        return np.where((abs(y - 0.1) < 0.03) & (abs(z - 0.4) < 0.03) & (x < 0.4), 0.8, 0.1)

    told = compare(make.study(make.scene(), make.alive), make.study(make.scene(outlets=(moved_jet(make),)), core))
    assert any(" is new: " in reason for reason in told.reasons)
    assert "a new too-strong pocket" not in told.reasons[2]


def test_what_gets_worse_by_too_little_to_be_called_is_not_denied(make, alive):
    """A fifth of a percent of the water begins to blow at 80 cm/s, the rest at 12 and not 10, and flows grow by 2 %."""
    jet = moved_jet(make)

    def core(x, y, z):
        return np.where((abs(y - 0.1) < 0.03) & (abs(z - 0.4) < 0.03) & (x < 0.16), 0.8, 0.12)

    after = make.study(make.scene(outlets=(jet,)), core)
    loop = replace(after.loop, rates={name: 1.02 * rate for name, rate in after.loop.rates.items()})
    told = compare(alive, replace(after, loop=loop))
    grown = next(each for each in told.differences if each.name == "over_fraction")
    assert grown.verdict == "the same"
    assert grown.change > grown.change_half_width
    assert told.reasons[0].endswith(" No figure of the water gets better by more than the noise and 0.5 %.")
    assert told.reasons[2].startswith("Nothing about the water gets worse by more than the noise and 0.5 %; ")


def test_what_matters_more_stands_first_in_a_title_whichever_way_it_went(make):
    """More dead water, and more bed where detritus is kept moving; then the other way round."""

    def calm(x, y, z):
        return np.where(z < 0.1, 0.08, 0.1)  # near the bed, which detritus leaves from 12 cm/s on

    def mixed(x, y, z):
        return np.where(z < 0.1, 0.3, np.where(z > 0.3, 0.01, 0.1))

    scene = make.scene(corals=())
    one, other = make.study(scene, calm), make.study(replace(scene, outlets=(moved_jet(make),)), mixed)
    assert compare(one, other).title.startswith("Worse: more dead water (0 % → 46 %); better: ")
    assert compare(other, one).title.startswith("Better: less dead water (46 % → 0 %); worse: ")


def test_why_corals_are_better_or_worse_off_is_told_where_no_pocket_tells_it(make):
    """The garden wants 20 to 40 cm/s and gets 10, then 30; the jet passes 0.2 m over its middle, at 0.9 m of its way:
    inside its cone of 2 × 15 mm + 0.2 × 900 mm = 210 mm.
    """
    garden = Coral("garden", (0.9, 0.1, 0.2), (0.2, 0.1, 0.1), (0.2, 0.4))
    scene = make.scene(corals=(garden,))
    slow = make.study(scene, make.alive)
    brisk = make.study(replace(scene, outlets=(moved_jet(make),)), lambda x, y, z: np.full(x.shape, 0.3))
    spent = "the current they want: 920 mm along the jet of the left jet, which is spent there."
    assert compare(slow, brisk).reasons[1] == f"Before, the corals of garden had not {spent}"  # hypot(0.9, 0.2) m
    slower = make.study(replace(scene, outlets=(moved_jet(make),)), make.alive)
    brisker = make.study(scene, lambda x, y, z: np.full(x.shape, 0.3))
    assert compare(brisker, slower).reasons[1] == f"Now, the corals of garden have not {spent}"


def test_whatever_a_title_may_tell_stands_in_the_table_that_the_client_reads(make):
    """The crest gets 10 cm/s, then 50, of the 30 that it bears: one side of its band, which is left out else."""
    scene = make.scene()
    calm, strong = make.study(scene, make.alive), make.study(replace(scene), lambda x, y, z: np.full(x.shape, 0.5))
    (crest,) = (each.name for each in scene.corals)
    told = {row[:2]: row[-1] for row in facts_of_two(compare(calm, strong)).rows}
    assert told[crest, "too strong"] == "worse"
    assert (crest, "too still") not in told  # none before, none after


def test_how_many_corals_have_what_they_want_is_told_with_why_the_others_have_not(make):
    """The garden, from x = 0.8 to 1.0 m, wants 20 to 40 cm/s: all has 30, and then a quarter of it, the rest 10."""
    scene = make.scene(corals=(Coral("garden", (0.9, 0.1, 0.2), (0.2, 0.1, 0.1), (0.2, 0.4)),))
    well = make.study(scene, lambda x, y, z: np.full(x.shape, 0.3))
    ill = make.study(replace(scene, outlets=(moved_jet(make),)), lambda x, y, z: np.where(x < 0.85, 0.3, 0.1))
    told = "only 25 % of the corals of garden {} the current they want: "
    assert compare(well, ill).reasons[1].startswith(f"Now, {told.format('have')}")
    assert compare(ill, well).reasons[1].startswith(f"Before, {told.format('had')}")


def test_why_corals_are_too_still_is_not_told_for_why_more_of_them_have_too_much(make):
    """Three quarters of the garden have 10 cm/s of the 20 that it wants, and the rest has 30, then 50: too much."""
    scene = make.scene(corals=(Coral("garden", (0.9, 0.1, 0.2), (0.2, 0.1, 0.1), (0.2, 0.4)),))
    then = make.study(scene, lambda x, y, z: np.where(x < 0.85, 0.3, 0.1))
    now = make.study(replace(scene, outlets=(moved_jet(make),)), lambda x, y, z: np.where(x < 0.85, 0.5, 0.1))
    told = compare(then, now)
    assert "more of the garden in too strong a current" in told.title
    assert not any("the current they want: " in reason for reason in told.reasons[:2])


def test_a_sketch_says_that_it_is_one(dead, alive):
    assert any("sketch" in caution.what for caution in compare(dead, alive).cautions)


def test_the_client_is_told_at_which_level_two_layouts_were_computed(dead, alive):
    """The lower one of the two."""
    finer = replace(alive, settings=replace(alive.settings, detail="coarse"))
    for pair, level in (((dead, finer), "sketch"), ((finer, finer), "coarse")):
        assert sentences_of_two(compare(*pair))[-1] == TRUST[level]


def test_the_client_is_told_how_sure_the_verdicts_are(dead, alive):
    """Of two layouts that are one no verdict is given."""
    often = replace(alive, settings=replace(alive.settings, marches=4))
    assert any(
        words.startswith("How sure: the layouts were computed once and 4 times, and about 6 in 100")
        for words in sentences_of_two(compare(dead, often))
    )
    assert not any(words.startswith("How sure") for words in sentences_of_two(compare(dead, dead)))


@pytest.mark.parametrize(
    "name", ['"quoted" <b>&amp;</b>', "Höhle über Öl", "\N{TROPICAL FISH} reef", "long " * 39 + "ends", "the"]
)
def test_names_survive(make, name):
    scene = make.scene()
    renamed = replace(
        scene,
        title=name,
        outlets=tuple(replace(outlet, name=name) for outlet in scene.outlets),
        corals=tuple(replace(coral, name=f"{name}.") for coral in scene.corals),
    )
    moved = replace(renamed, outlets=tuple(replace(each, centre=(0.0, 0.3, 0.4)) for each in renamed.outlets))
    comparison = compare(make.study(renamed, make.dead), make.study(moved, make.alive))
    assert name in comparison.reasons[0] or f"{name[:1].upper()}{name[1:]}" in comparison.reasons[0]
    assert any(each.subject == f"{name}." for each in comparison.differences)


def test_shares_in_sentences_have_tenths_of_a_percent_at_most():
    """As their intervals are told: 0.062 % beside ± 0.1 % would claim to be known better; nor is it none."""
    told = [figure(share, "share", "metric") for share in (0.00062, 0.081, 0.08, 0.0)]
    assert told == ["under 0.1 %", "8.1 %", "8.0 %", "0 %"]


@pytest.mark.parametrize("share", [0.3347, 0.2349, 0.0946, 0.9951])
def test_a_share_in_a_sentence_is_that_of_the_tables(share):
    """Rounded once: 33.47 % is 33 %, and not 33.5 and so 34."""
    table = share_within(share, 0.005 if share < 0.1 else 0.04)  # an interval as fine as its figure
    assert figure(share, "share", "metric").removesuffix(" %") == table.split()[0]


@pytest.mark.parametrize(("before", "after", "told"), [(0.0038, 0.0029, "-0.1 %"), (0.001, 0.2301, "22.9 %")])
def test_a_change_of_unknown_noise_is_told_no_finer_than_shares_are(before, after, told):
    assert row_of(before, after)[4] == told


def test_a_share_of_unknown_noise_that_is_too_small_for_a_figure_is_told_as_such():
    """Six of ten thousand are not none."""
    assert row_of(0.0006, 0.5)[2:4] == ("under 0.1 %", "50 %")


def row_of(before, after):
    """Of a table of differences, for a share of which no average is known well enough."""
    ends = {"before": before, "before_half_width": nan, "after": after, "after_half_width": nan}
    change = {"change": after - before, "change_half_width": nan, "verdict": "too close to call"}
    words = {"name": "dead_fraction", "subject": "the water", "label": "dead water", "when": "", "quantity": "share"}
    return row(Difference(**words, wanted="less", **ends, **change), "metric")
