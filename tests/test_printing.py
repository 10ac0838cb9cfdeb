"""What the commands print: tables in the width of a terminal, and what to do next."""

import shlex
from dataclasses import asdict, replace
from io import StringIO

import numpy as np
import pytest
from rich.console import Console

from flowviz.cli.run import print_next
from flowviz.cli.words import Words, print_tables, widths, with_pictures
from flowviz.draw.pictures import Picture
from flowviz.scene.model import Caution
from flowviz.tables.table import FIGURE, WORD, Table

NAME = "Lederkorallen"
CORALS = Table(
    "Corals",
    (("", WORD), ("verdict", WORD), *((f"too {end}, %", FIGURE) for end in ("still", "strong")), ("wants", WORD)),
    ((NAME, "too unsure to say", "6 (0 to 13)", "anything from 0 to 100", "5 to 20 cm/s (large polyp stony)"),),
)


@pytest.mark.parametrize("width", [48, 66, 80, 110])
def test_no_word_of_a_table_is_broken_while_the_longest_have_room(width):
    """13, 7, 6, 8 and 6 letters are the longest in the columns, two stand between columns: 48 in all."""
    printed = lines_of(CORALS, width)
    words = [
        word
        for row in (*CORALS.rows, [heading for heading, _ in CORALS.columns])
        for cell in row
        for word in cell.split()
    ]
    assert sorted(" ".join(printed[1:]).split()) == sorted(words)
    assert max(map(len, printed)) <= width


def test_of_columns_as_wide_the_last_gives_way_first():
    """Two of eight letters have 17, of which two stand between: the names keep their eight."""
    assert widths([["left low"], ["too slow"]], 17) == [8, 7]


def test_where_words_have_no_room_nothing_is_lost():
    printed = lines_of(CORALS, 30)
    assert max(map(len, printed)) <= 30
    letters = sorted("".join(cell for row in CORALS.rows for cell in row).replace(" ", ""))
    headings = "".join(heading for heading, _ in CORALS.columns).replace(" ", "")
    assert sorted("".join(printed[1:]).replace(" ", "")) == sorted([*letters, *headings])


def lines_of(table, width):
    """What is printed of a table on so many letters across, line by line."""
    page = Console(width=width, file=StringIO())
    print_tables(page, [table])
    return page.file.getvalue().strip("\n").split("\n")


def test_the_json_says_why_a_picture_is_missing():
    """As the words do: on a machine that cannot draw the still nothing else would."""
    caution = Caution("still", "there is no graphics library", "Install one.")
    told = with_pictures({"cautions": [{"where": "pump"}]}, [Picture("plan.png", "Plan", "From above")], [caution])
    assert told["cautions"] == [{"where": "pump"}, asdict(caution)]
    assert told["pictures"] == [{"file": "plan.png", "title": "Plan", "description": "From above"}]


@pytest.mark.parametrize(
    ("speed", "moved"),
    [
        (lambda x, y, z: np.full(x.shape, 0.01), False),
        (lambda x, y, z: np.where(x > 1.0, 0.01, 0.1), True),
        (lambda x, y, z: np.where(x > 1.0, 0.9, 0.1), False),
    ],
    ids=["most of the tank is dead", "its end is dead", "its end is too strong"],
)
def test_next_is_to_move_an_opening_where_that_may_help(make, capsys, speed, moved):
    """A tank that is dead all over needs more flow, wherever its outlets are; too strong a jet is so elsewhere too."""
    study = make.study(make.scene(), speed)
    print_next(Words(), "tank.toml", study)
    told = capsys.readouterr().out
    assert ("move one opening" in told, "--move" in told) == (moved, moved)
    assert "flowviz compare tank.toml COPY.toml -o DIR" in told


def test_what_next_prints_can_be_typed_whatever_the_file_is_called(make, capsys):
    study = make.study(make.scene(), lambda x, y, z: np.full(x.shape, 0.01))
    name = f"hall tank's {'long ' * 20}name.toml"
    print_next(Words(), name, study)
    line = next(line for line in capsys.readouterr().out.splitlines() if "flowviz compare" in line)
    assert shlex.split(line) == ["flowviz", "compare", name, "COPY.toml", "-o", "DIR"]


def test_next_is_a_longer_look_where_nothing_can_be_said_of_corals(make, capsys):
    study = make.study(make.scene(), lambda x, y, z: np.full(x.shape, 0.04))  # dead below 3 cm/s; they want 5
    found = study.measures.corals["crest"]
    unsure = replace(found, uncertainty=dict.fromkeys(found.uncertainty, 1.2), sure=False)
    study = replace(study, measures=replace(study.measures, corals={"crest": unsure}))
    print_next(Words(), "tank.toml", study)
    told = " ".join(capsys.readouterr().out.split())
    assert "anything of crest; look longer, flowviz run tank.toml --detail fine -o DIR" in told
