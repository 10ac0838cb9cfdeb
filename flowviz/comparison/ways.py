"""Why a pocket is no more: which outlet's water comes to it now."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from math import dist

import numpy as np

from flowviz.assess.places import Surroundings, along_jet, mouth_before, surroundings
from flowviz.assess.sight import screen
from flowviz.assess.words import named
from flowviz.assess.zones import Zone
from flowviz.flow.field import Field
from flowviz.flow.trace import paths
from flowviz.grid.grid import Grid
from flowviz.scene.model import Outlet
from flowviz.study import Study
from flowviz.units import shown

LOOKED_AT = 25  # places in a pocket that are looked at
THROUGH, INTO = 1 / 3, 0.1  # of these: so many must be in a jet to say that it passes through, or into (words)
FED = 1 / 5  # of these: so many must get their water from an outlet soon to say so (a choice of words)
FOLLOWED = 60.0  # time for which water is followed back [s]
DIGITS = 2  # of a time in a sentence


def what_ends_it(zone: Zone, cells: np.ndarray, before: Study, after: Study) -> str:
    """Why a pocket of before (its cells (nx, ny, nz) bool) is none in after."""
    if zone.kind == "over":
        return what_spares_it(zone, before.scene.outlets, after.scene.outlets)
    places = some_places(cells, before.grid)
    then, now = (jets_through(places, study) for study in (before, after))
    gained = {name: share for name, share in now.items() if share >= INTO and share > then.get(name, 0.0)}
    if gained:
        most = max(gained, key=gained.__getitem__)
        return f"the jet of {named(most)} now {'passes through' if gained[most] >= THROUGH else 'blows into'} it"
    fed = fed_by(places, after)
    if fed is None:
        return "the currents of all jets together now reach it"
    outlet, time = fed
    return f"water from {named(outlet)} now reaches it, in {shown(time, 'time', after.scene.show, DIGITS)}"


def what_spares_it(zone: Zone, before: Sequence[Outlet], after: Sequence[Outlet]) -> str:
    """Why too-strong water is none: what has become of the jet that made it."""
    new = {outlet.name: outlet for outlet in after}
    blamed = [outlet for outlet in before if along_jet(zone.extreme_at, outlet) is not None]
    if not blamed:
        return "the currents that came together there no longer do"
    outlet = min(blamed, key=lambda each: dist(mouth_before(zone.extreme_at, each), zone.extreme_at))
    if outlet.name not in new:
        return f"{named(outlet.name)}, whose jet it was, is left out"
    if along_jet(zone.extreme_at, new[outlet.name]) is None:
        return f"the jet of {named(outlet.name)} no longer passes there"
    return f"the jet of {named(outlet.name)} is weaker there"


def some_places(cells: np.ndarray, grid: Grid) -> np.ndarray:
    """Middles of some of the cells, spread evenly over them (n, 3) [m]."""
    found = np.argwhere(cells)
    chosen = found[np.linspace(0, len(found) - 1, min(LOOKED_AT, len(found))).round().astype(int)]
    return (chosen + 0.5) * grid.spacing


def jets_through(places: np.ndarray, study: Study) -> Mapping[str, float]:
    """Share of places (n, 3) [m] that lie in each outlet's free jet, with nothing between."""
    around = surroundings(study.scene)
    return {
        outlet.name: float(np.mean([in_the_jet(place, outlet, around, study.grid) for place in places]))
        for outlet in study.scene.outlets
    }


def in_the_jet(place: np.ndarray, outlet: Outlet, around: Surroundings, grid: Grid) -> bool:
    """Whether an outlet blows at a place (3,) [m]."""
    blown = along_jet(tuple(place), outlet) is not None
    return blown and screen(mouth_before(place, outlet), place, around, grid) is None


def fed_by(places: np.ndarray, study: Study) -> tuple[str, float] | None:
    """The outlet that water at places (n, 3) [m] comes from soonest, and how long ago it left [s]; None: no one.

    Along the mean flow; of what has not come from an outlet for a minute the way is lost in the eddies.
    """
    grid, arrivals = study.grid, {}
    outlets = [patch for patch in grid.patches if patch.inflow]
    for line in paths(*turned_back(grid, study.field), places, FOLLOWED):
        if line[-1, 3] < FOLLOWED:
            outlet = min(outlets, key=lambda patch: dist(patch.centre, line[-1, :3]))
            arrivals.setdefault(outlet.name, []).append(float(line[-1, 3]))
    most = max(arrivals, key=lambda name: len(arrivals[name]), default=None)
    if most is None or len(arrivals[most]) < FED * len(places):
        return None
    return most, float(np.median(arrivals[most]))


def turned_back(grid: Grid, field: Field) -> tuple[Grid, Field]:
    """The same flow with time running back: intakes give, outlets take."""
    patches = [replace(patch, inflow=not patch.inflow) for patch in grid.patches]
    return replace(grid, patches=tuple(patches)), replace(field, u=-field.u, v=-field.v, w=-field.w)
