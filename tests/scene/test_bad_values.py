"""Each faulty value gives one line: the file and the key, what was found there, and what to write instead."""

import tomllib
from math import inf, nan

import pytest

from flowviz.errors import InputError
from flowviz.scene.faults import EXAMPLES
from flowviz.scene.file import read_scene
from flowviz.scene.schema.values import Table

HIGH = "outlet[1] 'left high'"
RIM = "outlet[2] 'right rim'"
SWIMS = "animal[1] 'a'.lengths_per_second"
LOW = "intake[1] 'left low'"
BOULDER = "rock[1] 'boulder'"
PUMP = "pump[1] 'pump'"

NO_BORE = {"outlet.0.bore": None}
ONE_VALVE = {"pipe.0.fittings": {"ball valve": 1}}
BASKET = {"shape": "basket", "diameter": "80 mm", "length": "80 mm", "open_area": 0.4, "slot": "3 mm"}
BAR = {"length": "400 mm", "inside": "26 mm", "holes": 20, "hole": "5 mm"}
VALUES = [  # changes, key, what was found, what to write instead
    ({"outlet.0.bore": 25}, f"{HIGH}.bore", "25 is a number without a unit", "'25 mm'"),
    ({"outlet.0.bore": "25"}, f"{HIGH}.bore", "25 is a number without a unit", "'25 mm'"),
    ({"outlet.0.bore": "25 mn"}, f"{HIGH}.bore", "unknown unit 'mn'", "'m"),
    ({"outlet.0.bore": "3 L/h"}, f"{HIGH}.bore", "'3 L/h' is a flow", "'600 mm'"),
    ({"outlet.0.bore": "-25 mm"}, f"{HIGH}.bore", "'-25 mm' is not above 0", "positive"),
    ({"outlet.0.bore": "0 mm"}, f"{HIGH}.bore", "'0 mm' is not above 0", "positive"),
    ({"outlet.0.bore": "inf mm"}, f"{HIGH}.bore", "not finite", "'600 mm'"),
    ({"outlet.0.bore": "nan mm"}, f"{HIGH}.bore", "not finite", "'600 mm'"),
    ({"outlet.0.bore": nan}, f"{HIGH}.bore", "nan is not a length", "'600 mm'"),
    ({"outlet.0.bore": None}, f"{HIGH}.bore", "is missing", 'bore = "32 mm", or slot'),
    ({"outlet.0.slot": ["9 mm", "9 mm"]}, f"{HIGH}.slot", "beside bore", "Keep one"),
    ({"outlet.0.at": ["0 mm", "200 mm", 400]}, f"{HIGH}.at[3]", "without a unit", "'400 mm'"),
    ({"outlet.0.at": ["0 mm", "200 mm"]}, f"{HIGH}.at", "too few values, 2", "at = ["),
    ({"outlet.0.at": ["0 mm"] * 4}, f"{HIGH}.at", "more than 3 values", "at = ["),
    ({"outlet.0.at": "0 mm"}, f"{HIGH}.at", "'0 mm' is not a list", "at = ["),
    ({"outlet.0.direction": [0, 0, 0]}, f"{HIGH}.direction", "points nowhere", "[1, 0, 0]"),
    ({"outlet.0.direction": [1, inf, 0]}, f"{HIGH}.direction[2]", "inf is not finite", "direction = [1, 0.1, 0]"),
    ({"outlet.0.direction": ["1 m", 0, 0]}, f"{HIGH}.direction[1]", "'1 m' is not a number", "direction = ["),
    ({"outlet.0.hole": "20 mm"}, f"{HIGH}.hole", "20 mm is narrower than the bore, 25 mm", "drilled"),
    ({"outlet.1.hole": "20 mm"}, f"{RIM}.hole", "over the rim", "Leave hole out"),
    ({"outlet.0.name": ""}, "outlet[1] ''.name", "is empty", "one letter"),
    ({"outlet.0.name": "left\nhigh"}, r"outlet[1] 'left\nhigh'.name", "line break", "on one line"),
    ({"outlet.0.name": "x" * 201}, f"outlet[1] '{'x' * 56}....name", "more than 200 letters", "Write a shorter one"),
    ({"outlet.0.name": 5}, "outlet[1].name", "5 is not text", 'name = "..."'),
    ({"outlet": {"name": "left"}}, "outlet", "single table", "[[outlet]]"),
    ({"intake": {"strainer": BASKET}}, "intake", "a [intake.strainer] and nothing else", "[[intake]] with its name"),
    ({"intake": {"name": "low", "strainer": BASKET}}, "intake", "is a single table", "[[intake]], in double"),
    ({"outlet.0": 5}, "outlet[1]", "5 is not a table", "a table [[outlet]]"),
    ({"sand": 5}, "sand", "5 is not a table", "a table [sand]"),
    ({"rock": 5}, "rock", "5 is not a list", "a table [[rock]]"),
    ({"outlet.0.bar": BAR}, f"{HIGH}.bar", "beside bore", "Keep one"),
    ({"outlet.0.bar": BAR | {"holes": 90}, **NO_BORE}, f"{HIGH}.bar.holes", "no wall", "fewer or smaller"),
    ({"outlet.0.bar": BAR | {"holes": 1}, **NO_BORE}, f"{HIGH}.bar.holes", "1 is below 2", "2 or more"),
    ({"outlet.0.bar": BAR | {"hole": "26 mm"}, **NO_BORE}, f"{HIGH}.bar.hole", "wide as the bar", "one small"),
    ({"outlet.0.bar": BAR | {"length": "900 mm"}, **NO_BORE}, f"{HIGH}.bar", "wider than its panel", "fits"),
    ({"outlet.0.bar": {}, **NO_BORE}, f"{HIGH}.bar.length", "is missing", '"600 mm", of the spray bar'),
    ({"outlet.0.nozzle": 1.2}, f"{HIGH}.nozzle", "1.2 is above 1", "at most 1"),
    ({"outlet.0.nozle": 0.9}, f"{HIGH}.nozle", "is no key", "'nozzle'"),
    ({"intake.0.fitted": 19}, f"{LOW}.fitted", "19 is below 1950", "1950 or more"),
    ({"intake.0.fitted": "2019"}, f"{LOW}.fitted", "'2019' is not a whole number", "fitted = 2019"),
    ({"intake.0.edge": 4}, f"{LOW}.edge", "without a unit", "'4 mm'"),
    ({"intake.0.edge": "-4 mm"}, f"{LOW}.edge", "'-4 mm' is below 0", "0 or more"),
    ({"site": {"room": 20}}, "site.room", "without a unit", "'20 m2' or '20 ft²'"),
    ({"site": {"room": "wide"}}, "site.room", "'wide' is not an area", "'12 m2'"),
    ({"site": {"rom": "20 m2"}}, "site.rom", "is no key", "'room'"),
    ({"site": {"price": "0.30"}}, "site.price", "'0.30' is not a number", "price = 0.30"),
    ({"site": {"price": 0}}, "site.price", "0 is not above 0", "positive"),
    ({"site": {"altitude": "12 km"}}, "site.altitude", "unknown unit 'km'", "'m"),
    ({"site": {"altitude": "9000 m"}}, "site.altitude", "comes to 9000 m", "-450 m to 5000 m"),
    ({"site": {"chiller": "800 L"}}, "site.chiller", "is a volume", "a power"),
    ({"pump.0.heat_share": 1.5}, f"{PUMP}.heat_share", "1.5 is above 1", "at most 1"),
    ({"pipe.0.valves": {"gate valve": 0.5}}, "pipe[1].valves.gate valve", "not among the fittings", ""),
    (
        {"pipe.0.fittings": {"ball valve": 1}, "pipe.0.valves": {"bal valve": 1}},
        "pipe[1].valves.bal valve",
        "not among",
        "'ball valve'",
    ),
    (
        {**ONE_VALVE, "pipe.0.valves": {"ball valve": 1.1}},
        "pipe[1].valves.ball valve",
        "1.1 is above 1",
        "at most 1",
    ),
    ({"intake.0.strainer.open_area": 0}, f"{LOW}.strainer.open_area", "0 is not above 0", "positive"),
    ({"intake.0.strainer.open_area": 1.2}, f"{LOW}.strainer.open_area", "1.2 is above 1", "at most 1"),
    ({"intake.0.strainer.open_area": 40}, f"{LOW}.strainer.open_area", "40 is above 1", "40 % is 0.4"),
    ({"intake.0.strainer.open_area": None}, f"{LOW}.strainer.open_area", "is missing", "open_area = 0.38"),
    ({"intake.0.strainer.slot": None}, f"{LOW}.strainer.slot", "is missing", 'slot = "3 mm"'),
    ({"intake.0.strainer.slot": "3 m"}, f"{LOW}.strainer.slot", "3000 mm is as wide as the strainer, 110 mm", "of one"),
    ({"intake.0.strainer.shape": "baskt"}, f"{LOW}.strainer.shape", "'baskt' is not known", "'basket'"),
    ({"intake.0.strainer.length": None}, f"{LOW}.strainer.length", "is missing", 'length = "120 mm"'),
    ({"title": None}, "title", "is missing", "title = "),
    ({"coral_kinds": 5}, "coral_kinds", "5 is not text in quotes", 'coral_kinds = "kinds.csv"'),
    ({"pump.0.curve": None, "pump.0.curve_file": 5}, "pump[1] 'pump'.curve_file", "5 is not text", "curve_file = "),
    ({"rock.0.open": "40 %", "rock.0.stone": "9 mm"}, "rock[1] 'boulder'.open", "'40 %' is not a number", "open = 0.4"),
    ({"phase": [{"name": "ebb", "lasts": "1 h", "valves": ["tee"]}]}, "phase[1] 'ebb'.valves", "no", '"left high" = 0'),
    (
        {"animal": [{"name": "a", "length": "9 mm", "width": "2 mm", "lengths_per_second": "2"}]},
        SWIMS,
        "'2'",
        "second = 2",
    ),
    ({"sand.depth": None}, "sand.depth", "is missing", 'depth = "40 mm"'),
    ({"tank": None}, "tank", "is missing", "[tank]"),
    ({"tank": 5}, "tank", "5 is not a table", "[tank]"),
    ({"water.temperature": None}, "water.temperature", "is missing", '"25.5 degC"'),
    ({"water.temperature": "78 degC"}, "water.temperature", "comes to 78 °C", "0 °C to 50 °C"),
    ({"rock.0.open": 40, "rock.0.stone": "4 cm"}, f"{BOULDER}.open", "40 is above 0.8", "at most 0.8; 40 % is 0.4"),
    ({"water.salinity": "1.025"}, "water.salinity", "'1.025' is a specific gravity", "about '35 g/kg'"),
    ({"water.salinity": 1.026}, "water.salinity", "1.026 is a specific gravity", "about '35 g/kg'"),
    ({"water.salinity": "1.024 SG"}, "water.salinity", "is a specific gravity", "about '35 g/kg'"),
    ({"animal": [{"name": "goby", "width": "9 mm"}]}, "animal[1] 'goby'.length", "is missing", '"60 mm", of its body'),
    ({"water.salinity": "35 g/L"}, "water.salinity", "'35 g/L' is in g/L", "'35 g/kg'"),
    ({"show": "imperial"}, "show", "'imperial' is not known", "metric, us"),
    ({"limits": {"dead": "60 cm/s", "over": "50 cm/s"}}, "limits.dead", "not below over", "slower"),
    ({"tank.depth": "700 mm"}, "tank.depth", "700 mm deep, above the rim at 600 mm", "tank.height"),
    ({"tank.length": "1200 m"}, "tank.length", "comes to 1200 m, which no tank is", "at most 100 m"),
    ({"show": "us", "tank.height": "600 m"}, "tank.height", "comes to 1,969 ft, which no tank is", "at most 328.1 ft"),
    (
        {"tank.length": None, "tank.width": None, "tank.outline": [["0 m", "0 m"], ["900 m", "0 m"], ["0 m", "9 m"]]},
        "tank.outline[2][1]",
        "comes to 900 m, which no tank is",
        "unit",
    ),
    ({"tank.width": None}, "tank.width", "is missing", 'width = "760 mm"'),
    ({"tank.length": None, "tank.width": None}, "tank.length", "is missing", "length"),
    ({"tank.diameter": "900 mm"}, "tank.diameter", "beside length", "once"),
    ({"tank.panels.left.tempered": "false"}, "tank.panels.left.tempered", "'false' is neither", "tempered = false"),
    (
        {"sand.mineral": "quarz"},
        "sand.mineral",
        "'quarz' is not known",
        "Did you mean 'quartz'? Known here: aragonite, quartz",
    ),
    (
        {"coral.0.speed": None, "coral.0.kind": "soft coral"},
        "coral[1] 'crest'.kind",
        "'soft coral' is not known",
        "Known here: branching stony, massive stony, plating stony, deep reef, large polyp stony, soft",
    ),
    (
        {"tank.seen_from": ["forward"]},
        "tank.seen_from",
        "'forward' is no wall",
        "Known here: front, right, back, left, above",
    ),
    ({"outlets": []}, "outlets", "is no key of this table", "Did you mean 'outlet', '"),
    ({"tank.panels.left.tempered": None}, "tank.panels.left.tempered", "is missing", "tempered = false"),
    ({"tank.panels.left.material": "glas"}, "tank.panels.left.material", "'glas' is not known", "'glass'"),
    (
        {"tank.panels.left": {"material": "acrylic", "thickness": "12 mm", "tempered": True}},
        "tank.panels.left.tempered",
        "acrylic",
        "Write false",
    ),
    ({"rock.0.shape": "elipsoid"}, f"{BOULDER}.shape", "'elipsoid' is not known", "'ellipsoid'"),
    ({"rock.0.shape": None}, f"{BOULDER}.shape", "is missing", '"ellipsoid"'),
    ({"rock.0.size": None}, f"{BOULDER}.size", "is missing", "size = ["),
    ({"rock.0.turn": "5 mm"}, f"{BOULDER}.turn", "is a length", "'30 deg'"),
    ({"coral.0.speed": ["30 cm/s", "8 cm/s"]}, "coral[1] 'crest'.speed", "does not rise", "slower speed first"),
    ({"pump.0.speed": 1.5}, f"{PUMP}.speed", "1.5 is above 1", "at most 1"),
    ({"pump.0.speed": "1"}, f"{PUMP}.speed", "'1' is not a number", "speed = 0.8"),
    ({"pump.0.curve": None}, f"{PUMP}.curve", "is missing", "curve = ["),
    ({"pump.0.curve": [["0 m3/h", "5 m"]]}, f"{PUMP}.curve", "1 of the two points", "both"),
    ({"pump.0.curve": [["0 m3/h", "5 m"], ["6 m3/h", "6 m"]]}, f"{PUMP}.curve", "does not fall: 5 m, then 6 m", "fall"),
    ({"pump.0.curve": [["0 gph", "17 ft"], ["9 gph", "6 m"]]}, f"{PUMP}.curve", "not fall: 17 ft, then 6 m", "fall"),
    ({"pump.0.curve": [["6 m3/h", "5 m"], ["6 m3/h", "4 m"]]}, f"{PUMP}.curve", "do not rise", "Sort"),
    (  # 500 US gallons are 1893 L
        {"pump.0.curve": [["500 gph", "5 m"], ["1000 L/h", "4 m"]]},
        f"{PUMP}.curve",
        "has flows that do not rise: 500 gph, then 1000 L/h",
        "mend a unit",
    ),
    (
        {"pump.0.curve": [["0 m3/h", "400 m"], ["6 m3/h", "40 m"]]},
        f"{PUMP}.curve",
        "head of 400 m",
        "Did you mean feet",
    ),
    ({"pipe.0.length": "0 m"}, "pipe[1].length", "'0 m' is not above 0", "positive"),
    ({"pipe.0.size": None}, "pipe[1].size", "is missing", "sch 40"),
    ({"pipe.0.inside": "52 mm"}, "pipe[1].inside", "beside size", "Keep one"),
    ({"pipe.0.from": None}, "pipe[1].from", "is missing", "from = "),
    (
        {"pipe.0.fittings": {"elbow 90": 1.5}},
        "pipe[1].fittings.elbow 90",
        "1.5 is not a whole number",
        '{ "elbow 90" = 2 }',
    ),
    ({"pipe.0.fittings": {"elbow 90": -1}}, "pipe[1].fittings.elbow 90", "-1 is below 0", "0 or more"),
    ({"pipe.0.loss": -1}, "pipe[1].loss", "-1 is below 0", "0 or more"),
]
UNKNOWN_KEYS = [
    ({"outlets": []}, "outlets", "no key", "'outlet'"),
    ({"tank.lenght": "1 m"}, "tank.lenght", "no key", "'length'"),
    ({"outlet.0.bores": "25 mm"}, f"{HIGH}.bores", "no key", "'bore'"),
    ({"outlet.0.strainer": {}}, f"{HIGH}.strainer", "no key", "Known here: name, at, direction"),
    ({"rock.0.open": 0.4}, f"{BOULDER}.stone", "is missing beside open", 'stone = "40 mm"'),
    ({"rock.0.stone": "40 mm"}, f"{BOULDER}.open", "is missing beside stone", "open = 0.4"),
    ({"rock.0.open": 1.2, "rock.0.stone": "40 mm"}, f"{BOULDER}.open", "1.2", "0.8"),
    ({"rock.0.diameter": "25 mm"}, f"{BOULDER}.diameter", "no key", "Known here"),
    ({"pipe.0.start": "left low"}, "pipe[1].start", "no key", "Known here: from, to"),
    ({"tank.panels.lft": {"material": "glass"}}, "tank.panels.lft.thickness", "is missing", 'thickness = "15 mm"'),
    (
        {"tank.panels.lft": {"material": "glass", "thickness": "9 mm", "tempered": False}},
        "tank.panels.lft",
        "no panel of this tank",
        "'left'",
    ),
    ({"tank.seen_from": ["fornt"]}, "tank.seen_from", "'fornt' is no wall", "'front'"),
]


