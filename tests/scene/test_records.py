"""What a sound scene file becomes."""

from dataclasses import FrozenInstanceError, fields, is_dataclass
from math import cos, hypot, pi, sin

import numpy as np
import pytest

from flowviz.scene.apertures import Bore, Slot
from flowviz.scene.file import read_scene
from flowviz.scene.model import Bar, Panel, Sand, Site
from flowviz.shapes.solids import Capsule, Cylinder, Ellipsoid

WEIR = {"name": "weir", "at": ["1200 mm", "300 mm", "480 mm"], "slot": ["600 mm", "60 mm"], "panel": "right"}
ROUND = {"tank.length": None, "tank.width": None, "tank.diameter": "1200 mm", "tank.seen_from": None}
FROM_THE_FLOOR = {"outlet.0.panel": "floor", "outlet.0.direction": [0, 3, 4]}
NO_LOOP = {"pump": [], "pipe": [], "junction": []}
CORNERS = [["0 mm", "0 mm"], ["1200 mm", "0 mm"], ["1200 mm", "300 mm"], ["700 mm", "300 mm"], ["700 mm", "600 mm"]]
ELL = [*CORNERS, ["0 mm", "600 mm"]]
WITH_OUTLINE = {"tank.length": None, "tank.width": None, "outlet.1.at": ["600 mm", "100 mm", "350 mm"]}


def test_quantities_come_in_si(scene_file):
    scene = read_scene(scene_file())
    assert (scene.water.temperature, scene.water.salinity) == (25.0, 35.0)
    assert scene.tank.plan.size == (1.2, 0.6)
    assert (scene.tank.height, scene.tank.depth) == (0.6, 0.5)
    assert scene.tank.panels == {"left": Panel("glass", 0.012, False)}
    assert (scene.limits.dead, scene.limits.over) == (0.03, 0.5)  # the stated defaults
    assert scene.sand == Sand(0.04, 0.001, "aragonite")
    assert scene.rocks[0].solid == Ellipsoid((0.6, 0.3, 0.1), (0.3, 0.3, 0.3))
    assert scene.corals[0].speed == (0.08, 0.3)
    high, rim, low = scene.openings
    assert high.aperture == Bore(0.025)
    assert rim.aperture == Slot(0.06, 0.01)
    assert low.strainer.open_area == 0.38
    assert (high.panel, rim.panel, rim.hole) == ("left", None, None)
    assert scene.pumps[0].curve[1] == (6 / 3600, 4.0)
    assert (scene.pipes[0].start, scene.pipes[0].rise, scene.pipes[0].fittings) == ("left low", -0.5, {"elbow 90": 2})
    assert scene.junctions[0].in_line == ("pump", "right rim")
    assert scene.source.text.startswith('"title"')


def test_nothing_in_a_scene_can_be_set_anew(scene_file):
    parts, seen = [read_scene(scene_file())], set()
    while parts:
        part = parts.pop()
        if is_dataclass(part):
            seen.add(type(part).__name__)
            name = fields(part)[0].name
            with pytest.raises(FrozenInstanceError):
                setattr(part, name, None)
            parts += [getattr(part, field.name) for field in fields(part)]
        elif isinstance(part, tuple | dict):
            parts += part.values() if isinstance(part, dict) else part
    assert {"Scene", "Tank", "Panel", "Rock", "Outlet", "Intake", "Strainer", "Pump", "Pipe", "Source"} <= seen


def test_a_jet_has_a_unit_direction_and_the_normal_of_its_panel(scene_file):
    high = read_scene(scene_file()).outlets[0]
    assert high.direction == pytest.approx((1 / hypot(1, 0.1), 0.1 / hypot(1, 0.1), 0))
    assert high.normal == pytest.approx((1, 0, 0))


@pytest.mark.parametrize("scale", [1e-320, 1e307])
def test_a_direction_may_be_of_any_size(scene_file, scale):
    """The smallest has four binary digits left."""
    high = read_scene(scene_file({"outlet.0.direction": [3 * scale, 4 * scale, 0]})).outlets[0]
    assert high.direction == pytest.approx((0.6, 0.8, 0), abs=1e-3)


def test_without_a_direction_a_jet_leaves_its_panel_squarely(scene_file):
    high = read_scene(scene_file({"outlet.0.direction": None})).outlets[0]
    assert high.direction == high.normal == pytest.approx((1, 0, 0))


