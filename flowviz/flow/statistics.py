"""Means over the time that was marched."""

import numpy as np

from flowviz.flow import kernels
from flowviz.flow.field import Field, Quality
from flowviz.flow.march import March
from flowviz.flow.velocity import Velocity


class Window:
    """Sums over one stretch of time: velocity, speed and its square, each times the time."""

    def __init__(self, shape: tuple[int, int, int], velocity: Velocity) -> None:
        self.time = 0.0
        self.velocity = tuple(np.zeros_like(a) for a in velocity)
        self.path = np.zeros(shape, np.float32)
        self.square = np.zeros(shape, np.float32)

    def add(self, velocity: Velocity, dt: float) -> None:
        """Count the velocity for a time dt [s]."""
        kernels.tally(0, self.path.shape[0], *velocity, np.float32(dt), *self.velocity, self.path, self.square)
        self.time += dt


def gather(march: March, seconds: float, every: int) -> Window:
    """March on for a while and count every few steps."""
    window = Window(march.grid.shape, march.velocity)
    end = march.time + seconds
    while march.time < end:
        since = march.time
        for _ in range(every):
            march.step()
        window.add(march.velocity, march.time - since)
    return window


def field(windows: list[Window], march: March, steady: bool) -> Field:
    """What several windows of about the same length say together."""
    time = sum(window.time for window in windows)
    u, v, w = (sum(window.velocity[axis] for window in windows) / np.float32(time) for axis in range(3))
    balance = march.project(u, v, w)
    batches = np.stack([window.path / np.float32(window.time) for window in windows])
    speed = sum(window.path for window in windows) / np.float32(time)
    square = sum(window.square for window in windows) / np.float32(time)
    quality = Quality(balance, march.steps, float(march.time), float(time), steady)
    mean = Field(u, v, w, speed, speed, batches, quality)
    steady_part = (mean.velocity() ** 2).sum(axis=-1)
    fluctuation = np.sqrt(np.maximum(square - steady_part, 0))
    return Field(u, v, w, speed, fluctuation, batches, quality)