@pytest.mark.parametrize(("changes", "key", "found", "remedy"), [*VALUES, *UNKNOWN_KEYS])
def test_a_fault_is_told_with_its_key_and_what_to_write(scene_file, refused, changes, key, found, remedy):
    refused(scene_file(changes), key, found, remedy)


US_VALUES = [  # as above, of a scene that shows US units; the sums are done by hand, to two digits
    ({"outlet.0.bore": 1}, f"{HIGH}.bore", "without a unit", "as '1 in' or '1 mm'"),
    ({"outlet.0.bore": "3 gph"}, f"{HIGH}.bore", "is a flow", "'24 in'"),  # 600 mm
    ({"outlet.0.bore": "1 furlong"}, f"{HIGH}.bore", "unknown unit", "in, ft, mm, cm, m"),
    ({"outlet.0.bore": None}, f"{HIGH}.bore", "is missing", 'bore = "1.3 in", or slot = ["4.7 in", "0.47 in"]'),
    ({"tank.height": None}, "tank.height", "is missing", 'height = "26 in"'),  # 650 mm
    ({"tank.depth": "25 in"}, "tank.depth", "25 in deep, above the rim at 23.62 in", "tank.height"),  # 600 mm
    ({"intake.0.strainer.diameter": "1 in"}, f"{LOW}.strainer.diameter", "1 in is narrower than the bore", "covers"),
    ({"water.temperature": "150 degF"}, "water.temperature", "comes to 150 °F", "Write 32 °F to 122 °F"),
    ({"pump.0.curve": []}, f"{PUMP}.curve", "has 0 of the two points", "both its ends"),
    ({"pump.0.curve": None}, f"{PUMP}.curve", "is missing", '["3200 gph", "11 ft"]'),  # 12 m3/h and 3.4 m
    ({"pump": [], "pipe": [], "junction": []}, "", "nothing drives the water", 'flow = "790 gph"'),  # 3000 L/h
]


