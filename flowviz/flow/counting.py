"""A march that is counted window after window once it has settled, and that can be left and taken up at any count."""

from collections.abc import Callable

import numpy as np

from flowviz.flow.march import March
from flowviz.flow.state import State, part, under
from flowviz.flow.statistics import Record, fill


class Counting:
    """A march, and what is counted of it."""

    def __init__(self, march: March, settle: float, window: float) -> None:
        self.march, self.record = march, Record(march)
        self._settled, self._length = False, window
        self.record.sums.left = settle

    def go_on(self, most: int, look: Callable[[], None]) -> None:
        """Count one window more, at the most windows after joining them in pairs; look up before each count."""
        if not self._settled:
            fill(self.record.sums, self.march, look)
            self.record.sums.clear()
            self._settled = True
        if not self.record.sums.left > 0:
            self._begin(most)
        fill(self.record.sums, self.march, look)
        self.record.end_window()

    def state(self) -> State:
        """Everything that going on needs."""
        return {
            "settled": np.array(self._settled),
            "length": np.array(self._length),
            **under("march", self.march.state()),
            **under("record", self.record.state()),
        }

    def take_up(self, state: State) -> None:
        """Be what another one was."""
        self._settled, self._length = bool(state["settled"]), float(state["length"])
        self.march.take_up(part("march", state))
        self.record.take_up(part("record", state))

    def _begin(self, most: int) -> None:
        """Begin the next window."""
        if len(self.record.speeds) == most:
            self.record.pair()
            self._length *= 2
        self.record.sums.left = self._length
