"""Means over the time that was marched."""

from collections.abc import Callable
from math import nan

import numpy as np

from flowviz.errors import ConvergenceError
from flowviz.flow.field import Field, Quality
from flowviz.flow.march import March
from flowviz.flow.state import State, part, under
from flowviz.flow.stepping import kernels
from flowviz.flow.team import Team
from flowviz.flow.velocity import Velocity, square

EVERY = 4  # steps from one count to the next
SHORTEST = 1e-5  # time that so many steps must bring [s]
ROUNDING = 1e-9  # time that sums of steps are short or over by at most [s]


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
        self.left = self.left - dt if self.left - dt > ROUNDING else 0.0

    def clear(self) -> None:
        """Forget what was counted."""
        self.time = 0.0
        for values in self._sums():
            values[:] = 0

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
            if window.left - went > ROUNDING:
                went += march.step(window.left - went)
        if went < min(SHORTEST, window.left):
            raise ConvergenceError(
                "flow", f"the time step has gone to nothing after {march.time:.2f} s", "Use smaller cells."
            )
        window.add(march.velocity, went)


class Record:
    """Everything counted since the flow settled: sums over all of it, and the speed over windows of equal length."""

    def __init__(self, march: March) -> None:
        self.sums = Window(march.grid.shape, march.velocity)
        self.speeds: list[np.ndarray] = []  # time-mean of |u| in each window, float16 for their number [m/s]

    def count(self, march: March, seconds: float) -> None:
        """Count a window of so many seconds, as long as each of the others."""
        self.sums.left = seconds
        fill(self.sums, march, lambda: None)
        self.end_window()

    def end_window(self) -> None:
        """Keep the speed over what was counted since the last window ended; all are to be of equal length.

        Each makes up for the rounding of those before it, so that their mean is that of the sums.
        """
        speed = np.float32(len(self.speeds) + 1) * self.speed
        for earlier in self.speeds:
            speed -= earlier
        self.speeds.append(np.maximum(speed, 0, out=speed).astype(np.float16))

    def pair(self) -> None:
        """Join neighbouring windows, an even number of them, to half as many of twice the length."""
        for number in range(len(self.speeds) // 2):
            self.speeds[number] = (self.speeds[number] + self.speeds.pop(number + 1)) / 2

    def state(self) -> State:
        """Everything it holds."""
        windows = {f"speed.{number}": speed for number, speed in enumerate(self.speeds)}
        return {"windows": np.array(len(self.speeds)), **windows, **under("sums", self.sums.state())}

    def take_up(self, state: State) -> None:
        """Be what another one was."""
        self.sums.take_up(part("sums", state))
        self.speeds = [state[f"speed.{number}"] for number in range(int(state["windows"]))]

    @property
    def time(self) -> float:
        """That it was counted for [s]."""
        return self.sums.time

    @property
    def speed(self) -> np.ndarray:
        """Time-mean of |u| over all of it (nx, ny, nz) [m/s]."""
        return self.sums.path / np.float32(self.time)

    def quality(self, march: March, steady: bool) -> Quality:
        """How well what was counted was solved, but for its balance, which is not known yet."""
        return Quality(nan, march.steps, float(march.time), float(self.time), steady)

    def field(self, quality: Quality) -> Field:
        """What was counted; its mean velocity has the divergence that the steps have left in it."""
        time, speed = np.float32(self.time), self.speed
        u, v, w = (along / time for along in self.sums.velocity)
        fluctuation = np.sqrt(np.maximum(self.sums.square / time - square(u, v, w), 0))
        batches = np.stack(self.speeds, dtype=np.float32)
        rounded = batches.mean(axis=0)
        batches *= np.divide(speed, rounded, out=np.ones_like(speed), where=rounded > 0)
        return Field(u, v, w, speed, fluctuation, batches, quality)
