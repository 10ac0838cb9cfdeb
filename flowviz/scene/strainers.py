"""What can hardly be meant of a strainer: it reaches through the glass, out of the water, into sand, rock or another.

Before a weir a flat one stands for a comb of any outline: how far its disc reaches, and into what, tells nothing.
"""

from collections.abc import Iterator
from itertools import combinations, product
from math import ceil

import numpy as np

from flowviz.scene.model import Caution, Intake, Outlet, Scene, Tank
from flowviz.scene.panels import SLACK, frame, skims
from flowviz.units import shown

AROUND = 24  # places around a strainer that are looked at
ALONG = 0.01  # between two rings of them at the most [m]
MOST_RINGS = 1000  # of a strainer far longer than the tank they stand farther apart
RINGS = (0.0, 0.5, 1.0)  # within each other, in its radii: a thin branch may miss the outer one
THROUGH = 0.02  # how far it may reach through the glass without a word [m]: a flat one on a round wall does a little
SLIP = 5e-3  # how far out of the water, and into sand and rock [m]
DIGITS = 2  # of a distance that is told
MOVE = "Move one of them."
REMEDY = "Check the size of its strainer, and its own place."


def strainer_doubts(scene: Scene) -> Iterator[Caution]:
    """One for each fault of each strainer."""
    for intake in scene.intakes:
        if intake.strainer is not None and not is_comb(intake, scene.tank):
            places = places_of(intake)
            for what in (*faults(places, scene), *out_of_the_water(intake, places, scene)):
                yield Caution(f"intake {intake.name}", what, REMEDY)
    yield from crowded(scene)


def crowded(scene: Scene) -> Iterator[Caution]:
    """One for each strainer that another, or the mouth of an opening without one, reaches into."""
    bulky = [each for each in scene.intakes if each.strainer is not None and not is_comb(each, scene.tank)]
    bare = [each for each in scene.openings if each not in bulky]
    for first, second in combinations(bulky, 2):
        if meet(first, second):
            yield in_one_place(first, f"the strainer of intake {second.name}", MOVE)
    for intake, opening in product(bulky, bare):
        if mouth_in(intake, opening):
            gives = opening in scene.outlets
            what, why = ("outlet", f"What it gives is drawn off at once. {MOVE}") if gives else ("intake", MOVE)
            yield in_one_place(intake, f"{what} {opening.name}", why)


def in_one_place(intake: Intake, other: str, why: str) -> Caution:
    """Of an intake's strainer and what reaches into it."""
    return Caution(f"intake {intake.name}", f"its strainer and {other} stand in one place", why)


def is_comb(intake: Intake, tank: Tank) -> bool:
    """Whether the strainer of an intake is a flat one before a weir."""
    return intake.strainer.shape == "flat" and skims(tank, intake)


def mouth_in(intake: Intake, opening: Outlet | Intake) -> bool:
    """Whether the mouth of an opening lies in an intake's strainer."""
    rim = np.array(opening.centre) + opening.aperture.outline() @ np.array(frame(opening.normal))
    return within(intake, np.vstack((rim, opening.centre)))


def meet(first: Intake, second: Intake) -> bool:
    """Whether the strainers of two intakes reach into each other."""
    return within(first, places_of(second)) or within(second, places_of(first))


def within(intake: Intake, places: np.ndarray) -> bool:
    """Whether any of some places (n, 3) [m] lies in an intake's strainer."""
    away = places - np.array(intake.centre)
    along = away @ np.array(intake.normal)
    across = np.linalg.norm(away - along[:, None] * np.array(intake.normal), axis=1)
    beside = (along > -SLACK) & (along < intake.strainer.length + SLACK)
    return bool((beside & (across < intake.strainer.diameter / 2 - SLIP)).any())


def places_of(intake: Intake) -> np.ndarray:
    """Places on and in an intake's strainer, from the panel to its far end (n, 3) [m]."""
    strainer, middle, normal = intake.strainer, np.array(intake.centre), np.array(intake.normal)
    across, up = np.array(frame(intake.normal))
    turn = np.linspace(0, 2 * np.pi, AROUND, endpoint=False)[:, None]
    ring = strainer.diameter / 2 * (np.cos(turn) * across + np.sin(turn) * up)
    disc = np.concatenate([share * ring for share in RINGS])
    rings = min(ceil(strainer.length / ALONG) + 1, MOST_RINGS)
    depths = np.linspace(0.0, strainer.length, rings)
    return np.concatenate([middle + depth * normal + disc for depth in depths])


def faults(places: np.ndarray, scene: Scene) -> Iterator[str]:
    """What is doubtful about a strainer that takes up places (n, 3) [m]."""
    heights, bed = places[:, 2], scene.sand.depth if scene.sand else 0.0
    through = max(float(scene.tank.plan.distance(places[:, :2]).max()), -float(heights.min()))
    buried = bed - float(heights.min())
    if through > THROUGH:
        yield f"its strainer reaches {shown(through, 'length', scene.show, DIGITS)} through the glass"
    elif buried > SLIP and scene.sand:
        yield f"its strainer reaches {shown(buried, 'length', scene.show, DIGITS)} into the sand, which blocks it there"
    for rock in scene.rocks:
        low, high = rock.solid.bounds
        near = places[((places > low) & (places < high)).all(axis=1)]
        if len(near) and rock.solid.distance(near).min() < -SLIP:
            yield f"its strainer and the rock {rock.name} stand in one place"


def out_of_the_water(intake: Intake, places: np.ndarray, scene: Scene) -> Iterator[str]:
    """What is doubtful about a strainer with places above the surface (n, 3) [m]."""
    over = float(places[:, 2].max()) - scene.tank.depth
    if over <= SLIP:
        return
    stands = f"its strainer stands {shown(over, 'length', scene.show, DIGITS)} out of the water"
    if skims(scene.tank, intake):
        yield f"{stands}, and speeds are reckoned as if all of it were under water"
    else:
        yield f"{stands}, and draws air there"
