"""Why water is dead or too strong, and what may help: seen from the outlets, by straight lines and free jets."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import dist

import numpy as np

from flowviz.assess.places import Surroundings, along_jet, few, jet_gap, jet_through, mouth_before, nearest_rock
from flowviz.assess.sight import CORNER, screen
from flowviz.assess.words import named
from flowviz.grid.grid import Grid, Vector
from flowviz.scene.model import Outlet, Scene
from flowviz.units import shown

HIDDEN = 0.5  # share of a pocket that must be hidden from an outlet to be its cause (a choice of words)
RAYS = 9  # places in a pocket that are looked at from each outlet
AIMED = 0.5  # cosine of the angle to its axis within which a jet is meant for a place (a choice of words)
# diameters of an intake, and a cell, within which it draws what is fast: a tenth of its speed is left there, a fiftieth
# at two (J. M. DallaValle, Exhaust Hoods (1952), of an opening in a wall; from memory)
CLOSE = 1.0
DIGITS = 2  # of a distance in a sentence
ONE_SIDED = 0.5  # length of the mean of the ways off a jet's axis: below, they lead to no one side (a choice of words)
# Eight or twelve sketches before and after, of tanks of 860 to 1040 L with one or two outlets: of six jets turned by 9
# to 55 degrees at the worst pocket two made no difference, and four left more water dead (54 % instead of 8 at worst)
# or more of the bed to detritus, as did both jets that were parted in two. Mouths narrower by a third at the same flow
# took the dead share from 2.5, 8, 18 and 22 % to 0.1, 0.3, 7 and 6, and left 1 % as it was; two fifths more flow took
# 2.5 % to 0.1.
FASTER = "a narrower mouth or more flow at {}"
SLOWER = "a wider mouth or less flow at {}"
TURNED = "turned, it may leave other water still"
PRESSED = 2.0  # cells from rock within which what is fast is squeezed past it


@dataclass(frozen=True, slots=True)
class Cause:
    """Why a pocket is there, and what is worth trying, in the middle of sentences."""

    words: str
    remedy: str
    moving_may_help: bool = False  # whether that can be done by moving one opening, turned as it is


WEAK = Cause("all outlets together set too little water in motion", "more flow, or narrower mouths with faster jets")


@dataclass(frozen=True, slots=True)
class View:
    """How an outlet sees a pocket of water, along straight lines to places in it."""

    outlet: Outlet
    distance: float  # to its middle [m]
    aimed: bool  # whether the jet blows more or less towards its middle
    hidden: float  # share of the places that something hides
    screen: str | None  # what hides most of them, in the middle of a sentence


def cause_of_dead(places: np.ndarray, around: Surroundings, grid: Grid) -> Cause:
    """Why the water around places (n, 3) [m] is dead.

    Told is what hides it from all jets, else how the jet that sees it misses it, and what hides it from
    another.
    """
    views = views_of(places, around, grid)
    return hidden_from_all(views) or missed_by_all(views, places, around)


def cause_of_much_dead(places: np.ndarray, around: Surroundings, grid: Grid) -> Cause:
    """Why a pocket that is much of the tank, with places (n, 3) [m] in it, is dead: one jet turned cannot mend that."""
    return hidden_from_all(views_of(places, around, grid)) or WEAK


def views_of(places: np.ndarray, around: Surroundings, grid: Grid) -> list[View]:
    """How all outlets see the water around places (n, 3) [m], the nearest first."""
    return sorted((view(outlet, places, around, grid) for outlet in around.scene.outlets), key=lambda v: v.distance)


def hidden_from_all(views: Sequence[View]) -> Cause | None:
    """What hides a pocket from the nearest jet that blows its way, if it is hidden from all of them (from all
    outlets, if none does).
    """
    if not views:
        return Cause("no outlet drives it", "an outlet that blows into it")
    asked = [each for each in views if each.aimed] or views
    if any(each.hidden < HIDDEN for each in asked):
        return None
    screen, outlet = asked[0].screen, named(asked[0].outlet.name)
    if screen == CORNER:
        return Cause(f"round {CORNER} from {outlet}", "an outlet on this side of the corner", moving_may_help=True)
    words, remedy = f"in the lee of {screen}, seen from {outlet}", f"an outlet behind {screen}, or a gap in it"
    return Cause(words, remedy, moving_may_help=True)


def missed_by_all(views: Sequence[View], places: np.ndarray, around: Surroundings) -> Cause:
    """How the jet that sees a pocket misses it, and what hides it from the nearest other."""
    aimed = [each for each in views if each.aimed]
    if not aimed:
        return no_jet(views[0], around)
    missed = how_missed(min(aimed, key=lambda v: v.hidden), places, around)
    hidden = [each for each in aimed if each.hidden >= HIDDEN]
    others = [f"; {each.screen} hides it from {named(each.outlet.name)}" for each in hidden[:1]]
    return Cause(missed.words + "".join(others), missed.remedy, missed.moving_may_help)


def view(outlet: Outlet, places: np.ndarray, around: Surroundings, grid: Grid) -> View:
    """How an outlet sees the water around places (n, 3) [m]."""
    way = places.mean(axis=0) - outlet.centre
    far = float(np.linalg.norm(way))
    found = [screen(np.array(outlet.centre), place, around, grid) for place in few(places, RAYS)]
    hiding = [each for each in found if each is not None]
    most = max(hiding, key=hiding.count, default=None)
    return View(outlet, far, float(way @ outlet.direction) > AIMED * far, len(hiding) / len(found), most)


def how_missed(seen: View, places: np.ndarray, around: Surroundings) -> Cause:
    """How a jet that blows towards places (n, 3) [m] of a pocket, and sees it, misses most of them, or their middle."""
    outlet = named(seen.outlet.name)
    if on_all_sides(places, seen.outlet):
        apart = f"{FASTER.format(outlet)}, or a second outlet"
        return Cause(f"on more than one side of the jet of {outlet}", apart)
    other = met_by(seen.outlet, places.mean(axis=0), around.scene)
    if other is not None:
        return Cause(
            f"the jets of {outlet} and {named(other.name)} meet before it",
            "one of the two moved aside, so that they pass each other",
            moving_may_help=True,
        )
    system, gap = around.scene.show, jet_gap(places.mean(axis=0), seen.outlet)
    if gap <= 0:
        far = shown(seen.distance, "length", system, DIGITS)
        nearer = f"an outlet nearer to it, or {FASTER.format(outlet)}"
        return Cause(f"{far} along the jet of {outlet}, which is spent there", nearer, moving_may_help=True)
    aside = shown(gap, "length", system, DIGITS)
    return Cause(f"the jet of {outlet} passes {aside} away", f"{FASTER.format(outlet)}; {TURNED}")


def met_by(outlet: Outlet, place: np.ndarray, scene: Scene) -> Outlet | None:
    """The outlet that faces another, whose jet is stopped by it before it comes as far as a place (3,) [m]."""
    along = float((place - outlet.centre) @ outlet.direction)
    for other in scene.outlets:
        facing = along_jet(other.centre, outlet), along_jet(outlet.centre, other)
        against = float(np.dot(outlet.direction, other.direction)) < 0
        if against and None not in facing and along > facing[0] / 2:
            return other
    return None


def on_all_sides(places: np.ndarray, outlet: Outlet) -> bool:
    """Whether places (n, 3) [m] lie about a jet, most beside it: turned to some it would leave the rest."""
    beside = [place for place in places if jet_gap(place, outlet) > 0]
    if 2 * len(beside) <= len(places):
        return False
    offsets = np.array(beside) - outlet.centre
    aside = offsets - np.outer(offsets @ outlet.direction, outlet.direction)
    ways = aside / np.linalg.norm(aside, axis=1, keepdims=True)
    return bool(np.linalg.norm(ways.mean(axis=0)) < ONE_SIDED)


def no_jet(nearest: View, around: Surroundings) -> Cause:
    """That no jet is meant for a pocket."""
    far = shown(nearest.distance, "length", around.scene.show, DIGITS)
    outlet = named(nearest.outlet.name)
    words = f"no outlet blows there; the nearest, {outlet}, is {far} away"
    return Cause(words, f"a further outlet that blows there, or {outlet} moved nearer", moving_may_help=True)


def cause_of_uneven(point: Vector, around: Surroundings, grid: Grid) -> Cause | None:
    """Why corals, the fastest water among which is at a point [m], stand partly too still and partly too strong; None
    where that is no jet's work.
    """
    outlet = jet_at(point, around, grid)
    if outlet is None:
        return None
    who = named(outlet.name)
    remedy = f"{who} farther away or turned aside, or a wider mouth at it"
    return Cause(f"the jet of {who} strikes a part of it and leaves the rest still", remedy, moving_may_help=True)


def jet_at(point: Vector, around: Surroundings, grid: Grid) -> Outlet | None:
    """The outlet whose jet blows at a point [m] with nothing in its way."""
    outlet = jet_through(point, around.scene)
    clear = outlet is not None and screen(mouth_before(point, outlet), np.array(point), around, grid) is None
    return outlet if clear else None


def cause_of_strong(point: Vector, around: Surroundings, grid: Grid) -> Cause:
    """Why the water around a point [m], the fastest of its zone, is too strong."""
    place, scene = np.array(point), around.scene
    outlet = jet_at(point, around, grid)
    if outlet is not None:
        along = shown(dist(mouth_before(point, outlet), place), "length", scene.show, DIGITS)
        who = named(outlet.name)
        return Cause(f"the core of the jet of {who}, {along} from it", SLOWER.format(who))
    for intake in scene.intakes:
        reach = CLOSE * (4 / np.pi * intake.aperture.area) ** 0.5 + max(grid.spacing)
        if dist(intake.centre, place) < reach:
            strainer = "a larger strainer" if intake.strainer else "a strainer"
            return Cause(f"drawn into {named(intake.name)}", f"a wider mouth or {strainer} there")
    index, gap = nearest_rock(place, around)
    if gap < PRESSED * max(grid.spacing):
        return Cause(f"squeezed past {named(scene.rocks[index].name)}", "a wider gap there")
    return of_currents(scene)


def of_currents(scene: Scene) -> Cause:
    """That open water in the straight jet of no outlet is too strong: jets come together only where several blow."""
    if len(scene.outlets) == 1:
        who = named(scene.outlets[0].name)
        return Cause(f"in the current that {who} drives", SLOWER.format(who))
    return Cause("where the currents of the jets come together", "one of the jets turned aside")
