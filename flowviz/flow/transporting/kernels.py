"""Loops of steady transport: each cell's balance with the six beside it.

c is framed by a layer of cells in which it is not looked at: cell (i, j, k) stands at c[i + 1, j + 1, k + 1].
"""

import numpy as np
from numba import njit

from flowviz.formulas import mixing

kernel = njit(cache=True)
part = njit(cache=True, no_cpython_wrapper=True, no_cfunc_wrapper=True)  # called from kernels only
mixing_length, eddy_diffusivity = part(mixing.mixing_length), part(mixing.eddy_diffusivity)

WAYS = np.array([[1, 1, 1], [-1, -1, -1], [1, -1, 1], [-1, 1, -1]])  # of the sweeps: there and back, twice


@part
def taken(take, c, i, j, k):
    """What cell (i, j, k) takes of c from the six beside it, by its own take (6,)."""
    along_x = take[0] * c[i, j + 1, k + 1] + take[1] * c[i + 2, j + 1, k + 1]
    along_y = take[2] * c[i + 1, j, k + 1] + take[3] * c[i + 1, j + 2, k + 1]
    along_z = take[4] * c[i + 1, j + 1, k] + take[5] * c[i + 1, j + 1, k + 2]
    return along_x + along_y + along_z


@kernel
def sweep(take, weight, made, way, c):
    """Solve one cell's balance after the other; c (nx+2, ny+2, nz+2) goes along.

    way     (3,) of 1 or -1: up or down each axis
    """
    nx, ny, nz = weight.shape
    for ii in range(nx):
        i = ii if way[0] > 0 else nx - 1 - ii
        for jj in range(ny):
            j = jj if way[1] > 0 else ny - 1 - jj
            for kk in range(nz):
                k = kk if way[2] > 0 else nz - 1 - kk
                c[i + 1, j + 1, k + 1] = (made[i, j, k] + taken(take[i, j, k], c, i, j, k)) / weight[i, j, k]


@kernel
def balance(take, weight, c, left):
    """Write what each cell gives away less what it takes into left (nx, ny, nz)."""
    nx, ny, nz = weight.shape
    for i in range(nx):
        for j in range(ny):
            for k in range(nz):
                left[i, j, k] = weight[i, j, k] * c[i + 1, j + 1, k + 1] - taken(take[i, j, k], c, i, j, k)


@kernel
def diffusivities(fluctuation, distance, depth, diffusivity):
    """Write the eddy diffusivity of cells (n,) [m²/s]: see formulas/mixing.py."""
    for n in range(len(diffusivity)):
        diffusivity[n] = eddy_diffusivity(fluctuation[n], mixing_length(distance[n], depth))
