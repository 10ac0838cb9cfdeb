"""What size of strainer would do for these animals and this pump."""

from dataclasses import dataclass, replace
from math import pi, sqrt

from flowviz.plumbing.state import AS_BUILT, State
from flowviz.plumbing.strainers import FoulingPoint, broken_limit, fouling_point
from flowviz.scene.model import Scene, Strainer

ALLOWANCE = 0.5  # share of slots taken as clogged when a strainer is sized [-]: common practice, no source
SMALLEST, LARGEST = 1e-3, 1e3  # of its skin over that of the strainer that is there, between which it is looked for [-]
ANY = "no limit: any size would do"
HALVINGS = 16  # of the logarithm between: 2e-4 of the skin, 1e-4 of a diameter


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

    The least skin that breaks no limit of animals, suction and flow, found by solving the loop with one after another.
    """
    own = _strainer(scene, intake).skin
    small, large = SMALLEST * own, LARGEST * own
    clean = fouling_point(_with_skin(scene, intake, large), intake, state, 0.0)
    if broken_limit(scene, _half_clogged(scene, intake, large, state), clean) is not None:
        return None
    limit = broken_limit(scene, _half_clogged(scene, intake, small, state), clean)
    for _ in range(HALVINGS):
        middle = sqrt(small * large)
        broken = broken_limit(scene, _half_clogged(scene, intake, middle, state), clean)
        small, large, limit = (small, middle, limit) if broken is None else (middle, large, broken)
    flow = _half_clogged(scene, intake, large, state).flow
    return StrainerSizes(
        flow, large, sqrt(4 * large / pi), sqrt(4 * large / (5 * pi)), narrowest_animal(scene), limit or ANY
    )


def narrowest_animal(scene: Scene) -> float | None:
    """Width of the narrowest animal's body [m]."""
    return min((animal.width for animal in scene.animals), default=None)


def _half_clogged(scene: Scene, intake: str, skin: float, state: State) -> FoulingPoint:
    return fouling_point(_with_skin(scene, intake, skin), intake, state, ALLOWANCE)


def _with_skin(scene: Scene, intake: str, skin: float) -> Scene:
    """The scene with a low-profile strainer of a skin [m²] over an intake."""
    own = _strainer(scene, intake)
    flat = Strainer("flat", sqrt(4 * skin / pi), 0.0, own.open_area, own.slot)
    intakes = tuple(replace(each, strainer=flat) if each.name == intake else each for each in scene.intakes)
    return replace(scene, intakes=intakes)


def _strainer(scene: Scene, intake: str) -> Strainer:
    return next(each.strainer for each in scene.intakes if each.name == intake)
