"""Threads that share the planes of a grid."""

import os
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from itertools import count, pairwise

import numpy as np

HELPERS = min((os.cpu_count() or 1) - 1, 7)
POOL = ThreadPoolExecutor(max(1, HELPERS), "flow")
TURNS = 2  # for each thread, so that one that is held up leaves its share to the others
WORTH_SHARING = 30_000  # cells: with fewer, waking a second thread costs more than it brings


class Team:
    """Runs kernels over the planes of one grid, on as many threads as it is worth."""

    def __init__(self, planes: int, cells: int) -> None:
        self._helpers = HELPERS if cells >= WORTH_SHARING else 0
        turns = TURNS * (self._helpers + 1) if self._helpers else 1
        bounds = [n * planes // turns for n in range(turns + 1)]
        self._parts = [(first, last) for first, last in pairwise(bounds) if first < last]
        self.seams = np.array([first for first, _ in self._parts[1:]], np.int64)  # planes where one ends and one begins

    def planes(self, kernel: Callable, *arguments: object) -> None:
        """Call kernel(first, last, *arguments) for all planes, some at a time; the order must not matter to it."""
        turn = count()
        helpers = [POOL.submit(self._take, turn, kernel, arguments) for _ in range(self._helpers)]
        self._take(turn, kernel, arguments)
        for helper in helpers:
            helper.result()

    def _take(self, turn: count, kernel: Callable, arguments: tuple) -> None:
        """Do the parts whose turn comes up, until none is left."""
        while (n := next(turn)) < len(self._parts):
            kernel(*self._parts[n], *arguments)
