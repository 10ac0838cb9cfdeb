"""Shares in words, whose intervals cannot go beyond the whole."""

from math import nan

import pytest

from flowviz.assess.words import may_be_none, named, one_look, share_within


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("floor riser", "the floor riser"),
        ("Rock 3", "Rock 3"),
        ("the arch", "the arch"),
        ("b", "b"),
        ("return 12", "return 12"),
        ("front and above", "the front and above"),
        ("wall 5 and above", "wall 5 and above"),  # of the camera
    ],
)
def test_only_words_get_an_article(name, words):
    assert named(name) == words


@pytest.mark.parametrize(
    ("share", "half_width", "words"),
    [
        (0.37, 0.05, "37 ± 5 %"),
        (0.05, 0.05, "5 ± 5 %"),
        (0.06, 0.07, "6 % (0 to 13 %)"),
        (0.004, 0.012, "0.4 % (0 to 1.6 %)"),
        (0.004, 0.05, "0.4 % (0 to 5 %)"),
        (0.0004, 0.05, "under 0.1 % (0 to 5 %)"),
        (0.0, 0.05, "0 % (0 to 5 %)"),
        (0.94, 0.14, "94 % (80 to 100 %)"),
        (1.0, 0.02, "100 % (98 to 100 %)"),
        (0.6, 1.3, "anything from 0 to 100 %"),
        (0.5, 0.51, "anything from 0 to 100 %"),
        (0.0, 0.003, "0.0 ± 0.3 %"),  # too small to be worth a word
        (0.21, nan, "21 %, interval not known"),
        (nan, nan, "not known"),
    ],
)
def test_a_share_keeps_to_what_a_share_can_be(share, half_width, words):
    """Ends by hand."""
    assert share_within(share, half_width) == words


@pytest.mark.parametrize(
    ("share", "half_width", "none"),
    [(0.05, 0.06, True), (0.05, 0.05, True), (0.06, 0.05, False), (0.05, nan, False)],
)
def test_a_share_may_be_none_where_its_interval_reaches_down_to_it(share, half_width, none):
    assert may_be_none(share, half_width) is none


@pytest.mark.parametrize(
    ("detail", "marches", "words"),
    [
        ("sketch", 1, "one look of 30 s; several tell more"),
        ("coarse", 1, "one look of 30 s; several tell more"),
        ("sketch", 12, ""),
        ("fine", 1, ""),
    ],
)
def test_a_single_quick_run_says_that_it_is_one_look(detail, marches, words):
    assert one_look(detail, marches, 30.0, "metric") == words
