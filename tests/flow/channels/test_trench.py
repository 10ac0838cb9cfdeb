"""A trench across the floor of a channel: the stream bridges it, and one eddy as large as the trench turns in it."""

import numpy as np
import pytest

from flowviz.flow.sample import velocity_at

SIDE, WIDTH, DEPTH, SPEED = 0.2, 0.4, 1.0, 0.3  # of the trench, across, of the water above its floor [m]; [m/s]
START = 1.0  # of the trench along the channel [m]


@pytest.fixture
def trench(channel, tmp_path):
    """Of a trench as deep as SIDE and so many times as long: mean speeds along x up its middle, and along z across."""

    def at(detail: str, long: float) -> tuple[np.ndarray, np.ndarray]:
        end = START + long * SIDE
        banks = ((0.0, 0.0, 0.0), (START, WIDTH, SIDE)), ((end, 0.0, 0.0), (end + 1.0, WIDTH, SIDE))
        ends = (SIDE, DEPTH), (SIDE, DEPTH)
        study = channel(end + 1.0, WIDTH, DEPTH, *ends, SPEED, banks).study(tmp_path, detail)
        part = np.linspace(0.05, 0.95, 19)
        up = [(START + long * SIDE / 2, z) for z in part * SIDE]
        across = [(START + x * long * SIDE, SIDE / 2) for x in part]
        return along(study, up)[:, 0] / SPEED, along(study, across)[:, 2] / SPEED

    return at


def along(study, places: list[tuple[float, float]]) -> np.ndarray:
    """Mean velocity at places along and up, over the middle half of the width [m/s]."""
    rows = [np.array([(x, y, z) for y in np.linspace(0.25, 0.75, 11) * WIDTH]) for x, z in places]
    return np.array([velocity_at(study.grid, study.field, row).mean(axis=0) for row in rows])


def test_as_long_as_deep(trench):
    """One eddy, its middle at half the depth or a little above, water that returns along its floor at 0.2 to 0.4 U.

    As in a street between blocks, from memory: F. T. DePaul, C. M. Sheih, Atmos. Environ. 20 (1986) 455-459; T. R. Oke,
    Energy Build. 11 (1988) 103-113. Down the far side goes more than up the near one. The tenth of the depth by which
    its middle may be lower is ours, of five cells to the side of a coarse march. Reached: 0.52 of the depth and 0.24 U.
    """
    along_it, across = trench("coarse", 1.0)
    turns = np.flatnonzero(np.diff(np.sign(along_it)))
    assert len(turns) == 1
    assert 0.4 < (turns[0] + 1.5) / 20 < 0.65
    assert 0.2 < -along_it.min() < 0.4
    assert across[:9].min() > -0.02
    assert across[10:].max() < 0.02
    assert -across.min() > across.max()


def test_twice_as_long_as_deep(trench):
    """Still bridged: water returns all along the floor, at 0.2 to 0.45 U, from memory, as in wakes; and one eddy."""
    along_it, across = trench("coarse", 2.0)
    assert 0.2 < -along_it.min() < 0.45
    assert np.count_nonzero(np.diff(np.sign(across))) == 1
