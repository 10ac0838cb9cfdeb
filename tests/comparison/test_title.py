"""What a comparison comes to, in as many letters as a picture has room for."""

from dataclasses import replace
from types import SimpleNamespace

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
    assert short_sides([("better", [DEAD])], LONGEST) == "better: less dead water"
    assert short_sides([("better", [whole] * 3)], LONGEST).endswith("dead water over the cycle")
    long = replace(whole, subject="garden of " + "very " * 9 + "large corals", label="too still")
    told = short_sides([("better", [long, whole]), ("worse", [flood, whole, whole, whole])], LONGEST)
    assert told.endswith("and one other figure; worse: less dead water in the phase flood and 3 other figures")
    assert OVER_THE_CYCLE not in told


def test_a_title_that_tells_of_close_water_has_no_more_room(findings):
    """Three figures take 162 of the 170 letters, and the words on the water 32 of them."""
    exact = replace(DEAD, subject="the loop", quantity=None, before_half_width=EXACT, after_half_width=EXACT)
    labels = [f"power of the pump in the cellar below room {letter}" for letter in "abc"]
    found = findings(differences=[replace(exact, name=label, label=label) for label in labels])
    assert found.undecided
    assert title(found) == f"The water is too close to call; better: less {labels[0]} and 2 other figures"


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
