"""What is read but hardly meant: one caution each, in words that say what to look at. Sizes are sums of the scene's."""

from dataclasses import replace

import pytest

from flowviz.scene.doubts import doubts
from flowviz.scene.file import read_scene

SLOT = {"outlet.0.bore": None, "outlet.0.hole": None, "outlet.0.at": ["0 mm", "300 mm", "400 mm"]}
BARE = {  # bores of 25 and 52 mm: their rims meet 38.5 mm apart
    "intake.0.hole": None,
    "outlet.0.hole": None,
    "intake.0.strainer.diameter": "52 mm",
}
POINT = {"name": "probe", "speed": "10 cm/s"}
COPY = {"name": "copy", "centre": ["600 mm", "300 mm", "100 mm"]}
CREST = {"centre": ["600 mm", "300 mm", "300 mm"], "size": ["200 mm", "200 mm", "80 mm"]}
POST = {"name": "post", "shape": "cylinder", "diameter": "80 mm", "height": "200 mm"}
GOBY = {"name": "goby", "length": "30 mm", "width": "5 mm", "speed": "6 cm/s"}
BASKET = {"shape": "basket", "diameter": "110 mm", "length": "90 mm", "open_area": 0.38, "slot": "3 mm"}
SECOND = {  # its middle 100 mm beside the other's, of which each takes up 55
    "intake.1": {"name": "second", "at": ["0 mm", "400 mm", "120 mm"], "bore": "52 mm", "panel": "left"}
    | {"strainer": BASKET},
    "pipe.4": {"from": "second", "to": "pump", "inside": "52 mm", "length": "1 m"},
}
BAR = {
    "outlet.1.slot": None,
    "outlet.1.bar": {"length": "200 mm", "inside": "26 mm", "holes": 20, "hole": "5 mm"},
    "outlet.1.at": ["1150 mm", "400 mm", "350 mm"],
}
DOUBTS = [
    ({"coral.0.centre": ["600 mm", "300 mm", "100 mm"], "coral.0.size": ["40 mm"] * 3}, "coral crest", "no water"),
    ({"coral.0.centre": ["200 mm", "300 mm", "20 mm"], "coral.0.size": ["40 mm"] * 3}, "coral crest", "sand"),
    ({"water.salinity": "1.025 g/kg"}, "water", "nearly that of fresh water"),
    (
        {"rock.0.open": 0.4, "rock.0.stone": "20 cm"},
        "rock boulder",
        "its stones of 200 mm are no rubble in a heap that",
    ),
    (
        {"intake.0.strainer.diameter": "60 cm", "outlet.0.at": ["0 mm", "550 mm", "450 mm"]},
        "intake left low",
        "its strainer reaches 180 mm through the glass",
    ),
    ({"intake.0.at": ["0 mm", "300 mm", "80 mm"]}, "intake left low", "its strainer reaches 15 mm into the sand"),
    ({"intake.0.at": ["0 mm", "300 mm", "460 mm"]}, "intake left low", "its strainer stands 15 mm out of the water"),
    ({"intake.0.strainer.length": "60 cm"}, "intake left low", "its strainer and the rock boulder stand in one place"),
    (
        {"pipe.2.inside": "350 mm"},
        'pipe "tee" to "left high"',
        "it is 350 mm wide inside, in a tank of which the least",
    ),
    ({"junction.0": None}, "junction tee", "no loss is reckoned"),
    (SECOND, "intake left low", "its strainer and the strainer of intake second stand in one place"),
    (
        {"outlet.1.at": ["50 mm", "300 mm", "120 mm"], "outlet.1.direction": [1, 0, 0]},
        "intake left low",
        "its strainer and outlet right rim stand in one place",
    ),
    (BAR | {"outlet.1.bar.hole": "1 mm"}, "outlet right rim", "each hole of its bar is only 1 mm wide"),
    ({"rock.2": COPY | {"shape": "box", "size": ["300 mm"] * 3}}, "rock copy", "it stands just where boulder does"),
    (
        {"coral.1": CREST | {"name": "copy", "speed": ["8 cm/s", "30 cm/s"]}},
        "coral copy",
        "it stands just where crest does",
    ),
    ({"tank.panels.left.thickness": "12 m"}, "panel left", "it is 12 m thick, and panels of tanks are 2 mm to 1"),
    ({"animal": [GOBY | {"length": "2 m"}]}, "animal goby", "at 2000 mm it is longer than the tank, 1200 mm"),
    ({"animal": [GOBY | {"speed": "6 m/s"}]}, "animal goby", "it is said to swim 200 lengths of its body a second"),
    (
        {"coral.0.speed": ["60 cm/s", "90 cm/s"]},
        "coral crest",
        "from 60 cm/s, all of which is too strong by the limit of",
    ),
    (
        {"coral.0.speed": ["1 cm/s", "2 cm/s"]},
        "coral crest",
        "up to 2 cm/s, all of which is dead by the limit of 3 cm/s",
    ),
    ({"rock.1.centre": ["950 mm", "300 mm", "560 mm"]}, "rock slab", "it lies wholly above the water"),
    ({"rock.1.centre": ["950 mm", "300 mm", "-15 mm"]}, "rock slab", "it lies wholly under the sand"),
    ({"rock.1.centre": ["950 mm", "300 mm", "20 mm"]}, "rock slab", "its lower 30 mm lie under the floor of the tank"),
    (
        {"rock.2": POST | {"centre": ["200 mm", "300 mm", "0 mm"]}},
        "rock post",
        "its lower 100 mm lie under the floor of the tank",
    ),
    ({"coral.0.centre": ["600 mm", "300 mm", "350 mm"]}, "coral crest", "it hangs in open water, more than 50 mm from"),
    ({"coral.0.centre": ["300 mm", "300 mm", "300 mm"]}, "coral crest", "it hangs in open water, more than 50 mm from"),
    ({"measured": [POINT | {"at": ["600 mm", "300 mm", "100 mm"]}]}, "measured probe", "it lies in rock or sand"),
    ({"measured": [POINT | {"at": ["200 mm", "300 mm", "20 mm"]}]}, "measured probe", "it lies in rock or sand"),
    ({"sand.grain": "30 cm"}, "sand", "its grains of 300 mm are no sand or gravel"),
    ({"coral.0.centre": ["600 mm", "300 mm", "490 mm"], "coral.0.size": ["40 mm"] * 3}, "coral crest", "10 mm stand"),
    ({"outlet.0.bore": "0.1 mm", "outlet.0.hole": None}, "outlet left high", "only 0.1 mm wide"),
    (SLOT | {"outlet.0.slot": ["600 mm", "20 mm"]}, "outlet left high", "600 mm it is as wide as its panel left"),
    (BARE | {"intake.0.at": ["0 mm", "200 mm", "356.5 mm"]}, "outlet left high", "left low has 5 mm of glass to it"),
    (BARE | {"intake.0.at": ["0 mm", "200 mm", "361.5 mm"]}, "outlet left high", "left low touches it"),
]