def test_a_pipe_through_the_rock_faces_where_it_points(scene_file):
    """Its bulkhead is in the floor, its end 250 mm above it."""
    changes = {
        "outlet.0.at": ["300 mm", "300 mm", "250 mm"],
        "outlet.0.panel": "floor",
        "outlet.0.direction": [0, 3, 4],
    }
    high = read_scene(scene_file(changes)).outlets[0]
    assert high.direction == high.normal == pytest.approx((0, 0.6, 0.8))
    assert high.panel == "floor"


def test_a_floor_outlet_ends_above_the_sand(scene_file):
    """The bed is 40 mm deep."""
    changes = FROM_THE_FLOOR | {"outlet.0.at": ["300 mm", "300 mm", "0 mm"]}
    scene = read_scene(scene_file(changes))
    assert scene.outlets[0].centre == (0.3, 0.3, 0.04)
    assert scene.outlets[0].normal == (0, 0, 1)
    (caution,) = scene.cautions
    assert caution.where == "outlet left high"
    assert "40 mm" in caution.what


def test_acrylic_needs_no_word_on_tempering(scene_file):
    panel = {"material": "acrylic", "thickness": "20 mm"}
    assert read_scene(scene_file({"tank.panels.left": panel})).tank.panels["left"] == Panel("acrylic", 0.02, False)


def test_sand_is_of_the_mineral_that_is_told(scene_file):
    assert read_scene(scene_file({"sand.mineral": "quartz"})).sand == Sand(0.04, 0.001, "quartz")


def test_the_panels_of_a_rectangle(scene_file):
    walls = {wall.name: wall.normal for wall in read_scene(scene_file()).tank.plan.walls}
    expected = {"left": (1, 0), "right": (-1, 0), "front": (0, 1), "back": (0, -1)}
    assert {name: pytest.approx(normal) for name, normal in expected.items()} == walls


STEP = [{(1.2, 0.3), (0.7, 0.3)}, {(0.7, 0.3), (0.7, 0.6)}]


@pytest.mark.parametrize(("outline", "step"), [(ELL, STEP), ([ELL[0], *reversed(ELL[1:])], STEP[::-1])])
def test_sides_of_an_outline_that_stand_alone_have_their_names(scene_file, outline, step):
    """An L, either way round: the step's two walls lie on no side of the box round it and are numbered as written."""
    scene = read_scene(scene_file(WITH_OUTLINE | {"tank.outline": outline}))
    walls = {wall.name: {wall.start, wall.end} for wall in scene.tank.plan.walls}
    assert walls["front"] == {(0, 0), (1.2, 0)}
    assert walls["left"] == {(0, 0), (0, 0.6)}
    assert walls["right"] == {(1.2, 0), (1.2, 0.3)}
    assert walls["back"] == {(0, 0.6), (0.7, 0.6)}
    assert [walls["wall 3"], walls["wall 4"]] == step


def test_two_walls_on_one_side_are_numbered(scene_file):
    """A tank with a notch in its right side has two walls there, and neither is called right."""
    notched = [*CORNERS[:2], ["1200 mm", "200 mm"], ["900 mm", "200 mm"], ["900 mm", "400 mm"], ["1200 mm", "400 mm"]]
    changes = {"tank.outline": [*notched, ["1200 mm", "600 mm"], ["0 mm", "600 mm"]], "rock": []}
    names = read_scene(scene_file(WITH_OUTLINE | changes)).tank.plan.panel_names
    assert names == ("front", "wall 2", "wall 3", "wall 4", "wall 5", "wall 6", "back", "left")


def test_openings_on_the_wall_of_a_cylinder_face_its_middle(scene_file):
    """At 60° on a circle of 600 mm radius about (600, 600) mm; places are written to a tenth of a millimetre."""
    x, y = 600 + 600 * cos(pi / 3), 600 + 600 * sin(pi / 3)
    changes = ROUND | {"tank.panels": {}, "rock": [], "outlet.0.panel": "wall", "intake.0.panel": "wall"}
    changes |= {"outlet.0.at": [f"{x:.1f} mm", f"{y:.1f} mm", "400 mm"], "outlet.0.direction": None}
    changes |= {"intake.0.at": ["0 mm", "600 mm", "200 mm"]}
    scene = read_scene(scene_file(changes))
    assert scene.outlets[0].normal == pytest.approx((-cos(pi / 3), -sin(pi / 3), 0), abs=1e-3)
    assert scene.intakes[0].normal == pytest.approx((1, 0, 0), abs=1e-9)
    assert scene.tank.seen_from == ("wall",)


