"""Water that hangs together: the body that the openings share, and pockets that none of them reaches."""

from dataclasses import replace

import numpy as np

from flowviz.errors import InputError
from flowviz.grid.grid import Patch, Pocket, Vector


def main_body(label: np.ndarray, volume: np.ndarray, patches: tuple[Patch, ...]) -> tuple[int, tuple[Patch, ...]]:
    """The number of the body of water that all openings share, and the openings with no cell outside it.

    label    (nx, ny, nz) number of the body that each cell belongs to, 0 outside the water
    volume   (nx, ny, nz) open share of each cell [-]

    Raises InputError where openings are cut off from each other.
    """
    owner = owners(label, patches)
    body = largest(label, volume, owner)
    astray = [patch for patch, number in zip(patches, owner, strict=True) if number != body]
    if astray:
        raise _parted(astray, [patch for patch in patches if patch not in astray])
    return body, tuple(_within(label, body, patch) for patch in patches)


def owners(label: np.ndarray, patches: tuple[Patch, ...]) -> list[int]:
    """For each opening the body that most of its water belongs to."""
    return [int(np.bincount(label[tuple(patch.cells.T)], weights=patch.share).argmax()) for patch in patches]


def largest(label: np.ndarray, volume: np.ndarray, among: list[int]) -> int:
    """The number of the largest of some bodies of water, or of all where there are none to choose among."""
    sizes = np.bincount(label.ravel(), weights=volume.ravel())
    sizes[0] = 0
    return max(among, key=lambda number: sizes[number]) if among else int(sizes.argmax())


def pockets(label: np.ndarray, body: int, volume: np.ndarray, spacing: Vector) -> tuple[Pocket, ...]:
    """The other bodies of water, the largest first."""
    i, j, k = np.nonzero((label > 0) & (label != body))
    number, weight = label[i, j, k], volume[i, j, k].astype(float)
    cells = np.bincount(number, weights=weight)
    middles = [np.bincount(number, weights=weight * (n + 0.5) * h) for n, h in zip((i, j, k), spacing, strict=True)]
    found = [
        Pocket(tuple(float(middle[n] / cells[n]) for middle in middles), float(cells[n] * np.prod(spacing)))
        for n in np.unique(number)
    ]
    return tuple(sorted(found, key=lambda pocket: -pocket.volume))


def _within(label: np.ndarray, body: int, patch: Patch) -> Patch:
    """The opening without the cells that lie outside a body."""
    kept = label[tuple(patch.cells.T)] == body
    share = patch.share[kept]
    return replace(patch, cells=patch.cells[kept], share=share / share.sum())


def _parted(astray: list[Patch], others: list[Patch]) -> InputError:
    """Something stands between two groups of openings."""
    where = f"{kind_word(astray[0])} {astray[0].name}"
    company = "".join(f" and {kind_word(patch)} {patch.name!r}" for patch in astray[1:])
    far = ", ".join(f"{kind_word(patch)} {patch.name!r}" for patch in others)
    fault = f"what stands in the tank cuts it{company} off from {far}"
    return InputError(where, fault, "Leave a passage of at least two cells between them, or take smaller cells")


def kind_word(patch: Patch) -> str:
    """What the scene calls such an opening."""
    return "outlet" if patch.inflow else "intake"
