"""Parts lists against a count by hand on the peninsula's loop."""

import csv
import re
from dataclasses import replace

import pytest

from flowviz.errors import InputError
from flowviz.plumbing.parts import bill, bill_csv, missing_prices, parts, parts_csv, prices_in, summed
from flowviz.scene.model import Bar, Pipe

PRICES = """# invented
part,size,price
pipe,2 in sch 40,10
pipe,1 1/4 in sch 40,5
elbow 90,2 in sch 40,4
elbow 90,1 1/4 in sch 40,2
union ball valve,2 in sch 40,30
union ball valve,1 1/4 in sch 40,20
tee,2 in sch 40 x 1 1/4 in sch 40,6
bulkhead,2 in sch 40,15
bulkhead,1 1/4 in sch 40,12
basket strainer,110 mm x 120 mm,25
pump,loop pump,400
"""


def test_count_by_hand(scene):
    """1.4 and 1.0 m of 2 in, 1.2 and 2.6 m of 1 1/4 in; elbows 2 and 1, 3 and 4; valves 1 and 1, 1; three bulkheads."""
    found = {(part.part, part.size): part.quantity for part in summed(parts(scene))}
    assert found == {
        ("pipe", "2 in sch 40"): pytest.approx(2.4),
        ("pipe", "1 1/4 in sch 40"): pytest.approx(3.8),
        ("elbow 90", "2 in sch 40"): 3,
        ("elbow 90", "1 1/4 in sch 40"): 7,
        ("union ball valve", "2 in sch 40"): 2,
        ("union ball valve", "1 1/4 in sch 40"): 1,
        ("tee", "2 in sch 40 x 1 1/4 in sch 40"): 1,
        ("bulkhead", "2 in sch 40"): 1,
        ("bulkhead", "1 1/4 in sch 40"): 2,
        ("basket strainer", "110 mm x 120 mm"): 1,
        ("pump", "loop pump"): 1,
    }


def _pipe(start, end, size):
    return Pipe(start, end, size, None, 1.0, 0.0, {}, 0.0)


@pytest.mark.parametrize(
    ("pipes", "found"),
    [
        (("2 in sch 40", "1 in sch 40"), ("reducer", "2 in sch 40 x 1 in sch 40", 1, 'joint "J"')),
        (("2 in sch 40", "2 in sch 40", "1 in sch 40"), ("tee", "2 in sch 40 x 1 in sch 40", 1, 'tee "J"')),
        (("1 in sch 40",) * 4, ("tee", "1 in sch 40", 2, 'tee "J", or one cross')),
    ],
)
def test_joints_that_are_not_described_are_counted(scene, pipes, found):
    """By hand: each pipe beyond the second that meets the others takes a tee, two of different size a reducer."""
    joined = tuple(_pipe(f"end {number}", "J", size) for number, size in enumerate(pipes))
    listed = [part for part in parts(replace(scene, pipes=joined, junctions=())) if '"J"' in part.branch]
    assert [(part.part, part.size, part.quantity, part.branch) for part in listed if part.unit == "pieces"] == [found]


def test_a_listed_reducer_is_not_counted_twice(scene):
    wide = replace(_pipe("a", "J", "2 in sch 40"), fittings={"reducer to 1 in sch 40": 1})
    listed = parts(replace(scene, pipes=(wide, _pipe("J", "b", "1 in sch 40")), junctions=()))
    assert [part.part for part in listed if "reducer" in part.part] == ["reducer to 1 in sch 40"]


def test_two_equal_pipes_need_nothing_between(scene):
    listed = parts(replace(scene, pipes=(_pipe("a", "J", "1 in sch 40"), _pipe("J", "b", "1 in sch 40")), junctions=()))
    assert not [part for part in listed if part.part in ("tee", "reducer")]


def test_bill_adds_up(scene):
    """The same count times the prices; by branch and by part the same sum."""
    account = bill(parts(scene), prices_in(PRICES, "prices.csv"), "prices.csv", "metric")
    assert account.total == pytest.approx(24 + 19 + 12 + 14 + 60 + 20 + 6 + 15 + 24 + 25 + 400)
    assert sum(account.by_branch.values()) == pytest.approx(account.total)
    assert sum(account.by_part.values()) == pytest.approx(account.total)
    assert account.by_branch['pipe "left low" to "loop pump"'] == pytest.approx(14 + 8 + 30)


def test_what_has_no_price_is_named_and_in_no_sum(scene):
    """The bill without tee and pump: 6 and 400 less, by the prices above."""
    text = "\n".join(line for line in PRICES.splitlines() if not line.startswith(("tee", "pump")))
    whole, account = (
        bill(parts(scene), prices_in(each, "prices.csv"), "prices.csv", "metric") for each in (PRICES, text)
    )
    (caution,) = missing_prices(account, "prices.csv")
    assert [part.part for part in account.unpriced] == ["tee", "pump"]
    assert whole.total - account.total == pytest.approx(6 + 400)
    assert sum(account.by_branch.values()) == pytest.approx(account.total)
    assert re.search("no price for tee 2 in sch 40 x .*, pump loop pump$", caution.what)
    assert missing_prices(whole, "prices.csv") == ()
    assert [row["cost"] for row in csv.DictReader(bill_csv(account, "metric").splitlines())][-2:] == ["", ""]


