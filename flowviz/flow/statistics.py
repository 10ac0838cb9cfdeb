"""Means over the time that was marched."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from flowviz.errors import ConvergenceError
from flowviz.flow.field import Field, Quality
from flowviz.flow.march import March
from flowviz.flow.state import State, part, under
from flowviz.flow.stepping import kernels
from flowviz.flow.team import Team
from flowviz.flow.velocity import Velocity

EVERY = 4  # steps from one count to the next
SHORTEST = 1e-5  # time that so many steps must bring [s]


class Window:
    """Sums over one stretch of time: velocity, speed and its square, each times the time."""

    def __init__(self, shape: tuple[int, int, int], velocity: Velocity, length: float = 0.0) -> None:
        self.time, self.left = 0.0, length  # counted, and still to be counted [s]
        self.velocity = tuple(np.zeros_like(a) for a in velocity)
        self.path = np.zeros(shape, np.float32)
        self.square = np.zeros(shape, np.float32)
        self._team = Team(shape[0], self.path.size)

    def add(self, velocity: Velocity, dt: float) -> None:
        """Count the velocity for a time dt [s]."""
        self._team.planes(kernels.tally, velocity, np.float32(dt), self.velocity, self.path, self.square)
        self.time += dt
        self.left -= dt

    def take(self, other: "Window") -> None:
        """Count all that another one has counted."""
        self.time += other.time
        for mine, its in zip(self._sums(), other._sums(), strict=True):
            mine += its

    def state(self) -> State:
        """Everything it holds."""
        sums = {str(number): values for number, values in enumerate(self._sums())}
        return {"times": np.array([self.time, self.left]), **sums}

    def take_up(self, state: State) -> None:
        """Be what another one was."""
        self.time, self.left = state["times"].tolist()
        for number, values in enumerate(self._sums()):
            values[:] = state[str(number)]

    def _sums(self) -> tuple[np.ndarray, ...]:
        return *self.velocity, self.path, self.square


def gather(march: March, seconds: float, every: int = EVERY) -> Window:
    """March on for exactly so long and count every few steps."""
    window = Window(march.grid.shape, march.velocity, seconds)
    fill(window, march, lambda: None, every)
    return window


def fill(window: Window, march: March, look: Callable[[], None], every: int = EVERY) -> None:
    """March on until nothing is left of a window, and look up before each count."""
    while window.left > 0:
        look()
        went = 0.0
        for _ in range(every):
            if went < window.left:
                went += march.step(window.left - went)
        if went < min(SHORTEST, window.left):
            raise ConvergenceError(
                "flow", f"the time step has gone to nothing after {march.time:.2f} s", "Use smaller cells."
            )
        window.add(march.velocity, went)


class Record:
    """Everything counted since the flow settled: sums over all of it, and the speed over windows of equal length."""

    def __init__(self, march: March) -> None:
        self._total = Window(march.grid.shape, march.velocity)
        self.speeds: list[np.ndarray] = []  # time-mean of |u| in each window, float16 for their number [m/s]

    def add(self, window: Window) -> None:
        """Count one more window, as long as each of the others."""
        self._total.take(window)
        self.speeds.append((window.path / np.float32(window.time)).astype(np.float16))

    def pair(self) -> None:
        """Join neighbouring windows, an even number of them, to half as many of twice the length."""
        self.speeds = [(first + second) / 2 for first, second in zip(self.speeds[::2], self.speeds[1::2], strict=True)]

    def state(self) -> State:
        """Everything it holds."""
        windows = {f"speed.{number}": speed for number, speed in enumerate(self.speeds)}
        return {"windows": np.array(len(self.speeds)), **windows, **under("total", self._total.state())}

    def take_up(self, state: State) -> None:
        """Be what another one was."""
        self._total.take_up(part("total", state))
        self.speeds = [state[f"speed.{number}"] for number in range(int(state["windows"]))]

    @property
    def time(self) -> float:
        """That it was counted for [s]."""
        return self._total.time

    @property
    def speed(self) -> np.ndarray:
        """Time-mean of |u| over all of it (nx, ny, nz) [m/s]."""
        return self._total.path / np.float32(self._total.time)

    def field(self, march: March, steady: bool) -> Field:
        """What was counted, as the field of the march's grid."""
        return self.field_of(*self.mean(march, steady))

    def mean(self, march: March, steady: bool) -> tuple[Velocity, Quality]:
        """The mean velocity, and how well all was solved: all for which the march itself is needed."""
        total, time = self._total, np.float32(self._total.time)
        velocity = tuple(sums / time for sums in total.velocity)
        return velocity, Quality(march.project(*velocity), march.steps, float(march.time), float(total.time), steady)

    def field_of(self, velocity: Velocity, quality: Quality) -> Field:
        """What was counted, with its mean velocity."""
        total, time, speed = self._total, np.float32(self._total.time), self.speed
        batches = np.stack(self.speeds, dtype=np.float32)
        rounded = batches.mean(axis=0)
        batches *= np.divide(speed, rounded, out=np.ones_like(speed), where=rounded > 0)
        mean = Field(*velocity, speed, np.zeros_like(total.path), batches, quality)
        ordered = (mean.velocity() ** 2).sum(axis=-1)
        fluctuation = np.sqrt(np.maximum(total.square / time - ordered, 0))
        return replace(mean, fluctuation=fluctuation)
