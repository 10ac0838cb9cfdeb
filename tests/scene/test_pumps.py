"""Files of pumps to choose from: what is read from both kinds, and each fault in one line."""

import pytest

from flowviz.scene.pumps import read_pumps

HOUR = 1 / 3600
TOML = """
[[pump]]
name = "steep"
curve = [["0 m3/h", "14 m"], ["10 m3/h", "6 m"], ["14 m3/h", "0 m"]]
power = "500 W"
npsh_required = "2 m"

[[pump]]
name = "flat"
curve = [["0 m3/h", "2.6 m"], ["28 m3/h", "0 m"]]
mounting = "submerged"
heat_share = 0.9
"""
CSV = """# invented
name, flow, head, power, npsh_required, mounting, heat_share
steep, 0 m3/h, 14 m, 500 W, 2 m
steep, 10 m3/h, 6 m
steep, 14 m3/h, 0 m

flat, 0 m3/h, 2.6 m, , , submerged, 0.9
flat, 28 m3/h, 0 m
"""


def file_of(folder, name, text):
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def test_both_kinds_of_file_say_the_same(tmp_path):
    steep, flat = read_pumps(file_of(tmp_path, "pumps.toml", TOML))
    assert (steep, flat) == read_pumps(file_of(tmp_path, "pumps.csv", CSV))
    assert sum(steep.curve, ()) == pytest.approx((0.0, 14.0, 10 * HOUR, 6.0, 14 * HOUR, 0.0))
    assert (steep.power, steep.npsh_required, steep.mounting) == (500.0, 2.0, "dry")
    assert (flat.power, flat.mounting, flat.heat_share) == (None, "submerged", 0.9)


def test_headings_may_be_in_any_case_of_letters_and_a_spreadsheet_may_add_empty_columns(tmp_path):
    told = CSV.replace("name, flow, head", "Name,FLOW, Head").replace("10 m3/h, 6 m", "10 m3/h, 6 m,,,,,,,")
    assert read_pumps(file_of(tmp_path, "one.csv", told)) == read_pumps(file_of(tmp_path, "other.csv", CSV))


def test_a_curve_may_lie_in_a_file_of_its_own(tmp_path):
    file_of(tmp_path, "steep.csv", "0 m3/h, 14 m\n14 m3/h, 0 m\n")
    (pump,) = read_pumps(file_of(tmp_path, "pumps.toml", '[[pump]]\nname = "steep"\ncurve_file = "steep.csv"\n'))
    assert sum(pump.curve, ()) == pytest.approx((0.0, 14.0, 14 * HOUR, 0.0))


FAULTS = [  # what is changed to what in the TOML file, where, what was found, what to write instead
    ('"6 m"]', '"15 m"]', "pump[1] 'steep'.curve", "does not fall", "heads that fall"),
    ('"14 m"]', '"400 m"]', "pump[1] 'steep'.curve", "a head of 400 m", "Did you mean feet, or centimetres?"),
    ('"14 m"]', '"14"]', "pump[1] 'steep'.curve[1][2]", "without a unit", "'14 m'"),
    ('"10 m3/h"', '"10 m"', "pump[1] 'steep'.curve[2][1]", "is a length", "a flow"),
    ('"500 W"', "500", "pump[1] 'steep'.power", "without a unit", "'500 W'"),
    ('"submerged"', '"wet"', "pump[2] 'flat'.mounting", "'wet' is not known", "submerged"),
    ("heat_share = 0.9", "heat_share = 1.9", "pump[2] 'flat'.heat_share", "1.9 is above 1", "at most 1"),
    ("heat_share", "heatshare", "pump[2] 'flat'.heatshare", "no key of this table", "'heat_share'"),
    ('"flat"', '"steep"', "pump[2] 'steep'.name", "stands twice", "name of its own"),
    ("[[pump]]", "[[pumps]]", "pumps", "no key of this table", "'pump'"),
    ("[[pump]]", "[[pump]", "line 2", "'[[pump]' is not TOML", "Mend that line"),
]


@pytest.mark.parametrize(("old", "new", "where", "found", "remedy"), FAULTS)
def test_faults_of_a_toml_file(tmp_path, refused, old, new, where, found, remedy):
    refused(file_of(tmp_path, "pumps.toml", TOML.replace(old, new)), where, found, remedy, read_pumps)


ROWS = [  # the same for the CSV file
    ("steep, 10 m3/h, 6 m", "steep, 10 m3/h, 15 m", "pump[1] 'steep'.curve", "does not fall", "heads that fall"),
    ("14 m, 500 W", "400 m, 500 W", "pump[1] 'steep'.curve", "a head of 400 m", "Did you mean feet"),
    ("10 m3/h, 6 m", "10, 6 m", "pump[1] 'steep'.curve[2][1]", "without a unit", "'10 L/h'"),
    ("10 m3/h, 6 m", "10 m3/h", "line 4", "has nothing under head", "Fill the columns name, flow, head"),
    ("10 m3/h, 6 m", "10 m3/h, 6 m,,,,,5 m", "line 4", "has '5 m' beyond its 7 columns", "Write a point"),
    ("10 m3/h, 6 m", '10 m3/h, "6" m', "line 4", "has a quote that does not end", "both quotes"),
    ("submerged, 0.9", "submerged, much", "line 7: heat_share", "'much' is not a number", "0.75"),
    ("submerged, 0.9", "submerged, 0_9", "line 7: heat_share", "'0_9' is not a number", "0.75"),
    ("heat_share\n", "heat_share, power\n", "", "has two columns 'power'", "Keep one"),
    ("name, flow, head", "name, flow, lift", "", "has no column 'head'", "the line name,flow,head"),
    ("name, flow, head", "name, flow, head, Flow", "", "has two columns 'flow'", "Keep one"),
    ("npsh_required", "npsh", "", "no column is called 'npsh'", "Known here"),
    ("flat, 28 m3/h, 0 m", "", "pump[2] 'flat'.curve", "1 of the two points", "both its ends"),
    ("flat, 28 m3/h, 0 m", "steep, 28 m3/h, 0 m", "pump[2] 'flat'.curve", "1 of the two points", "both its ends"),
]


@pytest.mark.parametrize(("old", "new", "where", "found", "remedy"), ROWS)
def test_faults_of_a_csv_file(tmp_path, refused, old, new, where, found, remedy):
    refused(file_of(tmp_path, "pumps.csv", CSV.replace(old, new)), where, found, remedy, read_pumps)


@pytest.mark.parametrize(("name", "text"), [("pumps.toml", ""), ("pumps.csv", "name, flow, head\n")])
def test_a_file_without_a_pump(tmp_path, refused, name, text):
    refused(file_of(tmp_path, name, text), "pump", "is missing", "a [[pump]] for each", read_pumps)


def test_a_file_that_is_not_there(tmp_path, refused):
    refused(tmp_path / "pumps.toml", "", "there is no such file", "Mend its name", read_pumps)
