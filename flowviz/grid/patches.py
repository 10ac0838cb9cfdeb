"""Openings on the grid: the cells before an opening's plane, each with its share of the opening's flow."""

from itertools import combinations
from math import ceil

import numpy as np

from flowviz.errors import InputError
from flowviz.grid.bodies import kind_word
from flowviz.grid.grid import Kind, Patch, Vector
from flowviz.scene.model import Intake, Outlet, Scene
from flowviz.scene.panels import frame

Opening = Outlet | Intake

FINENESS = 16  # points of an opening for each cell's edge, and at least as many across the opening
NUDGE = 1e-6  # of an offset: draws points between two cells towards the middle, so that mirrored scenes agree
UPWARD = 0.5  # upright part of the normal of openings that may end under the sand [-]
LONGEST = 2.0  # times its width that an outlet is long where its jet leaves at a slant
BEYOND_GLASS = 2  # cells before an opening in curved or slanting glass that may count as outside the water


def open_patch(opening: Opening, scene: Scene, kind: np.ndarray, spacing: Vector) -> Patch:
    """The opening as the first water cells before its plane, shared out by the area of it that each faces.

    An opening that looks up through sand is taken to end at the sand's surface.

    Raises InputError where no water lies before the opening.
    """
    points, area = _points(opening, spacing)
    cells, wet = _first_water(points, np.array(opening.normal), kind, spacing)
    if not wet.any():
        raise _dry(opening, scene, kind, cells, spacing)
    places, number = np.unique(cells[wet], axis=0, return_inverse=True)
    share = np.bincount(number.reshape(-1), weights=area[wet])
    inflow = isinstance(opening, Outlet)
    return Patch(
        name=opening.name,
        inflow=inflow,
        cells=places,
        share=share / share.sum(),
        centre=_above_sand(opening, scene),
        direction=opening.direction if inflow else opening.normal,
        normal=opening.normal,
        area=opening.aperture.area,
        extent=opening.aperture.extent,
        round=opening.aperture.round,
    )


def check_apart(patches: tuple[Patch, ...]) -> None:
    """Refuse openings that would be one on this grid: most of the flow of one in the cells of another.

    Raises InputError naming both.
    """
    for one, other in combinations(patches, 2):
        common = _common_share(one, other)
        touching = np.linalg.norm(np.subtract(one.centre, other.centre)) < (max(one.extent) + max(other.extent)) / 4
        if common > 0.5 and (touching or one.inflow != other.inflow):
            where = f"{kind_word(one)} {one.name} and {kind_word(other)} {other.name}"
            raise InputError(where, "they lie in the same cells", "Move them apart, or take smaller cells")


def _points(opening: Opening, spacing: Vector) -> tuple[np.ndarray, np.ndarray]:
    """Points spread over an opening (n, 3) [m], alike on both sides of its middle, and the area of each (n,) [m²]."""
    (a, length), (b, height) = (_ticks(size, min(spacing)) for size in opening.aperture.extent)
    a, b = (part.ravel() for part in np.meshgrid(a, b, indexing="ij"))
    inside = opening.aperture.holds(a, b)
    a, b, area = a[inside], b[inside], np.outer(length, height).ravel()[inside]
    across, up = map(np.array, frame(opening.normal))
    offset = (1 - NUDGE) * (a[:, None] * across + b[:, None] * up)
    if isinstance(opening, Outlet):
        offset = _slanted(offset, np.array(opening.direction), np.array(opening.normal))
    return np.array(opening.centre) + offset, area


def _slanted(offset: np.ndarray, direction: np.ndarray, normal: np.ndarray) -> np.ndarray:
    """Offsets in an outlet's plane (n, 3) [m] drawn out to where a jet at a slant crosses it, at most to LONGEST."""
    cosine = max(float(direction @ normal), 1 / LONGEST)
    slant = direction - (direction @ normal) * normal
    length = float(np.linalg.norm(slant))
    if length < NUDGE:
        return offset
    return offset + (1 / cosine - 1) * np.outer(offset @ slant, slant) / length**2