@pytest.mark.parametrize(("changes", "where", "what"), DOUBTS)
def test_what_is_hardly_meant_is_a_caution(scene_file, changes, where, what):
    before = {str(caution) for caution in read_scene(scene_file()).cautions}
    told = [caution for caution in read_scene(scene_file(changes)).cautions if str(caution) not in before]
    assert [(caution.where, what in caution.what) for caution in told] == [(where, True)]


@pytest.mark.parametrize(
    "changes",
    [
        {"coral.1": CREST | {"name": "among them", "kind": "soft"}},
        {"rock.1.centre": ["950 mm", "300 mm", "25 mm"]},
        {"rock.2": COPY | {"shape": "ellipsoid", "centre": ["200 mm", "300 mm", "0 mm"], "size": ["200 mm"] * 3}},
        {"coral.0.centre": ["600 mm", "300 mm", "335 mm"]},
        {"coral.0.centre": ["145 mm", "300 mm", "300 mm"]},
        {"measured": [POINT | {"at": ["200 mm", "300 mm", "500 mm"]}]},
        {"measured": [POINT | {"at": ["200 mm", "300 mm", "40 mm"]}]},
        {"measured": [POINT | {"at": ["1200 mm", "300 mm", "300 mm"]}]},
    ],
)
def test_what_may_be_meant_is_none(scene_file, changes):
    """Corals of two kinds that grow among each other; a slab with its lower quarter under the floor, and a dome; corals
    45 mm over a rock, and beside the glass; a probe at the surface, on the sand, on the glass.
    """
    assert read_scene(scene_file(changes)).cautions == ()


def test_a_point_among_rubble_is_compared(scene_file):
    heap = {"rock.0.open": 0.4, "rock.0.stone": "20 mm"}
    scene = read_scene(scene_file(heap | {"measured": [POINT | {"at": ["600 mm", "300 mm", "100 mm"]}]}))
    assert not any(caution.where == "measured probe" for caution in scene.cautions)


