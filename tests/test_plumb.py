"""What flowviz plumb prints of pumps to choose from and of prices, in both forms."""

import csv
import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from flowviz.cli.commands import commands
from flowviz.cli.plumb import write_lists
from flowviz.cli.shopping import priced_parts
from flowviz.plumbing.dossier import dossier
from flowviz.scene.file import read_scene

SCENES = Path(__file__).parent.parent / "scenes"
PENINSULA, FIRST = str(SCENES / "peninsula.toml"), str(SCENES / "first.toml")
PUMPS = """name, flow, head, power
steep, 0 m3/h, 14 m, 500 W
steep, 14 m3/h, 0 m
flat, 0 m3/h, 2.6 m
flat, 28 m3/h, 0 m
"""


@pytest.fixture
def call():
    """Call flowviz plumb with words as a user would type them."""
    return lambda *words: CliRunner().invoke(commands, ["plumb", *words], prog_name="flowviz")


@pytest.fixture
def pumps(tmp_path):
    """A file of two pumps."""
    path = tmp_path / "pumps.csv"
    path.write_text(PUMPS, encoding="utf-8")
    return str(path)


def test_pumps_to_choose_from_are_told_in_both_forms(call, pumps):
    outcome = call(PENINSULA, "--pumps", pumps)
    assert outcome.exit_code == 0
    assert "Pumps to choose from, on this loop in the place of loop pump" in outcome.stdout
    duty = next(line for line in outcome.stdout.splitlines() if line.startswith("loop pump"))
    now = next(line for line in outcome.stdout.splitlines() if line.startswith("now: loop pump"))
    assert now.removeprefix("now: loop pump").split()[:4] == duty.removeprefix("loop pump").split()[:4]  # flow, head
    assert max(map(len, outcome.stdout.splitlines())) <= 80
    choice = json.loads(call(PENINSULA, "--pumps", pumps, "--json").stdout)["choice"]
    assert (choice["in_place_of"], list(choice["pumps"])) == ("loop pump", ["steep", "flat"])
    steep = choice["pumps"]["steep"]
    assert steep["surviving_share"] == pytest.approx(steep["flow_m3_s"] / steep["open_flow_m3_s"])
    assert sum(steep["rates_m3_s"].values()) == pytest.approx(0.0, abs=1e-12)  # what comes in goes out; rounding
    assert choice["pumps"]["flat"]["power_w"] is None


def test_the_json_has_what_the_tables_tell_of_the_present_pump(call, pumps):
    """390 W that run for the 8766 h of a year."""
    told = json.loads(call(PENINSULA, "--pumps", pumps, "--json").stdout)
    now = told["choice"]["now"]
    assert now["flow_m3_s"] == told["pumps"]["loop pump"]["flow_m3_s"]
    assert now["energy_of_a_year_j"] == told["dossier"]["heating"]["pumps"]["loop pump"]["energy_j"]
    assert now["energy_of_a_year_j"] == pytest.approx(390 * 8766 * 3600)
    speeds = {name: outlet["speed_m_s"] for name, outlet in told["outlets"].items()}
    assert now["speeds_m_s"] == pytest.approx(speeds)


def test_the_json_has_what_the_tables_tell_of_a_cycle(call):
    """The mean over the time of the phases, of the 8766 h of a year."""
    scene = read_scene(SCENES / "alternating.toml")
    told = json.loads(call(str(SCENES / "alternating.toml"), "--json").stdout)
    taken, phases = told["cycle_energy"]["pumps"]["tide pump"], told["phases"]
    joules = sum(phases[each.name]["powers_w"]["tide pump"] * each.time for each in scene.phases)
    mean = joules / sum(each.time for each in scene.phases)
    assert (taken["power_w"], taken["energy_j"]) == pytest.approx((mean, mean * 8766 * 3600))
    assert told["cycle_energy"]["together"] == taken
    assert phases["flood"]["screen_speeds_m_s"]["back wall"] > phases["slack water"]["screen_speeds_m_s"]["back wall"]


