"""The door: a scene file to a Scene."""

from dataclasses import replace
from pathlib import Path

from flowviz.errors import InputError
from flowviz.scene.beside import contents
from flowviz.scene.build import basin_of, build
from flowviz.scene.check import check
from flowviz.scene.circuit import driven
from flowviz.scene.faults import placed, validated
from flowviz.scene.model import Scene, Vector
from flowviz.scene.openings import stays
from flowviz.scene.phases import phases
from flowviz.scene.schema.openings import OpeningTable
from flowviz.scene.schema.values import nearest
from flowviz.scene.schema.whole import SceneTable
from flowviz.scene.source import Source
from flowviz.scene.text import tables_of, text_of

OPENINGS = ("outlet", "intake")  # tables of a scene file


def read_scene(path: str | Path) -> Scene:
    """The scene that a TOML file describes, checked.

    Raises InputError with the key, what was found there, and what to write instead.
    """
    path = Path(path)
    text = text_of(path)
    table = _table(text, path)
    return replace(_scene(table, path), source=Source(text, contents(table, path.parent)))


def read_moved(path: str | Path, opening: str, to: Vector, way: float) -> Scene:
    """The scene of a file with an opening on its way from its place to another; the file itself stays as it is.

    to    where it goes [m]
    way   share of the way that it has gone [-]

    Raises InputError as read_scene, and where no opening has that name, none can be there, or it leaves its panel.
    """
    path = Path(path)
    table = _table(text_of(path), path)
    names = [each.name for each in (*table.outlet, *table.intake)]
    if opening not in names:
        raise InputError(str(path), f"no outlet or intake is called {opening!r}", nearest(opening, names))
    kinds = {kind: tuple(_on_its_way(each, opening, to, way) for each in getattr(table, kind)) for kind in OPENINGS}
    gone = table.model_copy(update=kinds)
    _keep_panels(table, gone, path)
    return _scene(gone, path)


def _keep_panels(before: SceneTable, after: SceneTable, path: Path) -> None:
    """Refuse to have an opening leave the panel that it sits on."""
    basin = basin_of(before, path)
    for kind in OPENINGS:
        moved = placed(getattr(after, kind), kind, str(path))
        for old, (new, where) in zip(getattr(before, kind), moved, strict=True):
            stays(old, new, basin, where)


def _on_its_way(table: OpeningTable, opening: str, to: Vector, way: float) -> OpeningTable:
    """An opening where it goes, if it is the one of that name."""
    if table.name != opening:
        return table
    return table.model_copy(
        update={"at": tuple(start + way * (end - start) for start, end in zip(table.at, to, strict=True))}
    )


def _scene(table: SceneTable, path: Path) -> Scene:
    """The scene that the tables of a file describe, checked."""
    scene = build(table, path)
    cautions = (*scene.cautions, *check(scene, table.rock, str(path)))
    scene = driven(scene, str(path))
    return replace(scene, phases=phases(table.phase, scene, str(path)), cautions=cautions)


def _table(text: str, path: Path) -> SceneTable:
    """The tables of a scene file, each value checked by itself."""
    raw = tables_of(text, path)
    if not raw:
        raise InputError(str(path), "is empty", "Describe a tank in it, or begin with a copy of scenes/first.toml")
    return validated(SceneTable, raw, str(path), "us" if raw.get("show") == "us" else "metric")