def _ticks(size: float, cell: float) -> tuple[np.ndarray, np.ndarray]:
    """Middles of steps counted from the centre both ways to the ends of a length, and the steps' lengths [m]."""
    step = min(cell, size) / FINENESS
    count = ceil(round(size / 2 / step, 6))
    ends = np.minimum(np.arange(count + 1) * step, size / 2)
    middles, lengths = (ends[1:] + ends[:-1]) / 2, np.diff(ends)
    return np.concatenate((-middles[::-1], middles)), np.concatenate((lengths[::-1], lengths))


def _first_water(points: np.ndarray, normal: np.ndarray, kind: np.ndarray, spacing: Vector) -> tuple:
    """The cells (n, 3) that points come to on their way along the normal, and whether they hold water (n,) bool."""
    step = float(np.linalg.norm(normal * np.array(spacing)))
    cells = np.zeros((len(points), 3), dtype=np.int64)
    going = np.ones(len(points), dtype=bool)
    for stride in range(max(kind.shape)):
        ahead = points[going] + (0.5 + NUDGE + stride) * step * normal
        cells[going] = np.floor(ahead / np.array(spacing)).astype(np.int64)
        found = _kinds(kind, cells)
        through_sand = (found == Kind.SAND) & (normal[2] >= UPWARD)
        going &= through_sand | ((found == Kind.OUTSIDE) & (stride < BEYOND_GLASS))
        if not going.any():
            break
    return cells, _kinds(kind, cells) == Kind.WATER


def _kinds(kind: np.ndarray, cells: np.ndarray) -> np.ndarray:
    """What fills cells (n, 3); beyond the box there is glass."""
    held = np.clip(cells, 0, np.array(kind.shape) - 1)
    return np.where((held == cells).all(axis=1), kind[tuple(held.T)], Kind.OUTSIDE)


def _above_sand(opening: Opening, scene: Scene) -> Vector:
    """Where the pipe ends: at the sand's surface, if the opening points up through the sand [m]."""
    cover = (scene.sand.depth if scene.sand else 0.0) - opening.centre[2]
    if cover <= 0 or opening.normal[2] < UPWARD:
        return opening.centre
    return tuple(float(c + cover / opening.normal[2] * n) for c, n in zip(opening.centre, opening.normal, strict=True))


def _common_share(one: Patch, other: Patch) -> float:
    """The larger share of two openings' flows that lies in cells of both [-]."""
    cells = {tuple(cell): share for cell, share in zip(other.cells.tolist(), other.share, strict=True)}
    common = [
        (own, cells[tuple(cell)])
        for cell, own in zip(one.cells.tolist(), one.share, strict=True)
        if tuple(cell) in cells
    ]
    return max((sum(shares) for shares in zip(*common, strict=True)), default=0.0)


def _dry(opening: Opening, scene: Scene, kind: np.ndarray, cells: np.ndarray, spacing: Vector) -> InputError:
    """No water lies before an opening."""
    where = f"{'outlet' if isinstance(opening, Outlet) else 'intake'} {opening.name}"
    found = set(_kinds(kind, cells).tolist())
    if Kind.ROCK in found:
        return _in_rock(where, opening, scene, spacing)
    if Kind.SAND in found:
        return InputError(where, "it lies under the sand", "Move it up, or let it point up through the sand")
    return InputError(where, "it lies outside the water", "Move it inside the glass and below the water surface")


def _in_rock(where: str, opening: Opening, scene: Scene, spacing: Vector) -> InputError:
    """Rock lies before an opening."""
    ahead = np.array([opening.centre]) + 0.5 * max(spacing) * np.array(opening.normal)
    rock = min(scene.rocks, key=lambda rock: float(rock.solid.distance(ahead)[0]))
    if rock.solid.distance(np.array([opening.centre]))[0] < 0:
        return InputError(where, f"it lies inside rock {rock.name!r}", "Move one of the two")
    fault = f"rock {rock.name!r} covers it at cells of {max(spacing) * 1000:.3g} mm"
    return InputError(where, fault, "Move one of the two, or take smaller cells")
