"""How far a long computation has come: told to whoever wants to show it."""

from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Stage:
    """What is being done."""

    doing: str
    share: float | None = None  # of it that is done [-]; None: not known
    simulated: float | None = None  # time of the flow that was marched for it [s]; None: nothing is marched
    cells: int | None = None  # of water that it is done on


Listener = Callable[[Stage], None]


def silent(stage: Stage) -> None:
    """Tell nobody."""
