"""Rock thinner than the cells, which their corners miss: plates and branches must stop the water all the same.

A cell whose middle lies in rock, with water on both sides of it in the cell, is made rock; and the face between two
middles with rock between them is shut. So no water passes a wall thicker than STRIDE cells.
"""

from dataclasses import dataclass

import numpy as np

from flowviz.shapes.solids import Solid

STRIDE = 0.05  # thinnest wall that is looked for between two middles [of the way between them]
LEVEL = 1e-6  # change of the distance from one middle to the next that is no slope [m]
BENT = 1.2  # allowance for walls that are not flat [-]
INSIDE = 1e-9  # depth that is in the solid and not on it [m]
CLEAR = 0.9  # what the water on both sides of a thin wall measures together, at neighbours of the cell [cells]
HALVES = np.array([(a, b, c) for a in (-1, 0, 1) for b in (-1, 0, 1) for c in (-1, 0, 1)])[:13]  # of the neighbours


@dataclass(frozen=True, slots=True, eq=False)
class Bars:
    """Where thin rock stands in the way."""

    cells: np.ndarray  # (nx, ny, nz) bool: made rock
    faces: np.ndarray  # (3, nx, ny, nz) bool: the cell's upper face across x, y or z is shut


def bar(solid: Solid, own: np.ndarray, window: tuple[slice, ...], middles: tuple, bars: Bars) -> None:
    """Note in bars where a solid is thin.

    own       distance from it in the middles of the cells of a window [m]
    middles   coordinates of the middles of all cells along x, y, z [m]
    """
    spacing = np.array([row[1] - row[0] for row in middles])
    if solid.convex and own.min() < -np.linalg.norm(spacing) / 2:
        return
    bars.cells[window] |= _pierced(own, spacing)
    links = np.stack([np.moveaxis(_between(np.moveaxis(own, a, 0)), 0, a) for a in range(3)])
    axis, *cell = np.nonzero(links)
    if len(axis):
        cell = [number + part.start for number, part in zip(cell, window, strict=True)]
        start = np.stack([row[number] for row, number in zip(middles, cell, strict=True)], axis=-1)
        struck = _struck(solid, start, np.diag(spacing)[axis])
        bars.faces[axis[struck], cell[0][struck], cell[1][struck], cell[2][struck]] = True


def _pierced(own: np.ndarray, spacing: np.ndarray) -> np.ndarray:
    """Cells with their middle in rock and two opposite neighbours well outside it."""
    found = np.zeros(own.shape, bool)
    core = own[1:-1, 1:-1, 1:-1]
    inside = np.argwhere((core < 0) & (core > -np.linalg.norm(spacing) / 2)) + 1
    steps = HALVES @ np.array([own.shape[1] * own.shape[2], own.shape[2], 1])
    flat = np.ravel_multi_index(tuple(inside.T), own.shape)[:, None]
    one, other = own.ravel()[flat - steps], own.ravel()[flat + steps]
    both = (one >= 0) & (other >= 0) & (one + other >= CLEAR * spacing.min())
    found[tuple(inside[both.any(axis=1)].T)] = True
    return found


def _between(line: np.ndarray) -> np.ndarray:
    """Middles (along the first axis) that may have a thin wall behind them.

    Up to a flat wall the distance falls by its slope, behind it it rises so, and no more than that is left between.
    """
    before, here, there, after = line[:-3], line[1:-2], line[2:-1], line[3:]
    slope = np.minimum(before - here, after - there)
    found = np.zeros(line.shape, bool)
    found[1:-2] = (here >= 0) & (there >= 0) & (slope > LEVEL) & (here + there < BENT * slope)
    return found


def _struck(solid: Solid, start: np.ndarray, way: np.ndarray) -> np.ndarray:
    """Whether the straight way (n, 3) from points (n, 3) meets the solid (n,) bool."""
    shares = np.arange(STRIDE, 1, STRIDE)
    points = start[:, None] + shares[:, None] * way[:, None]
    return (solid.distance(points.reshape(-1, 3)) < -INSIDE).reshape(len(start), len(shares)).any(axis=1)
