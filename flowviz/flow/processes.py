"""Processes that share independent marches.

Threads would not do: on a sketch's cells a march asks for the interpreter every few microseconds, and has to wait for
it. This process marches too, and at once, for others take a second to come. They stay a while for the next flow, and
end with this one however it ends, at the latest once their march is made, for then nobody asks them any more.
"""

import atexit
import os
import pickle
import subprocess
import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import suppress
from queue import Empty, SimpleQueue
from threading import Thread, Timer

from flowviz.errors import ConvergenceError
from flowviz.flow import team
from flowviz.flow.field import Field
from flowviz.grid.size import free_memory

FEWER = "Close other programs, for the memory may have run out, or take one march"
LIBRARIES, CELL = 190e6, 250  # memory of each: for what it loads, and for a cell of the grid [bytes]
HEED = 0.2  # an interruption within this, where waiting for others cannot be interrupted [s]
WAITING = []  # helpers that have nothing to do
STAY = 60.0  # for which they are kept [s]
APART = {"creationflags": subprocess.CREATE_NO_WINDOW} if os.name == "nt" else {"start_new_session": True}
BEGIN = """
import pickle, sys
sys.path[:] = pickle.load(sys.stdin.buffer)
from flowviz.flow.processes import serve
serve()
"""

Make = Callable[[int], Field]


def made(count: int, cells: int, make: Make, here: Make) -> Iterator[tuple[int, Field]]:
    """The fields of so many marches as they come, each with its number; which process made it changes nothing.

    cells    of the grid that they are on
    make     the field of the n-th, wherever it is called
    here     the same, where it is made by this process

    Raises what a march raises, and ConvergenceError where another process could not begin or was ended from outside.
    """
    bearable = int(free_memory() / 2 / (LIBRARIES + CELL * cells))
    helpers = [helper() for _ in range(min(team.HELPERS, bearable, count - 1))]
    turns, found, left = iter(range(count)), SimpleQueue(), count
    for each in helpers:
        Thread(target=each.make, args=(make, turns, found), daemon=True).start()
    try:
        while left:
            number = next(turns, None)
            if number is not None:
                yield number, here(number)
                left -= 1
            for each in heard(found, wait=number is None):
                yield each
                left -= 1
    except BaseException:
        for _ in turns:  # no more are to be begun
            pass
        for each in helpers:
            each.end()
        raise
    WAITING.extend(helpers)
    gone = Timer(STAY, dismiss)
    gone.daemon = True
    gone.start()


def helper() -> "Helper":
    """One that has nothing to do."""
    try:
        return WAITING.pop()
    except IndexError:
        return Helper()


@atexit.register
def dismiss() -> None:
    """Let all helpers go that have nothing to do."""
    with suppress(IndexError):
        while True:
            WAITING.pop().end()


def heard(found: SimpleQueue, wait: bool) -> Iterator[tuple[int, Field]]:
    """What others have made by now, or will next; raises what went wrong instead."""
    while wait or not found.empty():
        try:
            number, field = found.get(timeout=HEED)
        except Empty:
            continue
        if isinstance(field, BaseException):
            raise field
        yield number, field
        wait = False


def in_order(numbered: Iterable[tuple[int, Field]]) -> Iterator[Field]:
    """Fields by their numbers, each as soon as those before have come."""
    ready, expected = {}, 0
    for number, field in numbered:
        ready[number] = field
        del field
        while expected in ready:
            yield ready.pop(expected)
            expected += 1


class Helper:
    """Another process, which is asked for one march after the other; apart from the terminal and its interruptions."""

    def __init__(self) -> None:
        pipes = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE}
        try:
            self.process = subprocess.Popen([sys.executable, "-P", "-c", BEGIN], **pipes, **APART)
            self._send(sys.path)
        except OSError as fault:
            raise ConvergenceError("flow", f"no further process could be begun ({fault})", FEWER) from fault

    def make(self, make: Make, turns: Iterator[int], found: SimpleQueue) -> None:
        """Put one field after the other, or what went wrong, with its number, while any is left to be made."""
        for number in turns:
            try:
                self._send((make, number))
                found.put((number, pickle.load(self.process.stdout)))
            except (OSError, EOFError, pickle.UnpicklingError):
                told = f"the process that made march {number + 1} was ended from outside"
                found.put((number, ConvergenceError("flow", told, FEWER)))
                return
            except BaseException as fault:  # raised again where the work was shared out, which would else wait for ever
                found.put((number, fault))
                return

    def end(self) -> None:
        """Stop it, whatever it does."""
        with suppress(OSError), self.process:  # it may have been sent half of something
            self.process.kill()

    def _send(self, what: object) -> None:
        pickle.dump(what, self.process.stdin)
        self.process.stdin.flush()


def serve() -> None:
    """Be a helper, for as long as anybody asks."""
    answers = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)  # what is printed is no answer
    team.HELPERS = 0
    while True:
        try:
            make, number = pickle.load(sys.stdin.buffer)
        except EOFError:
            return
        try:
            answer = make(number)
        except Exception as fault:  # raised again where it was asked for
            answer = fault
        with suppress(OSError):  # nobody is there any more, as the next question will tell
            pickle.dump(answer, answers)
            answers.flush()


if hasattr(os, "register_at_fork"):  # where processes can be forked: helpers answer to the one that began them
    os.register_at_fork(after_in_child=WAITING.clear)