def test_the_json_has_what_the_tables_tell_of_perils_and_holes(call):
    """The goby of the peninsula can swim away from both strainers, and from neither where it draws for both."""
    told = json.loads(call(PENINSULA, "--json").stdout)["dossier"]
    assert [peril["safe"] for peril in told["perils"]] == [True, True]
    for blocked in told["blocked"]:
        assert [(peril["animal"], peril["safe"]) for peril in blocked["perils"]] == [("goby", False)]
        assert [swap["intake"] for swap in blocked["swaps"]] == [peril["intake"] for peril in blocked["perils"]]
    checks = [check for sheet in told["sheets"] for hole in sheet["holes"] for check in hole["checks"]]
    infinite = [check for check in checks if check["found_m"] is None]  # there is no other hole
    assert 0 < len(infinite) < len(checks)
    for check in checks:
        assert check["kept"] == (check in infinite or check["found_m"] >= check["least_m"])


def test_a_place_must_be_named_where_there_are_several(call, pumps, tmp_path):
    outcome = call(FIRST, "--pumps", pumps)
    assert (outcome.exit_code, outcome.stdout) == (2, "")
    assert "no pump, its flows are fixed" in outcome.stderr
    outcome = call(PENINSULA, "--pumps", pumps, "--place", "lop pump")
    assert outcome.exit_code == 2
    assert "--place: no pump is called 'lop pump'. Write one of: loop pump" in outcome.stderr
    outcome = call(PENINSULA, "--place", "loop pump")
    assert (outcome.exit_code, outcome.stdout) == (2, "")
    assert "--place: stands without --pumps" in outcome.stderr


def test_prices_become_a_bill_and_a_missing_one_is_named(call, tmp_path):
    parts = json.loads(call(PENINSULA, "--json").stdout)["dossier"]["parts"]
    rows = {f"{part['part']},{part['size']},{2 if part['unit'] == 'm' else 1}" for part in parts}
    prices = tmp_path / "prices.csv"
    prices.write_text("\n".join(["part,size,price", *sorted(rows)]), encoding="utf-8")
    bill = json.loads(call(PENINSULA, "--prices", str(prices), "--json").stdout)["bill"]
    total = sum(part["quantity"] * (2 if part["unit"] == "m" else 1) for part in parts)
    assert (bill["total"], sum(bill["by_branch"].values()), sum(bill["by_part"].values())) == pytest.approx([total] * 3)
    assert f"{total:.2f}" in call(PENINSULA, "--prices", str(prices)).stdout
    prices.write_text("\n".join(["part,size,price", *sorted(rows)[1:]]), encoding="utf-8")
    outcome, named = call(PENINSULA, "--prices", str(prices)), " ".join(sorted(rows)[0].split(",")[:2])
    told = " ".join(outcome.stdout.split())
    assert outcome.exit_code == 0
    assert f"{named} no price" in told
    assert f"prices.csv: it has no price for {named}. They are in none of the sums" in told
    part, size = sorted(rows)[0].split(",")[:2]
    without = json.loads(call(PENINSULA, "--prices", str(prices), "--json").stdout)["bill"]["without_price"]
    assert without == [{"part": part, "size": size}]


def test_parts_and_bill_are_written_as_files(tmp_path):
    scene = read_scene(PENINSULA)
    told = dossier(scene)
    prices = tmp_path / "prices.csv"
    rows = {f"{part.part},{part.size},2" for part in told.parts}
    prices.write_text("\n".join(["part,size,price", *sorted(rows)]), encoding="utf-8")
    write_lists(scene, told, [priced_parts(scene, told.parts, str(prices))], tmp_path)
    parts, bill = (
        list(csv.DictReader((tmp_path / name).read_text(encoding="utf-8").splitlines()))
        for name in ("parts.csv", "bill.csv")
    )
    assert [row["part"] for row in parts] == [part.part for part in told.parts]
    assert [float(row["cost"]) for row in bill] == pytest.approx(
        [2 * float(row["quantity"]) for row in parts],
        abs=5e-3,  # written to a hundredth
    )


@pytest.mark.parametrize("sign", ["\U0010fffd", "ä"])
def test_signs_that_pictures_cannot_set_are_told_beside_them(call, scene_in, tmp_path, sign):
    """A private sign is held by no font, ä by all that the drawing library brings."""
    scene = str(scene_in(tmp_path, {"title": f"Tank {sign}"}, "looped"))
    outcome = call(scene, "-o", str(tmp_path / "loop"))
    assert outcome.exit_code == 0
    assert ("no font of this machine" in " ".join(outcome.stdout.split())) == (sign != "ä")
