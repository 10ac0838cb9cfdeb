"""A stream along glass: how much it is slowed, how far from the glass, and how hard it rubs on the bare floor.

H. Schlichting, Boundary-Layer Theory (1979), from memory: flat plates that are turbulent from their edge.
"""

import numpy as np
import pytest

from flowviz.flow.sample import velocity_at
from flowviz.formulas.water import density, kinematic_viscosity
from flowviz.study import Study

LENGTH, WIDTH, DEPTH = 2.4, 0.4, 0.4  # [m]
SPEED = 0.15  # of the stream [m/s]
DENSITY, VISCOSITY = density(20, 0), kinematic_viscosity(20, 0)  # [kg/m³], [m²/s]


@pytest.fixture(scope="module", params=["sketch", "coarse"])
def stream(request, channel, tmp_path_factory):
    """All of the channel's left end brings it, all of its right end takes it."""
    tank = channel(LENGTH, WIDTH, DEPTH, (0.0, DEPTH), (0.0, DEPTH), SPEED)
    return tank.study(tmp_path_factory.mktemp("stream"), request.param)


def across(study: Study, x: float) -> tuple[np.ndarray, np.ndarray]:
    """Places from one side wall to the other [m], and the mean speed there over the middle half of the depth [m/s]."""
    y, z = np.linspace(0, WIDTH, 162)[1:-1], np.linspace(0.25, 0.75, 5) * DEPTH
    points = np.stack(np.meshgrid([x], y, z, indexing="ij"), axis=-1).reshape(-1, 3)
    return y, velocity_at(study.grid, study.field, points)[:, 0].reshape(len(y), len(z)).mean(axis=1)


def test_as_thick_as_on_a_flat_plate(stream, thickness):
    """Momentum thickness 0.036 x Re^(-1/5); within 15 %, which is ours, for all of it lies in one cell.

    Reached, where it is 3.8 and 5.3 mm: 4.1 and 5.4 in a sketch, 3.7 and 5.0 in a coarse march.
    """
    x = np.array([1.2, 1.8])
    plate = 0.036 * x * (SPEED * x / VISCOSITY) ** -0.2
    assert [thickness(*across(stream, place)) for place in x] == pytest.approx(plate, rel=0.15)


def test_stress_on_the_bare_floor(stream):
    """0.074 Re^(-1/5) of the stream's pressure, over all of its length; within a quarter.

    Ours is read 5 cm above the floor, as if the layer reached there: where it is young, up to a fifth too small, and
    the rest is for the cells. Reached: 0.052 and 0.053 Pa, where the plate has 0.064 Pa.
    """
    plate = 0.074 * (SPEED * LENGTH / VISCOSITY) ** -0.2 * DENSITY * SPEED**2 / 2
    assert stream.measures.bed.mean_stress == pytest.approx(plate, rel=0.25)
