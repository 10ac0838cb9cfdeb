"""What size of strainer would do for these animals and this pump."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from math import exp, log, pi, sqrt

from scipy.optimize import brentq

from flowviz.plumbing.circuits import circuit_of, given_by
from flowviz.plumbing.solve import solve_loop
from flowviz.plumbing.state import AS_BUILT, State
from flowviz.plumbing.strainers import FoulingPoint, broken, first_to_break, fouling_point, to_spare
from flowviz.scene.model import Scene, Strainer

ALLOWANCE = 0.5  # share of slots taken as clogged when a strainer is sized [-]: common practice, no source
SMALLEST, LARGEST = 1e-3, 1e3  # of its skin over that of the strainer that is there, between which it is looked for [-]
ANY = "no limit: any size would do"
NEAR = 1e-5  # of the skin: how closely it is found [-]


@dataclass(frozen=True, slots=True)
class StrainerSizes:
    """The smallest strainers, low profile and basket, that keep all limits with half of their slots clogged."""

    flow: float  # through it then [m³/s]
    skin: float  # area of either [m²]
    flat_diameter: float  # of a low-profile one [m]
    basket_diameter: float  # of a basket as long as it is wide [m]
    slot: float | None  # widest that holds back the narrowest animal [m]; None: no animals
    limit: str  # what decides the size: an animal, a rule, the pump's suction, the flow


def strainer_sizes(scene: Scene, intake: str, state: State = AS_BUILT) -> StrainerSizes | None:
    """What would do in the place of an intake's strainer, with its share of open area; None: nothing would.

    The least skin that breaks no limit of animals, suction and flow, found by solving the loop with a few of them.
    """
    own = _strainer(scene, intake).skin
    clean = replace(state, fouled={**state.fouled, intake: 0.0})
    near = solve_loop(_with_skin(scene, intake, LARGEST * own), clean)
    moved = given_by(circuit_of(intake, near), near)

    @cache
    def point(scale: float) -> FoulingPoint:
        return fouling_point(_with_skin(scene, intake, own * exp(scale)), intake, state, ALLOWANCE, near)

    def spare(scale: float) -> Mapping[str, float]:
        return to_spare(scene, point(scale), moved)

    smallest, largest = log(SMALLEST), log(LARGEST)
    if broken(spare(largest)) is not None:
        return None
    if broken(spare(smallest)) is None:
        return _sizes(scene, point(smallest).flow, SMALLEST * own, ANY)
    scale = brentq(lambda each: min(spare(each).values()), smallest, largest, xtol=NEAR)
    return _sizes(scene, point(scale).flow, own * exp(scale), first_to_break(spare(scale)))


def _sizes(scene: Scene, flow: float, skin: float, limit: str) -> StrainerSizes:
    """Strainers of either shape with a skin [m²] that a flow [m³/s] goes through."""
    flat, basket = sqrt(4 * skin / pi), sqrt(4 * skin / (5 * pi))
    return StrainerSizes(flow, skin, flat, basket, narrowest_animal(scene), limit)


def narrowest_animal(scene: Scene) -> float | None:
    """Width of the narrowest animal's body [m]."""
    return min((animal.width for animal in scene.animals), default=None)


def _with_skin(scene: Scene, intake: str, skin: float) -> Scene:
    """The scene with a low-profile strainer of a skin [m²] over an intake."""
    own = _strainer(scene, intake)
    flat = Strainer("flat", sqrt(4 * skin / pi), 0.0, own.open_area, own.slot)
    intakes = tuple(replace(each, strainer=flat) if each.name == intake else each for each in scene.intakes)
    return replace(scene, intakes=intakes)


def _strainer(scene: Scene, intake: str) -> Strainer:
    return next(each.strainer for each in scene.intakes if each.name == intake)
