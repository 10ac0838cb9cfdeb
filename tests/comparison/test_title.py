"""What a comparison comes to, in as many letters as a picture has room for."""

from dataclasses import replace
from types import SimpleNamespace

import pytest

from flowviz.comparison.differences import OVER_THE_CYCLE, Difference
from flowviz.comparison.figures import EXACT
from flowviz.comparison.title import LONGEST, pockets_alone, short_sides, title

DEAD = Difference(
    name="dead_fraction",
    subject="the water",
    label="dead water",
    when="",
    quantity="share",
    wanted="less",
    before=0.3,
    before_half_width=0.01,
    after=0.1,
    after_half_width=0.01,
    change=-0.2,
    change_half_width=0.02,
    verdict="better",
)


def test_a_title_names_as_much_as_a_picture_has_room_for():
    """What is not said to be of a phase is over the cycle, where there is one."""
    whole, flood = replace(DEAD, when=OVER_THE_CYCLE), replace(DEAD, when="in the phase flood")
    assert short_sides([("better", [DEAD])], LONGEST, "metric") == "better: less dead water (30 % → 10 %)"
    assert short_sides([("better", [whole] * 3)], LONGEST, "metric").endswith("dead water (30 % → 10 %) over the cycle")
    long = replace(whole, subject="garden of " + "very " * 9 + "large corals", label="too still")
    told = short_sides([("better", [long, whole]), ("worse", [flood, whole, whole, whole])], LONGEST, "metric")
    assert told.endswith(
        "and one other figure; worse: less dead water (30 % → 10 %) in the phase flood and 3 other figures"
    )
    assert OVER_THE_CYCLE not in told


def test_numbers_give_way_to_names_but_for_the_first_of_each_side():
    """Once all three no longer find room."""
    side = [("worse", [replace(DEAD, label=f"{label} water") for label in ("dead", "still", "slow")])]
    words = "worse: less dead water (30 % → 10 %), less still water{0} and less slow water{0}"
    all_of_them = words.format(" (30 % → 10 %)")
    assert short_sides(side, len(all_of_them), "metric") == all_of_them
    assert short_sides(side, len(all_of_them) - 1, "metric") == words.format("")


@pytest.mark.parametrize(
    ("quantity", "before", "after", "told"),
    [
        ("share", 0.0, 0.036, "more dead water (0 % → 3.6 %)"),
        ("share", 0.124, 0.116, "less dead water (12.4 % → 11.6 %)"),
        ("head", 3.14, 3.07, "less dead water (3.14 m → 3.07 m)"),
        (None, 4.0, 3.0, "less dead water (4 → 3)"),
    ],
)
def test_a_figure_that_changed_does_not_read_as_if_it_had_not(quantity, before, after, told):
    """Two digits, or as many as it takes to tell it."""
    one = replace(DEAD, quantity=quantity, before=before, after=after, change=after - before)
    assert short_sides([("better", [one])], LONGEST, "metric") == f"better: {told}"


def test_a_title_that_tells_of_close_water_has_no_more_room(findings):
    """Three figures take 162 of the 170 letters without their numbers, and the words on the water 32 of them."""
    exact = replace(DEAD, subject="the loop", quantity=None, before_half_width=EXACT, after_half_width=EXACT)
    labels = [f"power of the pump in the cellar below room {letter}" for letter in "abc"]
    found = findings(differences=[replace(exact, name=label, label=label) for label in labels])
    assert found.undecided
    assert title(found) == f"The water is too close to call; better: less {labels[0]} (0.3 → 0.1) and 2 other figures"


def pocket(fate, kind, harmless=False):
    """All that a title asks of one."""
    return SimpleNamespace(fate=fate, zone=SimpleNamespace(kind=kind, harmless=harmless))


def test_pockets_that_are_gone_or_new_stand_in_a_title_that_has_nothing_else():
    """But for the cores of jets in which nothing lives."""
    gone = [pocket("went", "dead")] * 3 + [pocket("went", "over")]
    found = SimpleNamespace(of_fate=lambda fate: [each for each in found.pockets if each.fate == fate])
    found.pockets = [*gone, pocket("came", "dead"), pocket("came", "over", harmless=True)]
    head = "No figure is surely better or worse; "
    assert pockets_alone(found) == f"{head}gone: 3 dead pockets and one too-strong pocket; new: one dead pocket"
    found.pockets = [pocket("came", "over", harmless=True)]
    assert pockets_alone(found) == ""
