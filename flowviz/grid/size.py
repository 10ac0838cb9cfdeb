"""How large the cells are: chosen from the tank or checked against it, and whether the machine has room for them."""

import os
from functools import partial
from math import cbrt, ceil, floor, isfinite, log, pi, prod, sqrt
from pathlib import Path

from flowviz.errors import InputError
from flowviz.grid.grid import Vector
from flowviz.scene.model import Intake, Outlet, Scene
from flowviz.units import System, display_unit, shown

Counts = tuple[int, int, int]

AIM = 140_000  # cells of a tank without narrow openings
MOST = 400_000  # cells that narrow openings may raise it to
FEWEST = 4  # cells across the tank in any direction
BYTES = 200  # of memory that a cell may take in the whole run
FURTHER_PHASE = 84  # more for each phase but one: its mean velocity, speed and fluctuation, and 16 windows
UNKNOWN_MEMORY = 4 * 2**30  # taken where the machine does not tell [bytes]
SPREAD = 0.1  # how far counts that suit multigrid may move the cell size from the one wanted
TAPE = {"metric": 0.1, "us": 0.01}  # steps of lengths that are to be written instead [mm], [in]
ROUND = 9  # decimals of a metre that lengths are compared to


def lay_out(scene: Scene, cell: float | None) -> tuple[Counts, Vector]:
    """Number of cells along x, y, z and their edges [m].

    Chosen, where no cell is asked for: as many cells as AIM, smaller where an opening is narrower than that, but never
    more than MOST. Passages between rocks narrower than a cell are closed.

    Raises InputError where the cell that is asked for is too large for tank or openings, or too small for the memory.
    """
    extent = tuple(round(length, ROUND) for length in (*scene.tank.plan.size, scene.tank.depth))
    if cell is None:
        cell = chosen(extent, [width(opening) for opening in scene.openings])
    else:
        _check_fits(cell, extent, scene)
    _check_room(cell, extent, scene)
    shape = counts(extent, cell)
    return shape, tuple(length / count for length, count in zip(extent, shape, strict=True))


def chosen(extent: Vector, widths: list[float]) -> float:
    """Edge of a cell [m] for a box of water [m] with openings of these widths [m]."""
    wanted = min([cbrt(prod(extent) / AIM), *(width / (1 + SPREAD) for width in widths)])
    return min(max(wanted, cbrt(prod(extent) / MOST)), min(extent) / FEWEST)


def width(opening: Outlet | Intake) -> float:
    """Diameter of the circle with the opening's area: a bore's own [m]."""
    return sqrt(4 / pi * opening.aperture.area)


def counts(extent: Vector, cell: float) -> Counts:
    """Number of cells along x, y, z for cells of about this edge [m].

    Multiples of 4, which multigrid can halve, where that keeps cells within a tenth of the edge and of each other;
    else multiples of 2; else whatever is nearest to cubes.
    """
    edges = [round(cell * (1 + SPREAD * step / 20), ROUND + 3) for step in range(-20, 21)]
    for multiple in (4, 2, 1):
        tries = sorted({tuple(_nearest(length / edge, multiple) for length in extent) for edge in edges})
        best = min(tries, key=lambda count: _misfit(extent, count, cell))
        if all(abs(length / n / cell - 1) <= SPREAD for length, n in zip(extent, best, strict=True)):
            return best
    return best


def free_memory() -> int:
    """Memory that this machine can still give [bytes]."""
    table = Path("/proc/meminfo")
    if table.exists():
        lines = dict(line.split(":", 1) for line in table.read_text(encoding="ascii").splitlines())
        return int(lines["MemAvailable"].split()[0]) * 1024
    if hasattr(os, "sysconf") and "SC_PHYS_PAGES" in os.sysconf_names:
        return os.sysconf("SC_PHYS_PAGES") * os.sysconf("SC_PAGE_SIZE")
    return UNKNOWN_MEMORY


def _nearest(number: float, multiple: int) -> int:
    """The multiple nearest to a number, at least one."""
    return multiple * max(1, round(number / multiple))


def _misfit(extent: Vector, count: Counts, cell: float) -> float:
    """How far cells are from cubes of the edge that is wanted [-]."""
    edges = [length / n for length, n in zip(extent, count, strict=True)]
    return log(max(edges) / min(edges)) + abs(log(cbrt(prod(edges)) / cell))


def _check_fits(cell: float, extent: Vector, scene: Scene) -> None:
    """Refuse a cell that is no length, or larger than what it must show."""
    told = partial(shown, kind="length", system=scene.show)
    if not (isfinite(cell) and cell > 0):
        raise InputError("cell size", f"{cell:g} is no size for a cell", "Write a length above zero")
    largest = min(extent) / FEWEST
    if cell > largest:
        sizes = f"cells of {told(cell)} are too large for a tank whose smallest extent is {told(min(extent))}"
        raise InputError("cell size", sizes, f"Write {below(largest, scene.show)} or less, or leave it out")
    narrowest = min(scene.openings, key=width, default=None)
    if narrowest and cell > round(width(narrowest), ROUND):
        sizes = f"cells of {told(cell)} are larger than the bore of {narrowest.name!r}, {told(width(narrowest))}"
        raise InputError("cell size", sizes, f"Write {below(width(narrowest), scene.show)} or less, or leave it out")


def _check_room(cell: float, extent: Vector, scene: Scene) -> None:
    """Refuse more cells than the machine's memory holds."""
    cells = prod(length / cell for length in extent)
    each = BYTES + FURTHER_PHASE * max(len(scene.phases) - 1, 0)
    free = free_memory()
    if cells * each > free:
        fits = cbrt(prod(extent) * each / free)
        fault = (
            f"cells of {shown(cell, 'length', scene.show)} make {cells:.3g} of them, which need "
            f"{cells * each / 1e9:.3g} GB of memory; {free / 1e9:.3g} GB are free"
        )
        raise InputError("cell size", fault, f"Write {above(fits, scene.show)} or more, or leave it out")


def below(length: float, system: System) -> str:
    """A length rounded down to what a tape measure shows."""
    unit, per_metre = display_unit("length", system)
    step = TAPE[system]
    return f"{floor(round(length * per_metre / step, 5)) * step:.4g} {unit}"


def above(length: float, system: System) -> str:
    """A length rounded up to what a tape measure shows."""
    unit, per_metre = display_unit("length", system)
    step = TAPE[system]
    return f"{ceil(round(length * per_metre / step, 5)) * step:.4g} {unit}"
