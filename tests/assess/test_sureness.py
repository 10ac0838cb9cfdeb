"""How sure a pocket is, by what was measured of the levels."""

from itertools import chain, product

import pytest

from flowviz.assess import sureness as module
from flowviz.assess.sureness import Confirmation, measured, steps, sureness, told

TABLE = {
    ("fine", "dead"): (Confirmation(1, 0.6, 0.5, 8),),
    ("coarse", "dead"): (Confirmation(1, 0.7, 0.3, 8), Confirmation(8, 0.9, 0.4, 8)),
    ("sketch", "dead"): (Confirmation(1, 0.2, 0.1, 8),),
}


@pytest.fixture
def made_up(monkeypatch):
    monkeypatch.setattr(module, "measured", lambda: TABLE)


@pytest.mark.parametrize(
    ("persistence", "words"),
    [
        (1.0, ("sure", "likely", "perhaps")),
        (0.9, ("sure", "likely", "perhaps")),
        (0.8, ("likely", "perhaps", "perhaps")),
        (0.5, ("perhaps", "perhaps", "perhaps")),
        (float("nan"), ("perhaps", "perhaps", "perhaps")),
    ],
)
def test_sureness_falls_with_the_windows_and_with_the_level(made_up, persistence, words):
    """Fine runs confirm 70 % of what coarse ones find, 20 % of what sketches do."""
    assert tuple(sureness("dead", persistence, detail, 1) for detail in ("fine", "coarse", "sketch")) == words


@pytest.mark.parametrize(("marches", "word"), [(1, "likely"), (7, "likely"), (8, "sure"), (40, "sure")])
def test_several_marches_together_are_judged_by_what_as_many_were_found_to_tell(made_up, marches, word):
    """Or by the next fewer: more cannot tell less."""
    assert sureness("dead", 1.0, "coarse", marches) == word


def test_steps():
    assert [steps(share) for share in (1.0, 0.9, 0.89, 0.67, 0.66, float("nan"))] == [0, 0, 1, 1, 2, 2]


def test_what_was_measured_is_told_in_a_sentence(made_up):
    assert told("coarse", "dead", 1) == (
        "Of the water that a single coarse march found among the stillest, a fine run found 70 % so too "
        "(30 % in the worst of 8 tanks)"
    )
    assert "8 coarse marches together found among the stillest, a fine run found 90 %" in told("coarse", "dead", 8)
    assert "one half of a fine run found among the stillest, its other half found" in told("fine", "dead", 1)


def test_the_shipped_table_is_whole_and_sensible():
    """None is told that was not measured."""
    table = measured()
    assert set(table) == set(product(("fine", "coarse", "sketch"), ("dead", "over")))
    assert all([found.marches for found in each] == sorted(found.marches for found in each) for each in table.values())
    assert all(each[0].marches == 1 for each in table.values())
    for found in chain(*table.values()):
        assert 0 <= found.least_confirmed <= found.confirmed <= 1
        assert found.scenes >= 2