def test_a_manifold_is_told_all_that_makes_it_a_tee(scene_file):
    """With its own neighbours; four pipes make several tees."""
    (found,) = (each for each in read_scene(scene_file({"junction.0": None})).cautions if each.where == "junction tee")
    written = (
        'write [[junction]] with name = "tee", kind = "tee" and in_line = ["pump", "left high"], those two of pump, '
    )
    assert f"{written}left high, right rim that face each other, or add" in found.why
    spare = {"name": "spare", "at": ["600 mm", "0 mm", "300 mm"], "bore": "25 mm", "panel": "front"}
    fourth = {"from": "tee", "to": "spare", "inside": "25 mm", "length": "1 m"}
    several = read_scene(scene_file({"junction.0": None, "outlet.2": spare, "pipe.4": fourth}))
    (found,) = (each for each in several.cautions if each.where == "junction tee")
    assert "lead the pipes off by several, each a [[junction]] with name, kind and in_line" in found.why


def test_a_bed_deeper_than_any_is_doubted(scene_file):
    scene = read_scene(scene_file())
    told = list(doubts(replace(scene, sand=replace(scene.sand, depth=0.35))))
    assert any(each.where == "sand" and "its bed is 350 mm deep" in each.what for each in told)
    assert not any("its bed is" in each.what for each in doubts(scene))


def test_a_strainer_through_a_rock_is_told_wherever_it_stands_on_its_way(scene_file):
    """800 mm long, with both ends in the water: through the boulder, and round a branch of 30 mm in its own middle."""
    long = {"intake.0.strainer.length": "800 mm"}
    branch = {"shape": "cylinder", "centre": ["300 mm", "300 mm", "120 mm"], "diameter": "30 mm", "height": "100 mm"}
    lone = {"rock.0": {"name": "branch", **branch}, "rock.1.centre": ["1000 mm", "480 mm", "60 mm"]}
    for changes, rock in ((long, "boulder"), (long | lone, "branch")):
        told = [each.what for each in read_scene(scene_file(changes)).cautions if each.where == "intake left low"]
        assert told == [f"its strainer and the rock {rock} stand in one place"]


WEIR = {  # at the surface, of the first intake
    "intake.0.bore": None,
    "intake.0.hole": None,
    "intake.0.slot": ["595 mm", "38 mm"],
    "intake.0.panel": "right",
    "intake.0.at": ["1200 mm", "300 mm", "481 mm"],
}


@pytest.mark.parametrize(
    ("strainer", "told"),
    [
        ({"shape": "flat", "diameter": "170 mm", "length": None}, []),
        ({}, ["its strainer stands 36 mm out of the water, and speeds are reckoned as if all of it were under water"]),
    ],
)
def test_a_strainer_before_a_weir_is_not_said_to_draw_air(scene_file, strainer, told):
    """A flat one stands for a comb as large; of a basket of 110 mm about 481 mm there are 481 + 55 - 500 over it."""
    changes = WEIR | {f"intake.0.strainer.{key}": value for key, value in strainer.items()}
    cautions = read_scene(scene_file(changes)).cautions
    assert [caution.what for caution in cautions if caution.where == "intake left low"] == told


def test_what_is_below_a_weir_is_not_in_its_comb(scene_file):
    """Of 595 mm by 38: as a disc of 170 mm, which has as much room, it would reach over the outlet 61 mm below it, and
    into the rock 31 mm below it, set 10 mm into the glass.
    """
    weir = WEIR | {
        "intake.0.strainer": {"shape": "flat", "diameter": "170 mm", "open_area": 0.38, "slot": "3 mm"},
        "outlet.1.panel": "right",
        "outlet.1.at": ["1200 mm", "300 mm", "420 mm"],
        "rock.1": {
            "name": "ledge",
            "shape": "box",
            "centre": ["1190 mm", "370 mm", "421 mm"],
            "size": ["40 mm", "60 mm", "20 mm"],
        },
    }
    assert read_scene(scene_file(weir)).cautions == ()
    low = read_scene(scene_file(weir | {"intake.0.slot": ["59 mm", "18 mm"]}))
    assert any(each.what == "its strainer and outlet right rim stand in one place" for each in low.cautions)


def test_a_weir_that_ends_at_the_surface_is_no_doubt(scene_file):
    """By 0.5 mm above it, less than a tape measure is off: the caution read "0 mm of it stand above the water"."""
    weir = {
        "intake.0.bore": None,
        "intake.0.hole": None,
        "intake.0.strainer": None,
        "intake.0.slot": ["595 mm", "40 mm"],
        "intake.0.panel": "right",
        "intake.0.at": ["1200 mm", "300 mm", "480.5 mm"],
    }
    told = [str(caution) for caution in read_scene(scene_file(weir)).cautions if caution.where == "intake left low"]
    assert not any("above the water" in each or "as wide as" in each for each in told)
