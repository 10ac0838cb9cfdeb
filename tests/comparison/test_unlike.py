"""Two tanks of unlike plan: no word or figure holds a place in one against a place in the other."""

from dataclasses import replace

import pytest

from flowviz import compare
from flowviz.comparison.layout import changes
from flowviz.comparison.numbers import comparison_numbers
from flowviz.scene.model import Rock
from flowviz.shapes.plans import rectangle
from flowviz.shapes.solids import Box
from flowviz.tables import comparison_tables


@pytest.fixture(scope="module")
def longer(make):
    """The tank half as long again, with jet, rock and corals elsewhere."""
    scene = make.scene()
    wide, deep = scene.tank.plan.size
    return replace(
        scene,
        tank=replace(scene.tank, plan=rectangle(1.5 * wide, deep)),
        outlets=(make.outlet("left jet", (0.0, 0.1, 0.3), (1, 0, 0), "left"),),
        rocks=(Rock("wall", Box((0.7, 0.3, 0.15), (0.3, 0.1, 0.3))),),
        corals=(replace(scene.corals[0], centre=(0.7, 0.3, 0.35)),),
    )


@pytest.fixture(scope="module")
def unlike(make, longer):
    """A dead corner, and in the longer tank one elsewhere."""
    return compare(make.study(make.scene(), make.dead), make.study(longer, make.dead))


def test_no_pocket_becomes_another(unlike):
    first, second = (len(study.measures.zones) for study in (unlike.before, unlike.after))
    assert first > 0 < second
    assert [each.fate for each in unlike.every_pocket] == ["of the first"] * first + ["of the second"] * second
    assert [each["fate"] for each in comparison_numbers(unlike)["pockets"]] == [e.fate for e in unlike.every_pocket]
    assert unlike.went == unlike.came == unlike.stayed == ()
    assert unlike.reasons[1].startswith("No pocket is held against another")


def test_the_table_of_pockets_has_each_in_its_own_tank(unlike):
    (table,) = (each for each in comparison_tables(unlike) if "pockets" in each.title)
    assert table.title.startswith("The pockets of each tank, none of which is held against another")
    assert {row[0] for row in table.rows} == {"before", "after"}
    for when, _, volume, speed, _ in table.rows:
        told = [volume.split(" → "), speed.split(" → ")]
        assert all((pair[0] == "–") == (when == "after") and (pair[1] == "–") == (when == "before") for pair in told)


def test_nothing_is_said_to_stand_elsewhere(make, longer):
    """What is of another size is, wherever it stands; in a tank of the same plan all three are told."""
    scene = make.scene()
    assert [str(each) for each in changes(scene, longer)] == ["the tank differs"]
    within = " ".join(map(str, changes(scene, replace(longer, tank=scene.tank))))
    assert all(words in within for words in ("moves 100 mm down", "otherwise (rock)", "otherwise (coral)"))
    large = replace(longer, rocks=(Rock("wall", Box((0.7, 0.3, 0.15), (0.4, 0.1, 0.3))),))
    assert "the wall is of another size or shape (rock)" in map(str, changes(scene, large))
    (coral,) = longer.corals
    grown = replace(longer, corals=(replace(coral, size=(0.4, 0.4, 0.2)),))
    assert f"the {coral.name} is of another size (coral)" in map(str, changes(scene, grown))
