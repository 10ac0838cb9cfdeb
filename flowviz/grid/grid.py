"""The tank as cells: which hold water, how far their faces are open, and where the openings are.

The staggered cell (i, j, k), drawn in the plane of x and y:

                 v[i, j+1]
              +-----^-----+
              |           |
        u[i, j]>   p, q   >u[i+1, j]          u lies on faces across x: shape (nx+1, ny, nz)
              |           |                   v lies on faces across y: shape (nx, ny+1, nz)
              +-----^-----+                   w lies on faces across z: shape (nx, ny, nz+1)
                 v[i, j]                      p and every source q lie in the middle: (nx, ny, nz)

Cell (i, j, k) spans x from i hx to (i+1) hx, and so on; the box of cells is the bounding box of the water exactly.
Velocities on faces are those in the open part: the flux through a face is open_x * u * hy * hz.
In rubble they are those of the whole cross-section, as if its stones were not there.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import IntEnum

import numpy as np

from flowviz.scene.panels import frame

Vector = tuple[float, float, float]
Faces = tuple[np.ndarray, np.ndarray, np.ndarray]  # open shares of the faces across x, y, z


class Kind(IntEnum):
    """What fills a cell."""

    WATER = 0
    OUTSIDE = 1  # beyond the glass
    ROCK = 2
    SAND = 3
    CUT_OFF = 4  # water that no opening reaches; left out of the flow


@dataclass(frozen=True, slots=True, eq=False)
class Patch:
    """An opening on the grid: the cells its water enters or leaves by."""

    name: str
    inflow: bool  # True: water enters the tank here (an outlet of the loop)
    cells: np.ndarray  # (n, 3) int64, each a water cell
    share: np.ndarray  # (n,) float64, of the opening's flow; sums to 1
    centre: Vector  # of the opening [m]
    direction: Vector  # unit vector of the jet; of an intake: its plane's normal into the water
    normal: Vector  # unit normal of the opening's plane, into the water
    area: float  # of the opening itself [m²]
    extent: tuple[float, float]  # across and up [m]; a bore has its diameter twice
    round: bool

    @property
    def sides(self) -> tuple[Vector, Vector]:
        """Unit vectors along its extents."""
        return frame(self.normal)


@dataclass(frozen=True, slots=True, eq=False)
class Pocket:
    """Water that no opening reaches."""

    centre: Vector  # [m]
    volume: float  # [m³]


@dataclass(frozen=True, slots=True, eq=False)
class Rubble:
    """Heaps of stones in the water of cells, each array (nx, ny, nz) float32 and 0 outside them."""

    share: np.ndarray  # of the cell that lies in a heap [-]; the heap's stones are not part of open_volume
    laminar: np.ndarray  # drag over viscosity and speed: see formulas/rubble.py [1/m²]
    turbulent: np.ndarray  # drag over the square of the speed [1/m]


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class Grid:
    """The tank as cells."""

    spacing: Vector  # hx, hy, hz [m], alike within a fifth
    kind: np.ndarray  # (nx, ny, nz) uint8, values of Kind
    open_volume: np.ndarray  # (nx, ny, nz) float32, share of the cell that is water; 0 where kind is not WATER
    open_x: np.ndarray  # (nx+1, ny, nz) float32, open share of the face; 0 unless both its cells are WATER
    open_y: np.ndarray  # (nx, ny+1, nz)
    open_z: np.ndarray  # (nx, ny, nz+1)
    patches: tuple[Patch, ...]
    pockets: tuple[Pocket, ...]
    aslant: np.ndarray  # (nx, ny, nz) bool: water cells that a wall cuts which runs on, aslant; see grid/slanting.py
    rubble: Rubble | None = None  # None: there is none

    def __repr__(self) -> str:
        cells, edges = " × ".join(map(str, self.shape)), " × ".join(f"{1e3 * edge:.3g}" for edge in self.spacing)
        return f"<Grid of {cells} cells of {edges} mm, {len(self.patches)} openings>"

    @property
    def shape(self) -> tuple[int, int, int]:
        """Cells along x, y, z."""
        return self.kind.shape

    @property
    def water(self) -> np.ndarray:
        """(nx, ny, nz) bool: where the flow is solved."""
        return self.kind == Kind.WATER

    @property
    def shares(self) -> Faces:
        """Open shares of the faces across x, y and z."""
        return self.open_x, self.open_y, self.open_z

    @property
    def clear(self) -> np.ndarray:
        """(nx, ny, nz) bool: the water of cells that do not lie mostly in rubble, where it is meant to be slow."""
        return self.water if self.rubble is None else self.water & (self.rubble.share < 0.5)

    @property
    def cell_volume(self) -> float:
        """[m³]"""
        hx, hy, hz = self.spacing
        return hx * hy * hz

    @property
    def water_volume(self) -> float:
        """Of all water that the flow is solved in [m³]."""
        return float(self.open_volume.sum(dtype=np.float64)) * self.cell_volume

    def centres(self) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Coordinates of the cell centres along x, y and z [m]."""
        return tuple((np.arange(n) + 0.5) * h for n, h in zip(self.shape, self.spacing, strict=True))

    def source(self, rates: Mapping[str, float]) -> np.ndarray:
        """What the openings add to each cell (nx, ny, nz) [m³/s], float64.

        rates    into the tank, by opening [m³/s]: positive at outlets, negative at intakes
        """
        source = np.zeros(self.shape)
        for patch in self.patches:
            np.add.at(source, tuple(patch.cells.T), patch.share * rates[patch.name])
        return source
