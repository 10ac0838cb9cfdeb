"""What the user must know before believing the measures."""

from collections.abc import Iterator, Mapping
from math import isnan

import numpy as np

from flowviz.assess.corals import CoralFigures
from flowviz.assess.measured import Agreement
from flowviz.assess.places import Surroundings, place_in_words
from flowviz.assess.words import FINE_ENOUGH, may_be_none, share_within
from flowviz.grid.grid import Grid, Pocket
from flowviz.scene.doubts import no_water, no_water_at
from flowviz.scene.model import Caution
from flowviz.units import shown

TOLD = 3  # pockets of cut-off water that are told one by one; the rest together
SMALLEST = 0.1e-3  # pocket of cut-off water that is told [m³]: cells leave smaller chinks between rocks (a choice)

SHARES = {"dead_fraction": "dead water", "over_fraction": "too-strong water"}


def cut_off_water(grid: Grid, around: Surroundings) -> Iterator[Caution]:
    """Water that no opening reaches, the largest pockets first; of less than SMALLEST nothing is said."""
    large = [pocket for pocket in grid.pockets if pocket.volume >= SMALLEST]
    pockets = sorted(large, key=lambda pocket: pocket.volume, reverse=True)
    system = around.scene.show
    what = "are cut off from all openings"
    why = "It is never exchanged and is left out of all figures; open the rock there"
    for pocket in pockets[:TOLD]:
        yield Caution(f"water {where(pocket, around)}", f"{shown(pocket.volume, 'volume', system)} {what}", why)
    rest = pockets[TOLD:]
    if rest:
        volume = shown(sum(pocket.volume for pocket in rest), "volume", system)
        yield Caution("water", f"{len(rest)} smaller pockets, {volume} in all, {what}", why)


def where(pocket: Pocket, around: Surroundings) -> str:
    """Place of a pocket in words."""
    return place_in_words(np.array([pocket.centre]), np.array(pocket.centre), around)


def corals_without_water(corals: Mapping[str, CoralFigures]) -> Iterator[Caution]:
    """Groups that stand where the grid has no water."""
    for name, figures in corals.items():
        if figures.cells == 0:
            yield no_water(name)


def points_without_water(compared: Agreement | None) -> Iterator[Caution]:
    """Measured points where the grid has no water."""
    for name, figures in compared.points.items() if compared else ():
        if isnan(figures.computed_speed):
            yield no_water_at(name)


def doubtful_shares(shares: Mapping[str, float], widths: Mapping[str, float], windows: int) -> Iterator[Caution]:
    """Shares that may as well be none, where their interval is worth a word, or is unknown."""
    if windows < 2:
        yield Caution(
            "speeds", "were averaged in one window only", "How sure the shares and verdicts are cannot be told"
        )
    for name, noun in SHARES.items():
        if widths[name] >= FINE_ENOUGH and may_be_none(shares[name], widths[name]):
            yield Caution(
                f"share of {noun}",
                f"{share_within(shares[name], widths[name])} of the water",
                "It may as well be none; a longer average (a finer detail) makes it surer",
            )
