"""Whether the scene's animals are safe from its intakes, by formula."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import pi, sqrt

from flowviz.formulas.screens import disc_reach, sink_reach
from flowviz.plumbing.loop import Loop
from flowviz.plumbing.mouths import narrowest
from flowviz.plumbing.surface import wetted_area
from flowviz.scene.model import Animal, Caution, Intake, Scene

OPEN_WATER, ON_A_WALL = 1.0, 2.0  # how the glass shuts in the water that an intake draws from
LARGER = "Take a larger strainer."  # what helps where there is one
COVER = "Put a strainer over it, or a comb before a weir."  # and where there is none


@dataclass(frozen=True, slots=True)
class Peril:
    """One animal before one intake."""

    animal: str
    intake: str
    passes: bool  # its body is narrower than the slots, or than the bare mouth
    slot_share: float  # speed through the slots over the speed that it can swim [-]
    skin_share: float  # speed at the strainer's skin over the speed that it can swim [-]
    reach: float  # from the strainer's skin to where it can swim away [m]

    @property
    def safe(self) -> bool:
        """It fits through nowhere and can swim away from the slots themselves."""
        return not self.passes and self.slot_share < 1


def perils(scene: Scene, loop: Loop) -> tuple[Peril, ...]:
    """Each animal of the scene before each intake that draws water."""
    drawing = [intake for intake in scene.intakes if loop.intakes[intake.name].flow > 0]
    return tuple(_peril(animal, intake, loop, scene.tank.depth) for intake in drawing for animal in scene.animals)


def animal_cautions(scene: Scene, loop: Loop) -> Iterator[Caution]:
    """What threatens the animals, and whose speed is only assumed."""
    for animal in scene.animals:
        if animal.assumed:
            lengths = f"{animal.speed / animal.length:g} lengths of its body a second"
            why = (
                "Small fish keep up 2 to 4 (F. W. H. Beamish 1978, from memory), dace, trout and goldfish 4 for 20 s"
                " (R. Bainbridge 1960); bottom dwellers and larvae differ. Write it."
            )
            yield Caution(f"animal {animal.name}", f"it is taken to swim {lengths} for minutes on end", why)
    covered = {intake.name for intake in scene.intakes if intake.strainer is not None}
    for peril in perils(scene, loop):
        where, strained = f"intake {peril.intake}", peril.intake in covered
        if peril.passes:
            has, remedy = ("slots are", "Take narrower slots.") if strained else ("open mouth is", COVER)
            what = f"its {has} wider than the body of {peril.animal}"
            yield Caution(where, what, f"There {peril.animal} can be drawn in. {remedy}")
        elif peril.slot_share >= 1:
            way, on, remedy = ("slots", "strainer", LARGER) if strained else ("open mouth", "mouth", COVER)
            what = f"water passes its {way} at {100 * peril.slot_share:.0f} % of the speed that {peril.animal} can swim"
            yield Caution(where, what, f"There {peril.animal} can be held fast on the {on}. {remedy}")


def slot_width(intake: Intake) -> float:
    """Of the narrowest that an animal has to pass [m]: a slot of the strainer, or the bare mouth."""
    if intake.strainer is not None:
        return intake.strainer.slot
    return narrowest(intake.aperture)


def reach(intake: Intake, flow: float, speed: float, depth: float) -> float:
    """How far before an intake's skin water of a depth [m] comes at a speed [m]; flow [m³/s], speed [m/s].

    A flat strainer or bare mouth on a panel draws as a disc, a mouth that the surface cuts as a whole one that is as
    fast; a basket as a half ball on the panel, or a ball in open water, of as much skin, so that it reaches nowhere
    where the water at its skin is slower. Edges and corners near by are not reckoned: they make it up to 1.4 and 2
    times as much, the radius of the ball included.
    """
    strainer = intake.strainer
    if strainer is None or (strainer.shape == "flat" and intake.panel is not None):
        radius = sqrt(intake.aperture.area / pi) if strainer is None else strainer.diameter / 2
        wet = wetted_area(intake, depth) / intake.aperture.area if strainer is None else 1.0
        return disc_reach(flow / wet, speed, radius)
    around = OPEN_WATER if intake.panel is None else ON_A_WALL
    radius = sqrt(strainer.skin * around / (4 * pi))
    return max(0.0, sink_reach(flow, speed, around) - radius)


def _peril(animal: Animal, intake: Intake, loop: Loop, depth: float) -> Peril:
    figures = loop.intakes[intake.name]
    return Peril(
        animal.name,
        intake.name,
        slot_width(intake) > animal.width,
        figures.screen_speed / animal.speed,
        figures.approach_speed / animal.speed,
        reach(intake, figures.flow, animal.speed, depth),
    )
