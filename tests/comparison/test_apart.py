"""Layouts that each single march tells apart, though the interval of their share does not."""

from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest

from flowviz.comparison.apart import SPARE, apart
from flowviz.comparison.compare import compare
from flowviz.comparison.differences import WRONG, Difference, verdict
from flowviz.comparison.figures import Figure, figures, mean
from flowviz.scene.model import Coral, Rock
from flowviz.shapes.solids import Box
from flowviz.tables.comparison import row


def figure(*marches: float, value: float | None = None) -> Figure:
    """A share of dead water."""
    value = float(np.mean(marches)) if value is None else value
    return Figure("the water", "dead water", "share", "less", value, 0.1, 0.001, marches=marches)


def test_so_often_as_the_rule_says_chance_alone_has_them_apart():
    """All ways in which eight values may be four marches of each of two alike layouts: two of 70."""
    values = np.random.default_rng(0).lognormal(size=8).tolist()
    splits = [(one, set(range(8)) - set(one)) for one in combinations(range(8), 4)]
    told = [apart(*(figure(*(values[n] for n in part)) for part in split), wrong=1.0) for split in splits]
    assert (sum(told), len(told)) == (2, 70)


@pytest.mark.parametrize(("marches", "told"), [(12, True), (8, True), (7, False), (1, False), (0, False)])
def test_few_marches_may_be_apart_by_chance_too_often(marches, told):
    """Of ten figures, of which each may be wrong in 3 comparisons of 1000."""
    low, high = (tuple(np.linspace(start, start + 0.02, marches)) for start in (0.0, 0.1))
    pair = figure(*low, value=0.01), figure(*high, value=0.11)
    assert apart(*pair, WRONG / 10) == apart(*pair[::-1], WRONG / 10) == told
    assert SPARE == 0.1  # two of 12870 orders of eight and eight are less than a tenth of 3 in 1000, of 3432 are more


def test_one_march_that_falls_among_the_others_is_enough_to_doubt():
    assert not apart(figure(*[0.1] * 11, 0.3), figure(*[0.2] * 12), WRONG)


def test_marches_that_say_one_thing_each_and_another_together_tell_nothing():
    assert not apart(figure(*[0.1] * 12, value=0.3), figure(*[0.2] * 12), WRONG)


def test_what_each_march_tells_is_called_if_it_matters():
    pair = figure(*[0.12] * 12), figure(*[0.0] * 12)
    assert verdict(*pair, width=0.13) == "too close to call"
    assert verdict(*pair, width=0.13, by_each_march=True) == "better"
    close = figure(*[0.124] * 12), figure(*[0.12] * 12)
    assert verdict(*close, width=0.13, by_each_march=True) == "too close to call"


@pytest.mark.parametrize(
    ("change", "width", "told"),
    [(-0.117, 0.12, "-12 % (-24 to 0 %)"), (0.117, 0.12, "12 % (0 to 24 %)"), (-0.117, 0.05, "-12 ± 5 %")],
)
def test_of_a_change_whose_sign_alone_is_sure_the_interval_ends_at_none(change, width, told):
    ends = {"before": 0.5, "before_half_width": 0.05, "after": 0.5 + change, "after_half_width": 0.05}
    words = {"name": "dead_fraction", "subject": "the water", "label": "dead water", "when": "", "quantity": "share"}
    known = {"change": change, "change_half_width": width, "verdict": "changed", "by_each_march": True}
    assert row(Difference(**words, wanted=None, **ends, **known), "metric")[4] == told


def test_marches_of_phases_count_by_how_long_these_last():
    whole = mean({"flood": figure(0.1, 0.2), "ebb": figure(0.3, 0.8)}, {"flood": 0.75, "ebb": 0.25})
    assert whole.marches == pytest.approx((0.15, 0.35))
    assert not mean({"flood": figure(0.1, 0.2), "ebb": figure(0.3)}, {"flood": 0.75, "ebb": 0.25}).marches


def test_each_march_says_its_own_of_water_corals_and_bed(make):
    """Marches in which all the water is still, in turn with ones in which it is in the band of the corals."""
    found = make.study(make.scene(), lambda x, y, z: 0.1 + 0 * x, windows=(0.1, 1.0) * 2)
    several = replace(found, field=replace(found.field, quality=replace(found.field.quality, marches=4)))
    told = figures(several)
    assert told["dead_fraction"].marches == (1, 0, 1, 0)
    (group,) = (coral.name for coral in several.scene.corals)
    assert told[f"{group}/under_fraction"].marches == (1, 0, 1, 0)
    assert told[f"{group}/in_band_fraction"].marches == (0, 1, 0, 1)
    assert told["bed/settling_fraction"].marches == (1, 0, 1, 0)
    assert not any(each.marches for each in figures(found).values())


def test_of_corals_without_water_no_march_says_anything(make):
    inside = Rock("slab", Box((0.6, 0.25, 0.2), (0.4, 0.3, 0.3)))
    coral = Coral("walled in", (0.6, 0.25, 0.2), (0.1, 0.1, 0.1), (0.1, 0.3))
    found = make.study(make.scene(rocks=(inside,), corals=(coral,)), make.alive, windows=(0.9, 1.1) * 2)
    several = replace(found, field=replace(found.field, quality=replace(found.field.quality, marches=4)))
    assert found.measures.corals["walled in"].cells == 0
    assert figures(several)["walled in/under_fraction"].marches == ()


def test_a_share_whose_interval_holds_none_is_called_where_each_march_has_it(make):
    """Dead water at the limit: an eighth or a fifth of the tank by each of twelve marches, and none after."""
    scatter = tuple(np.linspace(0.6, 1.5, 12))

    def sluggish(x, y, z):
        return np.where((x > 0.9) & (y > 0.2), 0.019 + 0.012 * (z > 0.2), 0.1)

    def study(speeds, windows):
        found = make.study(make.scene(), speeds, windows=windows)
        return replace(found, field=replace(found.field, quality=replace(found.field.quality, marches=12)))

    before, after = study(sluggish, scatter), study(make.alive, (0.99, 1.01) * 6)
    found = next(each for each in compare(before, after).differences if each.name == "dead_fraction")
    assert found.by_each_march
    assert found.change_half_width > 0
    assert found.verdict == "better"