def test_rocks_of_each_shape(scene_file):
    column = {"name": "column", "shape": "cylinder", "centre": ["300 mm", "300 mm", "100 mm"], "diameter": "90 mm"}
    branch = {"name": "branch", "shape": "capsule", "from": ["200 mm", "100 mm", "90 mm"], "diameter": "50 mm"}
    rocks = [column | {"height": "200 mm"}, branch | {"to": ["400 mm", "100 mm", "90 mm"], "turn": "90 deg"}]
    column, branch = read_scene(scene_file({"rock.2": rocks[0], "rock.3": rocks[1]})).rocks[2:]
    assert column.solid == Cylinder((0.3, 0.3, 0.1), 0.09, 0.2)
    assert branch.solid.solid == Capsule((0.2, 0.1, 0.09), (0.4, 0.1, 0.09), 0.05)
    assert branch.solid.about == pytest.approx((0.3, 0.1, 0.09))
    assert branch.solid.distance(np.array([[0.3, 0.2, 0.09]]))[0] == pytest.approx(-0.025)  # end of the turned rod


def test_a_full_width_weir_at_the_surface(scene_file):
    """Its slot is as wide as its panel and reaches 10 mm above the water at 500 mm."""
    changes = {"intake.1": WEIR, "pipe.4": {"from": "weir", "to": "pump", "inside": "80 mm", "length": "1 m"}}
    scene = read_scene(scene_file(changes))
    assert scene.intakes[1].aperture == Slot(0.6, 0.06)
    assert scene.intakes[1].normal == pytest.approx((-1, 0, 0))
    whats = [caution.what for caution in scene.cautions if caution.where == "intake weir"]
    assert whats == ["10 mm of it stand above the water", "it has no strainer"]


def test_a_spray_bar_is_a_slot_as_large_as_its_jets(scene_file):
    """20 holes of 5 mm, whose jets narrow to 0.61 of them: a sum done here."""
    bar = {"length": "400 mm", "inside": "26 mm", "holes": 20, "hole": "5 mm"}
    outlet = read_scene(scene_file({"outlet.0.bar": bar, "outlet.0.bore": None})).outlets[0]
    assert outlet.bar == Bar(0.4, 0.026, 20, 0.005)
    assert outlet.aperture.across == 0.4
    assert outlet.aperture.area == pytest.approx(20 * 0.61 * np.pi / 4 * 0.005**2)


def test_nozzle_edge_valves_and_heat_share_are_read(scene_file):
    valves = {"pipe.0.fittings": {"ball valve": 2}, "pipe.0.valves": {"ball valve": 0.5}}
    scene = read_scene(
        scene_file({"outlet.0.nozzle": 0.97, "intake.0.edge": "4 mm", "pump.0.heat_share": 0.9} | valves)
    )
    assert (scene.outlets[0].nozzle, scene.intakes[0].edge, scene.pumps[0].heat_share) == (0.97, 0.004, 0.9)
    assert scene.pipes[0].valves == {"ball valve": 0.5}


def test_the_site_is_read(scene_file):
    site = {"altitude": "1500 ft", "room": "20 m2", "price": 0.3, "chiller": "1 kW", "siphon_break": "2 in"}
    assert read_scene(scene_file({"site": site})).site == Site(457.2, 20.0, 0.3, 1000.0, 0.0508)
    assert read_scene(scene_file()).site == Site()


def test_fixed_flows_balance_by_themselves(scene_file):
    scene = read_scene(scene_file(NO_LOOP | {"outlet.0.flow": "2 m3/h", "outlet.1.flow": "900 gph"}))
    assert scene.intakes[0].flow == pytest.approx(sum(outlet.flow for outlet in scene.outlets))
    assert scene.outlets[0].flow == 2 / 3600


def test_an_outlet_can_be_the_one_left_open(scene_file):
    scene = read_scene(scene_file(NO_LOOP | {"outlet.0.flow": "2 m3/h", "intake.0.flow": "5 m3/h"}))
    assert scene.outlets[1].flow == pytest.approx(3 / 3600)


def test_fixed_flows_that_balance_are_kept(scene_file):
    flows = {"outlet.0.flow": "2 m3/h", "outlet.1.flow": "3 m3/h", "intake.0.flow": "5000 L/h"}
    scene = read_scene(scene_file(NO_LOOP | flows))
    assert [opening.flow for opening in scene.openings] == [2 / 3600, 3 / 3600, 5 / 3600]


