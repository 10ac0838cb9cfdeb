"""What can hardly be meant of a strainer: it reaches through the glass, out of the water, into sand or rock."""

from collections.abc import Iterator

import numpy as np

from flowviz.scene.model import Caution, Intake, Scene
from flowviz.scene.panels import frame
from flowviz.units import shown

POINTS = 24  # around a strainer that are looked at
THROUGH = 0.02  # how far it may reach through the glass without a word [m]: a flat one on a round wall does a little
SLIP = 5e-3  # how far out of the water, and into sand and rock [m]
DIGITS = 2  # of a distance that is told
REMEDY = "Check the size of its strainer, and its own place."


def strainer_doubts(scene: Scene) -> Iterator[Caution]:
    """One for each fault of each strainer."""
    for intake in scene.intakes:
        if intake.strainer is not None:
            for what in faults(skin_of(intake), scene):
                yield Caution(f"intake {intake.name}", what, REMEDY)


def skin_of(intake: Intake) -> np.ndarray:
    """Places on the edges of an intake's strainer, at the panel and at its far end (n, 3) [m]."""
    across, up = np.array(frame(intake.normal))
    turn = np.linspace(0, 2 * np.pi, POINTS, endpoint=False)[:, None]
    ring = intake.strainer.diameter / 2 * (np.cos(turn) * across + np.sin(turn) * up)
    ends = (np.array(intake.centre) + along * np.array(intake.normal) for along in (0.0, intake.strainer.length))
    return np.concatenate([end + ring for end in ends])


def faults(skin: np.ndarray, scene: Scene) -> Iterator[str]:
    """What is doubtful about a strainer with places on its skin (n, 3) [m]."""
    heights, bed = skin[:, 2], scene.sand.depth if scene.sand else 0.0
    through = max(float(scene.tank.plan.distance(skin[:, :2]).max()), -float(heights.min()))
    over, buried = float(heights.max()) - scene.tank.depth, bed - float(heights.min())
    if through > THROUGH:
        yield f"its strainer reaches {shown(through, 'length', scene.show, DIGITS)} through the glass"
    elif buried > SLIP and scene.sand:
        yield f"its strainer reaches {shown(buried, 'length', scene.show, DIGITS)} into the sand, which blocks it there"
    if over > SLIP:
        yield f"its strainer stands {shown(over, 'length', scene.show, DIGITS)} out of the water, and draws air there"
    for rock in scene.rocks:
        if rock.solid.distance(skin).min() < -SLIP:
            yield f"its strainer and the rock {rock.name} stand in one place"
