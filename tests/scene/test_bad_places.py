"""What stands where it cannot: openings, rocks, corals and sand, each refused in one line; and plans that are none."""

import pytest

HIGH = "outlet[1] 'left high'"
RIM = "outlet[2] 'right rim'"
LOW = "intake[1] 'left low'"
BOULDER = "rock[1] 'boulder'"
BAR = {
    "outlet.1.slot": None,
    "outlet.1.bar": {"length": "400 mm", "inside": "26 mm", "holes": 20, "hole": "5 mm"},
    "outlet.1.direction": [0, 1, 0],
}
FLOOR = {"outlet.0.panel": "floor", "outlet.0.direction": [0, 0, 1], "outlet.0.at": ["300 mm", "20 mm", "0 mm"]}
PLACES = [
    ({"outlet.0.at": ["-50 mm", "200 mm", "400 mm"]}, f"{HIGH}.at", "50 mm beyond the glass, outside", "Move it"),
    (
        {"outlet.0.at": ["-5 mm", "200 mm", "400 mm"]},  # in the thickness of the glass
        f"{HIGH}.at",
        "5 mm beyond the glass, outside",
        "onto its panel at 0 mm, 200 mm, 400 mm: lengths count from the inside",
    ),
    (
        FLOOR | {"outlet.0.at": ["300 mm", "200 mm", "-5 mm"]},
        f"{HIGH}.at",
        "5 mm below the floor, outside",
        "onto its panel at 300 mm, 200 mm, 0 mm: lengths",
    ),
    ({"outlet.1.at": ["1 m", "50 mm", "-50 mm"]}, f"{RIM}.at", "50 mm below the floor, outside", "Move it"),
    ({"outlet.1.at": ["1 m", "50 mm", "640 mm"]}, f"{RIM}.at", "40 mm above the rim, outside", "Move it"),
    ({"outlet.1.at": ["1 m", "50 mm", "540 mm"]}, f"{RIM}.at", "40 mm above the water", "Lower it"),
    ({"outlet.0.at": ["0 mm", "200 mm", "512.5 mm"]}, f"{HIGH}.at", "12.5 mm above the water", "Lower it"),
    ({"outlet.1.at": ["1 m", "50 mm", "20 mm"]}, f"{RIM}.at", "below the sand's surface at 40 mm", "Raise it"),
    ({"outlet.1.at": ["600 mm", "300 mm", "150 mm"]}, f"{RIM}.at", "inside the rock 'boulder'", "Move one"),
    (
        {
            "outlet.1.at": ["600 mm", "300 mm", "150 mm"],
            "rock.0.open": 0.4,
            "rock.0.stone": "40 mm",
        },
        f"{RIM}.at",
        "inside the heap of rubble 'boulder'",
        "Heaps too must leave an opening free",
    ),
    ({"outlet.0.panel": "lef"}, f"{HIGH}.panel", "no panel is called 'lef'", "'left'"),
    ({"outlet.0.panel": "right"}, f"{HIGH}.at", "lies on the panel 'left', and not on 'right'", "panel = 'left'"),
    ({"outlet.0.direction": [-1, 0, 0]}, f"{HIGH}.direction", "into or along its own panel 'left'", "[1, 0, 0]"),
    ({"outlet.0.direction": [0.05, 1, 0]}, f"{HIGH}.direction", "into or along its own panel", "[1, 0, 0]"),
    ({"intake.0.direction": [-1, 0, 0]}, f"{LOW}.direction", "into or along its own panel", "[1, 0, 0]"),
    ({"outlet.1.direction": None}, f"{RIM}.direction", "is missing", "direction = [1, 0, 0]"),
    (
        {"outlet.0.direction": None, "outlet.0.at": ["600 mm", "300 mm", "150 mm"]},
        f"{HIGH}.direction",
        "is missing, and at does not lie on its panel 'left'",
        "or move at onto the panel 'left'",
    ),
    ({"outlet.0.bore": "700 mm", "outlet.0.hole": None}, f"{HIGH}.bore", "700 mm is wider than its panel", "fits"),
    ({"outlet.0.at": ["0 mm", "20 mm", "400 mm"]}, f"{HIGH}.hole", "5 mm of the hole beyond the edge", "drilled"),
    ({"outlet.0.at": ["200 mm", "20 mm", "400 mm"]}, f"{HIGH}.hole", "5 mm of the hole beyond the edge", "drilled"),
    ({"outlet.0.at": ["0 mm", "10 mm", "400 mm"]}, f"{HIGH}.at", "2.5 mm of the opening beyond the edge", "away"),
    (
        FLOOR | {"outlet.0.bore": "50 mm"},
        f"{HIGH}.at",
        "5 mm of the",
        "away",
    ),
    (
        FLOOR | {"outlet.0.bore": None, "outlet.0.slot": ["9 mm", "60 mm"]},
        f"{HIGH}.at",
        "10 mm of the opening beyond the edge of its panel 'floor'",
        "smaller",
    ),
    (  # a bar of 400 mm whose middle is 100 mm from the right end
        BAR | {"outlet.1.at": ["1100 mm", "50 mm", "400 mm"]},
        f"{RIM}.at",
        "100 mm of the opening beyond the glass: at is its middle",
        "Move it away",
    ),
    (  # 2 mm before the left panel, tilted: half of its bore of 25 mm reaches through
        {"outlet.0.at": ["2 mm", "200 mm", "400 mm"], "outlet.0.direction": [1, 1, 0], "outlet.0.hole": None},
        f"{HIGH}.at",
        "6.839 mm of the opening beyond the glass: at is its middle",  # 12.5 mm sin 45° - 2 mm
        "Move it away from there, move it onto its panel at 0 mm, 200 mm, 400 mm, or make it smaller",
    ),
    (  # the boulder spans x 450 to 750 mm, the bar x 700 to 1100 mm
        BAR | {"outlet.1.at": ["900 mm", "300 mm", "100 mm"]},
        f"{RIM}.at",
        "lies inside the rock 'boulder'",
        "Move one",
    ),
    ({"show": "us", "outlet.0.at": ["-2 in", "8 in", "16 in"]}, f"{HIGH}.at", "lies 2 in beyond the glass", "Move it"),
    ({"intake.0.at": ["0 mm", "200 mm", "380 mm"]}, f"{LOW}.at", "on top of 'left high'", "Move one"),
    ({"sand.depth": "500 mm"}, "sand.depth", "500 mm of sand leave no water where it is", "below tank.depth"),
    ({"site": {"siphon_break": "30 ft"}}, "site.siphon_break", "9144 mm below the surface of water", "less than"),
    ({"rock.0.centre": ["3 m", "300 mm", "100 mm"]}, f"{BOULDER}.centre", "outside the tank: it spans x 2850", "into"),
    ({"rock.0.size": ["30 m", "30 m", "30 m"]}, f"{BOULDER}.shape", "30 m long in a tank of 1200 mm", "units"),
    ({"coral.0.centre": ["600 mm", "300 mm", "900 mm"]}, "coral[1] 'crest'.centre", "outside the water", "Move it"),
    ({"coral.0.size": ["2 m", "200 mm", "80 mm"]}, "coral[1] 'crest'.size", "larger than the tank", "units"),
    ({"rock.1.name": "boulder"}, "rock[2].name", "'boulder' is the name of rock[1] too", "of its own"),
    ({"outlet.0.name": "boulder"}, "outlet[1].name", "'boulder' is the name of rock[1] too", "of its own"),
]
SQUARE = [["0 mm", "0 mm"], ["1200 mm", "0 mm"], ["1200 mm", "600 mm"], ["0 mm", "600 mm"]]
OUTLINES = [
    ([SQUARE[0], SQUARE[2], SQUARE[1], SQUARE[3]], "tank.outline", "crosses itself: its edges 1 and 3", "order"),
    (SQUARE[:2], "tank.outline", "has 2 corners", "three"),
    ([*SQUARE, SQUARE[0]], "tank.outline[1]", "same corner", "once"),
    ([*SQUARE[:2], ["600 mm", "0 mm"], *SQUARE[2:]], "tank.outline[2]", "turns straight back", "Leave this corner out"),
    ([["9 mm", y] if x == "0 mm" else [x, y] for x, y in SQUARE], "tank.outline", "begins at x = 9 mm", "x is 0 mm"),
    ([["0 mm"], *SQUARE], "tank.outline[1]", "too few values, 1", "outline = ["),
]


@pytest.mark.parametrize(("changes", "key", "found", "remedy"), PLACES)
def test_what_stands_where_it_cannot_is_refused(scene_file, refused, changes, key, found, remedy):
    refused(scene_file(changes), key, found, remedy)


@pytest.mark.parametrize(("outline", "key", "found", "remedy"), OUTLINES)
def test_a_floor_plan_that_encloses_no_tank_is_refused(scene_file, refused, outline, key, found, remedy):
    refused(scene_file({"tank.length": None, "tank.width": None, "tank.outline": outline}), key, found, remedy)