@pytest.mark.parametrize(
    ("changes", "where", "what"),
    [
        ({"outlet.0.at": ["200 mm", "300 mm", "400 mm"]}, "outlet left high", "drawn straight behind it"),
        ({"tank.panels.left.tempered": True}, "outlet left high", "tempered panel left"),
        ({"tank.panels.left.tempered": True}, "intake left low", "tempered panel left"),
        ({"intake.0.strainer": None}, "intake left low", "no strainer"),
        ({"outlet.0.at": ["0 mm", "200 mm", "496.5 mm"]}, "outlet left high", "9 mm of it stand above the water"),
        ({"rock.1.centre": ["1150 mm", "300 mm", "60 mm"]}, "rock slab", "through the glass"),
    ],
)
def test_what_is_doubtful_is_a_caution(scene_file, changes, where, what):
    cautions = read_scene(scene_file(changes)).cautions
    assert any(caution.where == where and what in caution.what and caution.why for caution in cautions)


@pytest.mark.parametrize(
    ("changes", "what"),
    [
        ({"outlet.0.at": ["0 mm", "200 mm", "496.5 mm"]}, "Its flow and speed are reckoned as if all of it were under"),
        ({"intake.0.at": ["0 mm", "300 mm", "495 mm"]}, "Only its wetted part carries water"),
    ],
)
def test_what_is_reckoned_of_an_opening_that_stands_out_of_the_water_is_said(scene_file, changes, what):
    cautions = read_scene(scene_file(changes)).cautions
    assert any("stand above the water" in caution.what and caution.why.startswith(what) for caution in cautions)


def test_the_sound_scene_has_no_caution(scene_file):
    assert read_scene(scene_file()).cautions == ()


def test_a_rock_in_what_an_outline_cuts_off_is_seen(scene_file, refused):
    """The slab, 200 mm square and turned by 20°, spans 128 mm to each side of its middle: 100 (cos 20° + sin 20°)."""
    ell = WITH_OUTLINE | {"tank.outline": ELL}
    (told,) = [caution.what for caution in read_scene(scene_file(ell)).cautions if caution.where == "rock slab"]
    assert told == "it reaches 130 mm through the glass"
    beside = scene_file(ell | {"rock.1.centre": ["950 mm", "460 mm", "60 mm"]})
    refused(beside, "rock[2] 'slab'.centre", "lies outside the tank", "Move it into")


def test_a_rock_across_the_notch_of_a_plan_reaches_through_its_glass(scene_file):
    """A notch of 400 mm, and a bar whose corners all stand in the legs: the middle of the bar is 200 mm from glass, of
    which places 20 mm apart may miss half of that.
    """
    notch = [["800 mm", "600 mm"], ["800 mm", "200 mm"], ["400 mm", "200 mm"], ["400 mm", "600 mm"]]
    legs = [["0 mm", "0 mm"], ["1200 mm", "0 mm"], ["1200 mm", "600 mm"], *notch, ["0 mm", "600 mm"]]
    bar = {"centre": ["600 mm", "450 mm", "60 mm"], "size": ["1000 mm", "60 mm", "100 mm"], "turn": None}
    changes = WITH_OUTLINE | {"tank.outline": legs} | {f"rock.1.{key}": value for key, value in bar.items()}
    changes |= {"rock.0.centre": ["1000 mm", "300 mm", "100 mm"], "tank.seen_from": ["front"], "tank.panels": None}
    (told,) = [each.what for each in read_scene(scene_file(changes)).cautions if each.where == "rock slab"]
    assert told in [f"it reaches {reach} mm through the glass" for reach in (190, 200)]


def test_a_rock_partly_in_a_narrow_leg_of_the_plan_is_in_the_tank(scene_file):
    """A leg of 60 mm behind the middle of a bar, and a box of a metre across it."""
    bar = [["0 mm", "0 mm"], ["1200 mm", "0 mm"], ["1200 mm", "400 mm"], ["630 mm", "400 mm"]]
    leg = [["630 mm", "600 mm"], ["570 mm", "600 mm"], ["570 mm", "400 mm"], ["0 mm", "400 mm"]]
    slab = {"centre": ["560 mm", "500 mm", "60 mm"], "size": ["1000 mm", "120 mm", "100 mm"], "turn": None}
    changes = WITH_OUTLINE | {"tank.outline": bar + leg} | {f"rock.1.{key}": value for key, value in slab.items()}
    scene = read_scene(scene_file(changes))
    assert any("through the glass" in caution.what for caution in scene.cautions if caution.where == "rock slab")


@pytest.mark.parametrize("name", ['a "quoted" one', "<b>&amp;", "Größe", "水槽 🐠", "x" * 200])
def test_names_may_be_in_any_letters(scene_file, name):
    scene = read_scene(scene_file({"rock.0.name": name, "title": name}))
    assert scene.rocks[0].name == scene.title == name
