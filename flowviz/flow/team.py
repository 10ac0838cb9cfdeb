"""Threads that share the planes of a grid."""

import os
from collections.abc import Callable
from itertools import count, pairwise
from queue import SimpleQueue
from threading import Thread

import numpy as np

HELPERS = min((os.cpu_count() or 1) - 1, 7)
JOBS = SimpleQueue()  # for the helpers; a pool of the library's takes 20 µs longer to hand one over
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
        turn, done = count(), SimpleQueue()
        for _ in range(self._helpers):
            JOBS.put((done, self._take, turn, kernel, arguments))
        self._take(turn, kernel, arguments)
        for _ in range(self._helpers):
            if fault := done.get():
                raise fault

    def _take(self, turn: count, kernel: Callable, arguments: tuple) -> None:
        """Do the parts whose turn comes up, until none is left."""
        while (n := next(turn)) < len(self._parts):
            kernel(*self._parts[n], *arguments)


def _help() -> None:
    """Do jobs as they come, for ever; keep nothing of one while waiting for the next."""
    while True:
        _do(*JOBS.get())


def _do(done: SimpleQueue, act: Callable, *arguments: object) -> None:
    """Do a job, and say when it is done, with what went wrong."""
    try:
        act(*arguments)
    except BaseException as fault:  # raised again where the work was shared out
        done.put(fault)
    else:
        done.put(None)


def _start() -> None:
    """Set the helpers to work."""
    for _ in range(max(1, HELPERS)):
        Thread(target=_help, name="flow", daemon=True).start()


_start()
if hasattr(os, "register_at_fork"):  # where processes can be forked: the new one has none of the threads
    os.register_at_fork(after_in_child=_start)
