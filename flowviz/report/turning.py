"""What the view that can be turned must know of a study, as the bytes that viewer.js reads.

They are a 32-bit length, a JSON header of that length, and arrays that the header points to: {"array": kind, "start":
byte, "count": numbers}. The parts are those of the still (draw/tank/stage.py); speeds are places on the pictures'
scale, a byte a cell, so that still water keeps its steps.
"""

import gzip
import json
from base64 import b64encode
from collections.abc import Iterator
from math import ceil

import numpy as np

from flowviz.draw.flat.planes import choose_sections
from flowviz.draw.flat.slices import carried_on
from flowviz.draw.sheets.lettering import short
from flowviz.draw.sheets.theme import BODIES, ROCK, SAND, SPEEDS, speed_scale
from flowviz.draw.sheets.wording import badges, pocket, worst
from flowviz.draw.tank.camera import best_standpoint, sample
from flowviz.draw.tank.stage import bed, parts, trouble
from flowviz.draw.tank.still import in_trouble
from flowviz.grid.grid import Kind
from flowviz.scene.model import Outlet
from flowviz.study import Study

MOST = 1_200_000  # cells that the view holds; of more every second, third, … along each axis
STEPS = 256  # of the colours
SIDES = {"dead": "under", "over": "over"}  # of its limit, that a body is on
BITS = {"dead": 1, "over": 2}  # that mark a body's cells
KINDS = {np.dtype(np.uint8): "u1", np.dtype(np.uint32): "u4", np.dtype(np.float32): "f4"}
BLOCK = 4  # bytes that every array begins at a multiple of


class Message:
    """A header in the making, and the arrays that it points to."""

    def __init__(self) -> None:
        self._arrays: list[bytes] = []
        self._length = 0

    def array(self, values: np.ndarray) -> dict[str, object]:
        """What the header says of an array."""
        content = values.tobytes()
        told = {"array": KINDS[values.dtype], "start": self._length, "count": values.size}
        self._arrays.append(padded(content, b"\0"))
        self._length += len(self._arrays[-1])
        return told

    def bytes(self, header: dict[str, object]) -> bytes:
        """All of it."""
        words = padded(json.dumps(header).encode("ascii"), b" ")
        return b"".join((len(words).to_bytes(4, "little"), words, *self._arrays))


def padded(content: bytes, filling: bytes) -> bytes:
    """Bytes that fill their blocks."""
    return content + filling * (-len(content) % BLOCK)


def packed(study: Study) -> str:
    """The bytes of a study, compressed and written as text."""
    return b64encode(gzip.compress(message(study), mtime=0)).decode("ascii")


def message(study: Study) -> bytes:
    """The bytes of a study."""
    made, scene = Message(), study.scene
    direction = best_standpoint(scene.tank, in_trouble(study)).direction
    return made.bytes(
        {
            "outline": made.array(single(scene.tank.plan.outline())),
            "extent": scene.tank.plan.size,
            "height": scene.tank.height,
            "depth": scene.tank.depth,
            "bed": bed(scene) if scene.sand else 0.0,
            "sand": rgb(SAND),
            "rock": rgb(ROCK),
            "direction": direction.tolist(),
            "at": places(study),
            "parts": [part_of(part, made) for part in parts(study, direction)],
            "labels": list(labels(study)),
            **water(study, made),
        }
    )


def water(study: Study, made: Message) -> dict[str, object]:
    """The speed of the water, on the scale of the pictures; solid has the nearest water's."""
    grid, scale, limits = study.grid, speed_scale(study.scene.limits), study.scene.limits
    every = ceil((grid.kind.size / MOST) ** (1 / 3))
    speed = np.asarray(scale(carried_on(study.field.speed, grid.water)))
    marks = sum(BITS[kind] * in_rock_too(cells, study).astype(np.uint8) for kind, cells in trouble(study).items())
    return {
        "shape": thinned(grid.kind, every).shape,
        "spacing": [every * h for h in grid.spacing],
        "origin": [(every // 2 + 0.5) * h for h in grid.spacing],
        "speed": made.array(in_order(np.rint(255 * thinned(speed, every)))),
        "marks": made.array(in_order(thinned(marks, every))),
        "limits": [float(scale(limits.dead)), float(scale(limits.over))],
        "colours": made.array(np.rint(255 * SPEEDS(np.linspace(0, 1, STEPS))[:, :3]).astype(np.uint8)),
    }


def in_rock_too(cells: np.ndarray, study: Study) -> np.ndarray:
    """Cells of a body (nx, ny, nz) bool with the rock that they touch, so that no gap is seen between the two."""
    grid = study.grid
    return np.where(grid.kind == Kind.ROCK, carried_on(cells, grid.water), cells)


def thinned(values: np.ndarray, every: int) -> np.ndarray:
    """Every so many cells along each axis, from the middle of the first on."""
    return values[every // 2 :: every, every // 2 :: every, every // 2 :: every]


def in_order(values: np.ndarray) -> np.ndarray:
    """Cell values as a texture has them: x runs fastest."""
    return values.astype(np.uint8).ravel(order="F")


def part_of(part: dict[str, object], made: Message) -> dict[str, object]:
    """A part of the still as viewer.js takes it."""
    told = {key: value for key, value in part.items() if key not in ("points", "triangles", "outline", "cells")}
    told |= {key: rgb(part[key]) for key in ("colour", "hatch") if key in part}
    told |= {key: made.array(single(part[key])) for key in ("points", "outline") if key in part}
    if part["shape"] == "surface":
        told |= {"triangles": made.array(part["triangles"].astype(np.uint32)), "closed": part["colour"] == ROCK}
    if part["shape"] == "body":
        kind = next(kind for kind, look in BODIES.items() if look["colour"] == part["colour"])
        told |= {"mark": BITS[kind], "beyond": SIDES[kind]}
    return told


def places(study: Study) -> list[float]:
    """Where the sections square to x, y and z are at first: through what is to be seen, else in the middle [m]."""
    chosen = {section.plane.axis: section.plane.at for section in reversed(choose_sections(study))}
    size = (*study.scene.tank.plan.size, study.scene.tank.depth)
    return [chosen.get(axis, length / 2) for axis, length in enumerate(size)]


def labels(study: Study) -> Iterator[dict[str, object]]:
    """Badges of the openings, names of the corals, sizes of the worst pockets."""
    scene, zones = study.scene, study.measures.zones
    letters = badges(scene)
    for opening in scene.openings:
        kind = "outlet" if isinstance(opening, Outlet) else "intake"
        yield {"kind": kind, "text": letters[opening.name], "at": list(opening.centre)}
    for coral in scene.corals:
        yield {"kind": "coral", "text": short(coral.name), "at": list(coral.centre)}
    for number in worst(zones):
        points = sample(study.measures.labels == number + 1, study.grid)
        inside = points[np.argmin(np.linalg.norm(points - points.mean(axis=0), axis=1))]
        yield {"kind": "pocket", "text": pocket(zones[number], scene.show), "at": inside.tolist()}


def single(values: np.ndarray) -> np.ndarray:
    """In single precision."""
    return np.ascontiguousarray(values, dtype=np.float32)


def rgb(colour: str) -> list[float]:
    """Red, green and blue, 0 to 1, of a colour such as "#9a9c9e"."""
    return [int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5)]