@pytest.mark.parametrize(("changes", "key", "found", "remedy"), US_VALUES)
def test_a_scene_that_shows_us_units_is_told_us_units_first(scene_file, refused, changes, key, found, remedy):
    refused(scene_file({"show": "us"} | changes), key, found, remedy)


def tables(kind=Table):
    """All tables of the vocabulary."""
    for table in kind.__subclasses__():
        yield table
        yield from tables(table)


def test_every_key_that_may_be_missing_has_an_example():
    needed = {
        field.alias or name for table in tables() for name, field in table.model_fields.items() if field.is_required()
    }
    assert needed <= set(EXAMPLES)
    assert len(needed) > 20


ODD = [5, nan, True, 10**400, "left", "5 mm", "-5 m", "1e25 m", [], ["5 mm"] * 3, [{}]]


def places(tables, way=()):
    """Dotted paths of everything in the sound scene."""
    for key, value in tables.items() if isinstance(tables, dict) else enumerate(tables):
        yield ".".join(map(str, (*way, key)))
        if isinstance(value, dict | list):
            yield from places(value, (*way, key))


@pytest.mark.parametrize("odd", ODD, ids=lambda odd: repr(odd)[:20])
def test_whatever_stands_at_a_key_is_read_or_refused_in_one_line(scene_file, odd):
    sound = tomllib.loads(scene_file().read_text(encoding="utf-8"))
    for place in places(sound):
        try:
            read_scene(scene_file({place: odd}))
        except InputError as error:
            line = str(error)
            assert "\n" not in line, place
            assert len(line) < 500, place


def test_a_line_of_any_length_is_looked_through_once(scene_file, refused):
    """Were every place of it tried from every other, its 200 000 blanks would take minutes."""
    file = scene_file()
    file.write_text(f"title ={' ' * 200_000}.", encoding="utf-8")
    refused(file, "line 1", "is not TOML", "Mend that line")


def test_a_word_that_only_ends_like_a_known_one_is_not_taken_for_it(scene_file):
    """Plastic by a name that ends in glass: the rules for holes in glass are others."""
    with pytest.raises(InputError) as caught:
        read_scene(scene_file({"tank.panels": {"left": {"material": "plastiglass", "thickness": "9 mm"}}}))
    assert caught.value.remedy == "Known here: glass, acrylic"
