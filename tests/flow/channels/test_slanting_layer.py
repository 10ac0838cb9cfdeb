"""A stream along straight glass that slants through the cells: how thick the water is that it slows."""

import numpy as np
import pytest

from flowviz.flow.sample import velocity_at
from flowviz.flow.solve import solve_flow
from flowviz.formulas.water import kinematic_viscosity
from flowviz.grid.voxelise import voxelise
from flowviz.scene.apertures import Slot
from flowviz.scene.model import Intake, Outlet, Scene
from flowviz.shapes.plans import Polygon

LENGTH, WIDTH, DEPTH = 1.6, 0.4, 0.2  # of the channel [m]
SPEED = 0.15  # of the stream [m/s]
PLACE = 1.2  # where it is looked at, from its inflow [m]
CELL = 0.0145  # [m]


def streamed(plan: Polygon, along: np.ndarray, start: np.ndarray, make) -> Scene:
    """A channel with a stream along it, from one end to the other; start of its near wall [m]."""
    inward, back, across = (*along, 0.0), (*-along, 0.0), np.array((-along[1], along[0]))
    (x_in, y_in), (x_out, y_out) = (start + WIDTH / 2 * across + x * along for x in (0.0, LENGTH))
    hole = Slot(WIDTH, DEPTH)
    inflow = Outlet("inflow", (x_in, y_in, DEPTH / 2), inward, inward, hole, "in", None, None)
    outflow = Intake("outflow", (x_out, y_out, DEPTH / 2), back, hole, "out", None, None, None)
    return make.tank(plan, DEPTH, 0.1, outlets=(inflow,), intakes=(outflow,))


def momentum_thickness(scene: Scene, along: np.ndarray, start: np.ndarray, detail: str, thickness) -> float:
    """Of the layers along both side walls, on average, over the middle half of the depth [m]."""
    grid, flow = voxelise(scene, CELL), SPEED * WIDTH * DEPTH
    field = solve_flow(grid, {"inflow": flow, "outflow": -flow}, kinematic_viscosity(20, 0), detail)
    y, z = np.linspace(0, WIDTH, 162)[1:-1], np.linspace(0.25, 0.75, 5) * DEPTH
    y_too, z_too = (each.ravel() for each in np.meshgrid(y, z, indexing="ij"))
    floor = start + PLACE * along + y_too[:, None] * np.array((-along[1], along[0]))
    u = velocity_at(grid, field, np.column_stack((floor, z_too)))[:, :2] @ along
    return thickness(y, u.reshape(len(y), len(z)).mean(axis=1))


@pytest.mark.parametrize(
    ("detail", "angle", "reached"),
    [
        ("sketch", 20, 0.0158),
        ("sketch", 30, 0.0119),
        ("sketch", 45, 0.0093),
        ("coarse", 20, 0.0099),
        ("coarse", 30, 0.0112),
        ("coarse", 45, 0.0060),
        pytest.param("fine", 30, 0.0085, marks=pytest.mark.slow),
    ],
)
def test_layer_along_slanting_glass(detail, angle, reached, askew, make, thickness):
    """A miss, kept an eye on: one and a half to four times the 3.8 mm of a flat plate (test_boundary_layer.py).

    Most of it comes from the first half metre behind the inflow. It hangs on how the cells fall on the glass: cells of
    20 mm in place of these have 7 to 14 mm in coarse marches. By three seeds it lies up to 6 % on either side of what
    stands here; 12 % are allowed.
    """
    plan, along, start = askew(angle, LENGTH, WIDTH)
    scene = streamed(plan, along, start, make)
    assert momentum_thickness(scene, along, start, detail, thickness) == pytest.approx(reached, rel=0.12)
