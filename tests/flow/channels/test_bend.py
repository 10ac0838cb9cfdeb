"""A stream round a sharp corner: it leaves the inner wall, and is squeezed past the water that turns there."""

import numpy as np
import pytest

from flowviz.flow.sample import velocity_at

WAY, WIDTH = 0.4, 0.3  # height of the channel that turns up into a shaft as wide [m]; of both, across the bend [m]
CORNER, TOP = 1.2, 1.8  # where the inner corner is, and how high the water stands [m]
SPEED = 0.15  # of the stream [m/s]


@pytest.mark.parametrize("detail", ["sketch", "coarse"])
def test_squeezed_behind_the_inner_corner(detail, channel, tmp_path):
    """1/0.5255 of the mean speed: A. Lichtarowicz, J. B. Markland, J. Fluid Mech. 17 (1963) 596-606, from memory.

    Between walls without friction. Within 8 %, which is ours, of eight cells across the channel in a sketch and eleven
    in a coarse march: the water that turns mixes with the stream, and ends the sooner. Reached: 1.93, and 1.82.
    """
    rock = (0.0, 0.0, WAY), (CORNER, WIDTH, TOP)
    tank = channel(CORNER + WAY, WIDTH, TOP, (0.0, WAY), (TOP - WAY, TOP), SPEED, (rock,))
    study = tank.study(tmp_path, detail)
    x, y, z = np.linspace(CORNER, CORNER + WAY, 42)[1:-1], np.linspace(0.25, 0.75, 5) * WIDTH, WAY * np.array([2, 2.25])
    points = np.stack(np.meshgrid(x, y, z, indexing="ij"), axis=-1).reshape(-1, 3)
    up = velocity_at(study.grid, study.field, points)[:, 2].reshape(len(x), -1).mean(axis=1)
    assert up.max() / SPEED == pytest.approx(1 / 0.5255, rel=0.08)
