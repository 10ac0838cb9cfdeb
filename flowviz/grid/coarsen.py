"""The same tank in larger cells: what the coarse levels of the flow march on.

Cells of the two grids need not line up. Open volume is handed over whole; faces take the open area of the section where
they lie, and shut where a wall between the middles of the cells beside them shuts it off. A larger cell that a wall
divides stands for its larger part, and that of an opening in it, and is open towards these alone.

Where that cuts an opening off, slender passages are opened too, and at last those alone that its water must take,
though they be the smaller parts of their larger cells. Walls stay shut but where such a passage runs along them within
one larger cell.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from scipy.sparse import csr_array

from flowviz.grid.bodies import largest, owners
from flowviz.grid.grid import Faces, Grid, Kind, Patch, Rubble
from flowviz.grid.joining import bodies, joined
from flowviz.grid.passages import passages
from flowviz.grid.pieces import ROUND, Cut, cut, homes
from flowviz.grid.size import counts
from flowviz.grid.slanting import aslant, unshut

# kind, open share of the volume and of the faces of larger cells, and which a wall cuts aslant
Filling = tuple[np.ndarray, np.ndarray, Faces, np.ndarray]

SHORT = 1 - 1e-6  # of a cell, at most, that a wall that slants leaves as it is
SLIVER = 0.05  # open share below which a larger cell is solid, or a larger face shut, while no opening is cut off by it


@dataclass(frozen=True, slots=True, eq=False)
class Rows:
    """What cells are along an axis, which comes first."""

    share: np.ndarray  # (n + 1, ...) float64, open one of the faces across it [-]
    volume: np.ndarray  # (n, ...) open share of the cells [-]
    water: np.ndarray  # (n, ...) bool
    slant: np.ndarray  # (n, ...) bool: a wall cuts them aslant


Sections = Callable[[Rows, int], np.ndarray]  # open shares (coarse + 1, ...) where larger cells end


def coarsen(grid: Grid, factor: float) -> Grid:
    """The tank in cells about a factor larger, of exactly the same box.

    The counts are divided by the factor where it divides all of them, else chosen as for a new grid. Pockets stay those
    of the finer grid.

    Raises InputError where an opening is cut off in spite of its passages.
    """
    shape = _shape(grid, factor)
    spacing = tuple(n * h / coarse for n, h, coarse in zip(grid.shape, grid.spacing, shape, strict=True))
    cuts = [cut(n, coarse) for n, coarse in zip(grid.shape, shape, strict=True)]
    lengths = [cut.lengths() for cut in cuts]
    patches = tuple(_moved(patch, lengths) for patch in grid.patches)
    kind, volume, faces, slanting = _joining(grid, cuts, patches)
    rubble = _rubble(grid, _means(lengths))
    return replace(joined(spacing, kind, volume, faces, patches, slanting), pockets=grid.pockets, rubble=rubble)


def _joining(grid: Grid, cuts: list[Cut], patches: tuple[Patch, ...]) -> Filling:
    """What fills the larger cells, with as much opened as joins the openings."""
    taken = _held(grid.patches, grid.shape)
    home = homes(grid, cuts, taken)
    filling = _fill(grid, cuts, patches, SLIVER, _narrowest, home)
    if not _bodies(filling, patches)[2]:
        return filling
    filling = _fill(grid, cuts, patches, 0.0, _sections, home)
    label, main, cut_off = _bodies(filling, patches)
    if not cut_off:
        return filling
    taken |= passages(grid, cuts, home, label, main, cut_off)
    return _fill(grid, cuts, patches, 0.0, _sections, homes(grid, cuts, taken))


def _held(patches: tuple[Patch, ...], shape: tuple[int, int, int]) -> np.ndarray:
    """Cells (shape) bool that openings lie in."""
    held = np.zeros(shape, bool)
    for patch in patches:
        held[tuple(patch.cells.T)] = True
    return held


def _bodies(filling: Filling, patches: tuple[Patch, ...]) -> tuple[np.ndarray, int, set[int]]:
    """Number of the body of water that each cell belongs to, that of the main one, and of others with an opening."""
    kind, volume, faces, _ = filling
    label = bodies(kind == Kind.WATER, faces)
    owner = owners(label, patches)
    main = largest(label, volume, owner)
    return label, main, set(owner) - {main}


def _shape(grid: Grid, factor: float) -> tuple[int, int, int]:
    """Number of larger cells along x, y, z."""
    if all(n % factor == 0 for n in grid.shape):
        return tuple(int(n // factor) for n in grid.shape)
    extent = tuple(n * h for n, h in zip(grid.shape, grid.spacing, strict=True))
    return counts(extent, factor * grid.cell_volume ** (1 / 3))


def _fill(
    grid: Grid,
    cuts: list[Cut],
    patches: tuple[Patch, ...],
    least: float,
    sections: Sections,
    home: np.ndarray,
) -> Filling:
    """What fills the larger cells, the open share of their volume and of their faces.

    least    open share up to which a larger cell is solid, but for one that a wall cuts aslant and that
             has a face left open, and below which a larger face is shut
    home     which pieces of cells their larger cells stand for
    """
    means = _means([cut.lengths() for cut in cuts])
    volume = _mean(grid.open_volume, means)
    shares = (_face(grid, axis, cuts, sections, home) for axis in range(3))
    shares = tuple(np.where(share < least, np.float32(0), share) for share in shares)
    slanting = aslant(volume, shares)
    kind = np.where(volume > np.where(slanting & unshut(shares), 0.0, least), np.uint8(Kind.WATER), _solid(grid, means))
    kind[_held(patches, kind.shape)] = Kind.WATER
    return kind, volume, shares, slanting


def _rubble(grid: Grid, means: list[np.ndarray]) -> Rubble | None:
    """The heaps in the larger cells."""
    if grid.rubble is None:
        return None
    return Rubble(*(_mean(values, means) for values in (grid.rubble.share, grid.rubble.laminar, grid.rubble.turbulent)))


def _means(lengths: list[np.ndarray]) -> list[np.ndarray]:
    """What share of each larger cell each of the cells is, along each axis."""
    return [length * len(length) / length.shape[1] for length in lengths]


def _mean(values: np.ndarray, means: list[np.ndarray]) -> np.ndarray:
    """Means (float32) of values over larger cells; one matrix of shares an axis, most of them 0."""
    for axis, mean in enumerate(means):
        along = np.moveaxis(values, axis, 0)
        shared = csr_array(mean) @ along.reshape(len(along), -1)
        values = np.moveaxis(shared.reshape(-1, *along.shape[1:]), 0, axis)
    return np.ascontiguousarray(values, dtype=np.float32)


def _solid(grid: Grid, means: list[np.ndarray]) -> np.ndarray:
    """What fills most of each larger cell beside water."""
    kinds = np.unique(np.append(grid.kind[~grid.water], np.uint8(Kind.ROCK)))
    shares = np.stack([_mean((grid.kind == kind).astype(float), means) for kind in kinds])
    return kinds[shares.argmax(axis=0)]


def _face(grid: Grid, axis: int, cuts: list[Cut], sections: Sections, home: np.ndarray) -> np.ndarray:
    """Open share of the larger faces across an axis, between what is home on either side."""
    along, (one, other) = cuts[axis], (cut for a, cut in enumerate(cuts) if a != axis)
    share = grid.shares[axis].astype(float)
    rows = Rows(*(np.moveaxis(values, axis, 0) for values in (share, grid.open_volume, grid.water, grid.aslant)))
    columns = sections(rows, along.count)[:, one.cell][:, :, other.cell]
    home = np.moveaxis(home, axis, 0)
    seams = along.ends[1:-1]
    columns[1:-1] *= home[seams - 1] & home[seams]
    shares = [np.eye(along.count + 1), one.shares(), other.shares()]
    return np.ascontiguousarray(np.moveaxis(_mean(columns, shares), 0, axis))


def _sections(rows: Rows, coarse: int) -> np.ndarray:
    """Open share of the sections (coarse + 1, ...) at the ends of larger cells along the first axis.

    Between two of the finer faces it goes from one to the other in a straight line; along slanting walls see _ahead.
    """
    n = len(rows.water)
    ends = np.round(np.arange(coarse + 1) * n / coarse, ROUND)
    before = np.minimum(ends.astype(int), n - 1)
    ahead = _ahead(rows, before, (ends - before)[:, None, None])
    return (1 - ahead) * rows.share[before] + ahead * rows.share[before + 1]


def _ahead(rows: Rows, before: np.ndarray, ahead: np.ndarray) -> np.ndarray:
    """How far the open share has gone from one face to the next (coarse + 1, ...), so far ahead of the first [cells].

    Where such a wall comes into a row of cells within one, or leaves it, the share keeps one of its two values up to
    there; how long, the volume tells.
    """
    first, second = rows.share[before], rows.share[before + 1]
    over, span = rows.volume[before] - (first + second) / 2, first - second
    kept = np.divide(2 * over, span, out=np.zeros_like(span), where=rows.slant[before] & (span != 0))
    kept = np.clip(kept, -SHORT, SHORT)  # of the first one; negative: of the second
    return np.clip((ahead - np.maximum(kept, 0)) / (1 - np.abs(kept)), 0, 1)


def _narrowest(rows: Rows, coarse: int) -> np.ndarray:
    """As _sections, but no wider than any face between the middles of the two larger cells, if water is at both.

    That shuts the way through walls that fit into a larger cell; it leaves alone those beside which there is only rock,
    and walls that narrow a face because they slant, but for the throats between them.
    """
    sections, water = _sections(rows, coarse), rows.water
    slanting = np.pad(rows.slant, ((1, 0), (0, 0), (0, 0))) | np.pad(rows.slant, ((0, 1), (0, 0), (0, 0)))
    slanting &= rows.share > 0
    middles = np.round((np.arange(coarse) + 0.5) * len(water) / coarse, ROUND)
    for face in range(1, coarse):
        first, last = int(np.ceil(middles[face - 1])) - 1, int(np.floor(middles[face]))
        narrow = _narrow(rows.share[first : last + 2], slanting[first + 1 : last + 1])
        both = water[first] & water[last]
        sections[face] = np.where(both, np.minimum(sections[face], narrow), sections[face])
    return sections


def _narrow(share: np.ndarray, slanting: np.ndarray) -> np.ndarray:
    """Open share of the narrowest face between the first and the last (...) of rows (n, ...), as in _narrowest."""
    narrow, some = share[1:-1].min(axis=0), slanting.any(axis=0)
    alone = share[:, some]
    narrow[some] = np.where(slanting[:, some] & ~_throats(alone), 1.0, alone[1:-1]).min(axis=0)
    return narrow


def _throats(share: np.ndarray) -> np.ndarray:
    """Whether faces between the first and the last of rows (n, ...) are less open than one before and one behind."""
    before, behind = np.maximum.accumulate(share), np.maximum.accumulate(share[::-1])[::-1]
    return share[1:-1] < np.minimum(before[:-2], behind[2:])


def _moved(patch: Patch, lengths: list[np.ndarray]) -> Patch:
    """The opening in the larger cells that hold its cells."""
    low = patch.cells.min(axis=0)
    share = np.zeros(patch.cells.max(axis=0) - low + 1)
    share[tuple((patch.cells - low).T)] = patch.share
    for axis, length in enumerate(lengths):
        near = length[:, low[axis] : low[axis] + share.shape[axis]]
        share = np.moveaxis(np.tensordot(near, share, axes=(1, axis)), 0, axis)
    cells = np.argwhere(share > 0)
    return replace(patch, cells=cells, share=share[tuple(cells.T)])
