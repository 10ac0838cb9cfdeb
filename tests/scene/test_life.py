"""Bands, limits, animals and measured points: what a scene may say of them, and what is refused."""

import pytest

from flowviz.errors import InputError
from flowviz.scene.file import read_scene
from flowviz.scene.standards import coral_kinds, standard_limits, standing_of

OWN = "kind,low,high,standing,source\n# ours\nsea whips,8 cm/s,6 in/s,our own,ten years of keeping them\n"
WRASSE = {"name": "wrasse", "length": "60 mm", "width": "12 mm"}
POINT = {"at": ["300 mm", "300 mm", "250 mm"], "speed": "12 cm/s", "uncertainty": "2 cm/s"}


def of_kind(kind, own=None):
    """Changes that give the group a kind, and the scene a file of its own kinds."""
    return {"coral.0.speed": None, "coral.0.kind": kind} | ({"coral_kinds": own} if own else {})


def test_every_standard_has_its_standing_and_source():
    for standard in (*standard_limits().values(), *coral_kinds().values()):
        assert standard.standing in ("published", "judgement", "common practice")
        assert (standard.source == "no source") == (standard.standing == "common practice")
    assert set(standard_limits()) == {"dead", "over", "settle", "stir"}
    assert len(coral_kinds()) >= 5


def test_limits_are_the_standards_unless_the_scene_sets_them(scene_file):
    limits = read_scene(scene_file()).limits
    assert (limits.dead, limits.over, limits.settle, limits.stir) == (0.03, 0.5, 0.05, 0.12)
    limits = read_scene(scene_file({"limits": {"settle": "4 cm/s", "stir": "9 cm/s"}})).limits
    assert (limits.dead, limits.settle, limits.stir) == (0.03, 0.04, 0.09)


def test_a_limit_says_where_it_stands():
    assert standing_of("over", 0.5) is standard_limits()["over"]
    assert standing_of("over", 0.4).standing == "set by the scene"


def test_a_group_has_the_band_of_its_kind(scene_file):
    group = read_scene(scene_file(of_kind("branching stony"))).corals[0]
    assert (group.kind, group.speed) == ("branching stony", (0.1, 0.35))


def test_a_scene_has_kinds_of_its_own(scene_file):
    file = scene_file(of_kind("sea whips", "kinds.csv"))
    (file.parent / "kinds.csv").write_text(OWN.replace("kind,", "Kind,"))
    scene = read_scene(file)
    assert scene.corals[0].speed == pytest.approx((0.08, 6 * 0.0254), rel=1e-12)
    assert scene.source.files["kinds.csv"] == OWN.replace("kind,", "Kind,").encode()


@pytest.mark.parametrize(
    ("text", "found", "remedy"),
    [
        (OWN.replace("8 cm/s", ""), "line 3: has nothing under low", "kind, low, high, standing, source"),
        (OWN.replace("8 cm/s", "8"), "line 3: 8 is a number without a unit", "8 "),
        (OWN.replace("8 cm/s", "8 m/s"), "line 3: has a band that does not rise", "slower speed"),
        (OWN.replace("source", "origin"), "kinds.csv: has no column 'source'", "Begin the table with"),
        (OWN.replace(",", ";"), "kinds.csv: has no column 'kind'", "with commas"),
        (f"{OWN}{OWN.splitlines()[2]}\n", "line 4: 'sea whips' stands twice", "Keep one"),
        ("kind,low\n", "kinds.csv: has no column 'high'", "kind,low,high"),
        ("kind,low,high,standing,source\n", "kinds.csv: holds no kinds", "a row for each"),
    ],
)
def test_a_table_of_kinds_that_cannot_be_used_is_refused(scene_file, text, found, remedy):
    file = scene_file(of_kind("sea whips", "kinds.csv"))
    (file.parent / "kinds.csv").write_text(text)
    with pytest.raises(InputError) as caught:
        read_scene(file)
    assert found in str(caught.value)
    assert remedy in caught.value.remedy


def test_a_table_of_kinds_lies_beside_the_scene(scene_file):
    with pytest.raises(InputError, match=r"there is no file 'kinds\.csv'"):
        read_scene(scene_file(of_kind("soft", "kinds.csv")))
    with pytest.raises(InputError, match="lies outside the folder"):
        read_scene(scene_file(of_kind("soft", "../kinds.csv")))


def test_animals(scene_file):
    """Two lengths of the body a second where nothing is said."""
    told = [
        WRASSE,
        {**WRASSE, "name": "goby", "lengths_per_second": 1.5},
        {**WRASSE, "name": "snail", "speed": "1 cm/s"},
    ]
    animals = read_scene(scene_file({"animal": told})).animals
    assert [animal.speed for animal in animals] == pytest.approx([0.12, 0.09, 0.01], rel=1e-12)


def test_measured_points(scene_file):
    told = [POINT, {"name": "above the crest", "at": POINT["at"], "speed": "0 cm/s"}]
    first, second = read_scene(scene_file({"measured": told})).measured
    assert (first.name, first.speed, first.uncertainty) == ("point 1", 0.12, 0.02)
    assert (second.name, second.speed, second.uncertainty) == ("above the crest", 0.0, 0.0)


@pytest.mark.parametrize(
    ("changes", "key", "found"),
    [
        (of_kind("branchin stony"), "coral[1] 'crest'.kind", "'branchin stony' is not known"),
        ({"coral.0.kind": "soft"}, "coral[1] 'crest'.kind", "stands beside speed"),
        ({"coral.0.speed": None}, "coral[1] 'crest'.speed", "is missing"),
        ({"limits": {"settle": "20 cm/s"}}, "limits.settle", "not below stir"),
        ({"sand.mineral": "granite"}, "sand.mineral", "'granite' is not known"),
        ({"animal": [{"name": "wrasse", "width": "1 cm"}]}, "animal[1] 'wrasse'.length", "is missing"),
        ({"animal": [{"name": "wrasse", "length": "1 cm"}]}, "animal[1] 'wrasse'.width", "is missing"),
        ({"animal": [{**WRASSE, "width": "1 m"}]}, "animal[1] 'wrasse'.width", "more than length"),
        (
            {"animal": [{**WRASSE, "speed": "1 cm/s", "lengths_per_second": 2}]},
            "animal[1] 'wrasse'.lengths_per_second",
            "stands beside speed",
        ),
        ({"animal": [{**WRASSE, "name": "crest"}]}, "animal[1].name", "the name of coral[1] too"),
        (
            {"measured": [{**POINT, "at": ["0 m", "0 m", "700 mm"]}]},
            "measured[1] 'point 1'.at",
            "mm is outside the water",
        ),
        ({"measured": [{**POINT, "at": ["2 m", "0 m", "0 m"]}]}, "measured[1] 'point 1'.at", "mm is outside the water"),
        ({"measured": [{"at": POINT["at"]}]}, "measured[1].speed", "is missing"),
    ],
)
def test_faults_are_told_with_their_key(scene_file, refused, changes, key, found):
    refused(scene_file(changes), key, found)
