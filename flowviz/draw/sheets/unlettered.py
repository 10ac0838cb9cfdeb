"""Signs in the names of a scene that the fonts of this machine cannot set in a picture."""

from collections.abc import Iterator

from flowviz.draw.sheets.lettering import STAND_IN, drawable, short
from flowviz.scene.model import Caution, Scene

SHOWN = 8  # signs that are told


def lettering_cautions(*scenes: Scene) -> tuple[Caution, ...]:
    """That a box stands for some signs, and what helps; nothing where every name can be set."""
    lacking = list(dict.fromkeys(sign for scene in scenes for name in names(scene) for sign in unset(name)))
    if not lacking:
        return ()
    told = " ".join(lacking[:SHOWN]) + (" …" if len(lacking) > SHOWN else "")
    what = f"in their names {STAND_IN} stands for what no font of this machine holds: {told}"
    return (Caution("pictures", what, "Install a font of that script, or write those names in other letters."),)


def names(scene: Scene) -> Iterator[str]:
    """All names that pictures may tell."""
    yield scene.title
    things = (scene.rocks, scene.corals, scene.openings, scene.pumps, scene.junctions, scene.phases, scene.measured)
    yield from (thing.name for kind in things for thing in kind)


def unset(name: str) -> Iterator[str]:
    """The signs of a name that a box stands for."""
    return (sign for sign in short(name, len(name) + 1) if sign != STAND_IN and drawable(sign) == STAND_IN)
