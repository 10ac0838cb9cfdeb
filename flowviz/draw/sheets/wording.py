"""What pictures say: numbers in the scene's own units, and sentences made of them."""

from collections.abc import Mapping, Sequence
from math import isnan, prod

import numpy as np

from flowviz.assess.words import share_within
from flowviz.draw.sheets.lettering import short
from flowviz.scene.model import Rock, Scene
from flowviz.units import System, percent, shown

KINDS = {"dead": "dead", "over": "too strong"}  # of pockets, in words
POCKETS, ROCKS = 4, 12  # that are named in a picture at most
WORTH_A_WORD = 0.001  # share of the water, or of a group of corals
BARS = "bars are the 95 % interval of each alone, and a verdict asks for more, as many are judged at once"
ROUNDING = 1e-6  # of a share
DIGITS = 2  # significant, of a number in a sentence


def rough(value: float, kind: str, system: System, beside: float | None = None) -> str:
    """An SI value no finer than a sentence needs it: "38 L", "1.2 cm/s"; in the unit of the one that it is beside."""
    return shown(value, kind, system, DIGITS, beside)


def percent_within(share: float, half_width: float) -> str:
    """A share with the half-width of its interval, if that is known: "9 ± 3 %"."""
    return percent(share) if isnan(half_width) else share_within(share, half_width)


def part(share: float, half_width: float) -> str:
    """The same in a sentence, where all and none are words."""
    if not half_width <= WORTH_A_WORD or ROUNDING < share < 1 - ROUNDING:
        return percent_within(share, half_width)
    return "all" if share > ROUNDING else "none"


def too_unsure(what: str) -> str:
    """What is said instead of a share that may be anything."""
    return f"too unsure to say {what}: a fine run or compare tells more"


def pocket(zone: object, system: System) -> str:
    """A pocket of bad water in a label: "38 L dead"."""
    return f"{rough(zone.volume, 'volume', system)} {KINDS[zone.kind]}"


def worst(zones: Sequence[object]) -> list[int]:
    """Numbers of the pockets that are named in a picture: the first, of both kinds if there are."""
    dead, over = ([number for number, zone in enumerate(zones) if zone.kind == kind] for kind in KINDS)
    dead = dead[: POCKETS - min(len(over), POCKETS // 2)]
    return dead + over[: POCKETS - len(dead)]


def named(rocks: Sequence[Rock]) -> list[Rock]:
    """The rocks that are named in a picture: the largest."""
    return sorted(rocks, key=lambda rock: -prod(np.ptp(rock.solid.bounds, axis=0)))[:ROCKS]


def place(words: str, scene: Scene) -> str:
    """The place of a zone in words, with the long names in it shortened."""
    for name in sorted((part.name for part in (*scene.rocks, *scene.openings)), key=len, reverse=True):
        words = words.replace(name, short(name))
    return words


def letter(number: int) -> str:
    """A, B, ... Z, AA, AB, ... for 0, 1, ...."""
    return ("" if number < 26 else letter(number // 26 - 1)) + chr(ord("A") + number % 26)


def badges(scene: Scene) -> Mapping[str, str]:
    """Letters of the outlets and numbers of the intakes, by name."""
    letters = {outlet.name: letter(number) for number, outlet in enumerate(scene.outlets)}
    return letters | {intake.name: str(number + 1) for number, intake in enumerate(scene.intakes)}