def test_a_list_without_any_of_the_parts_is_refused(scene):
    with pytest.raises(InputError, match=r"^prices.csv: has the price of none of the parts: .*Add a row for each"):
        bill(parts(scene), {}, "prices.csv", "metric")


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("part,price\n", "has no column 'size'. Begin the table with the line part,size,price"),
        ("", "prices.csv: is empty. Begin the table with the line part,size,price"),
        ("part,size,price\nelbow 90,2 in sch 40,much\n", "line 2: has 'much' as price. Write the number alone"),
        ("part,size,price\nelbow 90,2 in sch 40,-1\n", "line 2: has -1 as price"),
        ("part,size,price\nelbow 90,2 in sch 40,1_5\n", "line 2: has '1_5' as price. Write the number alone"),
        ("part,size,price,Price\nelbow 90,2 in sch 40,1,2\n", "prices.csv: has two columns 'price'. Keep one of them"),
        ("part,size,price\nelbow 90,2 in sch 40,nan\n", "line 2: has nan as price"),
        ("part,size,price\nelbow 90\n", "line 2: has nothing under price"),
        ("part,size,price\nelbow 90,2 in sch 40,1,50\n", "line 2: has '50' beyond its 3 columns. Write a point"),
        ('part,size,price\ntee,2" sch 40,1\n\nTee,2 in sch 40,2\n', "line 4: 'tee 2 in sch 40' has two prices, 1"),
    ],
)
def test_bad_price_lists(text, told):
    with pytest.raises(InputError) as refused:
        prices_in(text, "prices.csv")
    assert told in str(refused.value)
    assert "\n" not in str(refused.value)


def test_small_prices_and_gifts_are_taken():
    prices = prices_in("part,size,price\nelbow 90,1/2 in sch 40,0.45\ntee,,0\n", "prices.csv")
    assert list(prices.values()) == [0.45, 0.0]


def test_a_price_that_stands_twice_alike_is_taken():
    """As in the list of parts of plumb, branch by branch, with a column of prices added in a spreadsheet."""
    listed = "Part,Size,Quantity,Unit,Branch,Price\n" + "pipe,2 in sch 40,1.4,m,one,10\npipe,2 in sch 40,1,m,two,10\n"
    assert list(prices_in(listed, "prices.csv").values()) == [10.0]


def test_columns_that_are_not_read_may_stand_twice():
    listed = "part,size,price,note,note\ntee,2 in sch 40,10,grey,in stock\n"
    assert list(prices_in(listed, "prices.csv").values()) == [10.0]


def test_bar_and_nozzle_are_one_each(scene):
    """Whatever their holes."""
    bar, nozzle = replace(scene.outlets[0], bar=Bar(0.6, 0.026, 24, 0.006)), replace(scene.outlets[1], nozzle=0.97)
    listed = {part.part: part.quantity for part in parts(replace(scene, outlets=(bar, nozzle)))}
    assert (listed["spray bar"], listed["nozzle"]) == (1, 1)


def test_csv_reads_back(scene):
    rows = list(csv.DictReader(parts_csv(parts(scene), scene.show).splitlines()))
    assert [(row["part"], row["size"], float(row["quantity"]), row["branch"]) for row in rows] == [
        (part.part, part.size, part.quantity, part.branch) for part in parts(scene)
    ]


def test_pipe_is_sold_by_the_foot_where_feet_are_shown(scene):
    """7.874 ft of 2 in at 10 and 12.467 ft of 1 1/4 in at 5, against 2.4 m and 3.8 m; sums done here."""
    prices = prices_in(PRICES, "prices.csv")
    metric, feet = (bill(parts(scene), prices, "prices.csv", show) for show in ("metric", "us"))
    assert feet.total - metric.total == pytest.approx((10 * 2.4 + 5 * 3.8) * (1 / 0.3048 - 1))
    rows = list(csv.DictReader(parts_csv(parts(replace(scene, show="us")), "us").splitlines()))
    assert (rows[0]["part"], rows[0]["unit"], float(rows[0]["quantity"])) == ("pipe", "ft", pytest.approx(4.59318))
    assert any(row["size"] == "4.331 in x 4.724 in" for row in rows)


def test_hose_and_rim_pipes(scene):
    """A pipe over the rim has no bulkhead; a hose is known by its inside diameter."""
    hoses = tuple(replace(pipe, size=None, inside=0.032) for pipe in scene.pipes)
    over = replace(scene, pipes=hoses, outlets=tuple(replace(outlet, panel=None) for outlet in scene.outlets))
    found = {(part.part, part.size): part.quantity for part in summed(parts(over))}
    assert found["hose", "32 mm inside"] == pytest.approx(1.4 + 1.0 + 1.2 + 2.6)
    assert found["bulkhead", "32 mm inside"] == 1
