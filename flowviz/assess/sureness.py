"""How sure it is that a pocket is there: by how well its windows agree, and by how well its level agrees with fine.

levels.csv beside this file holds how well the levels were found to agree, and on what; tests/bench/levels.py makes it.
"""

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from operator import attrgetter
from typing import Literal

from flowviz.units import percent

Detail = Literal["sketch", "coarse", "fine"]
Kind = Literal["dead", "over"]

STEADY, UNSTEADY = 0.9, 0.67  # shares below which one step and two steps of sureness are lost (a choice of words)
SURENESS = ("sure", "likely", "perhaps")
WORDS = {"dead": "among the stillest", "over": "too strong"}


@dataclass(frozen=True, slots=True)
class Confirmation:
    """What became of the water that one level called dead or too strong, in the median of some tanks."""

    marches: int  # that were taken together
    confirmed: float  # share of it that a fine run called so too [-]; of a fine run's first half, its second half
    least_confirmed: float  # the same in the worst of the tanks [-]
    scenes: int  # tanks that had such water


@cache
def measured() -> Mapping[tuple[Detail, Kind], tuple[Confirmation, ...]]:
    """How well the levels were found to agree, by one march and by several, the fewest first."""
    lines = files("flowviz.assess").joinpath("levels.csv").read_text(encoding="utf-8").splitlines()
    found: dict[tuple[Detail, Kind], list[Confirmation]] = {}
    for row in csv.DictReader(line for line in lines if not line.startswith("#")):
        shares = float(row["confirmed"]), float(row["least_confirmed"])
        each = Confirmation(int(row["marches"]), *shares, int(row["scenes"]))
        found.setdefault((row["detail"], row["kind"]), []).append(each)
    return {key: tuple(sorted(each, key=attrgetter("marches"))) for key, each in found.items()}


def confirmation(kind: Kind, detail: Detail, marches: int) -> Confirmation:
    """What was found by so many marches, or by the next fewer that were tried."""
    return [each for each in measured()[detail, kind] if each.marches <= marches][-1]


def sureness(kind: Kind, persistence: float, detail: Detail, marches: int) -> str:
    """Sure, likely, or perhaps.

    Steps are lost where the windows disagree about the pocket, or where there are none to compare, and where a fine run
    was found to confirm too little of what such a level finds. Of a fine run itself its own windows tell all.

    persistence    share of the pocket that is beyond the limit in a single window, on average [-]; NaN: no windows
    """
    lost = steps(persistence) + (0 if detail == "fine" else steps(confirmation(kind, detail, marches).confirmed))
    return SURENESS[min(lost, len(SURENESS) - 1)]


def steps(share: float) -> int:
    """How many steps of sureness are lost where only a share agrees; two where it is not known."""
    return 0 if share >= STEADY else 1 if share >= UNSTEADY else 2


def told(detail: Detail, kind: Kind, marches: int) -> str:
    """How well a level was found to tell such water, in a sentence."""
    found = confirmation(kind, detail, marches)
    several = f"{found.marches} {detail} marches together"
    ours, other = (
        ("one half of a fine run", "its other half")
        if detail == "fine"
        else (several if found.marches > 1 else f"a single {detail} march", "a fine run")
    )
    return (
        f"Of the water that {ours} found {WORDS[kind]}, {other} found {percent(found.confirmed)} so too "
        f"({percent(found.least_confirmed)} in the worst of {found.scenes} tanks)"
    )
