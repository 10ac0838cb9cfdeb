"""The state of a march, as named arrays, so that a run that was stopped can go on as if it had not been.

Whoever keeps it decides how: the flow knows no files.
"""

from collections.abc import Callable, Mapping
from typing import Protocol

import numpy as np

State = Mapping[str, np.ndarray]


class Keeper(Protocol):
    """Keeps the state of a fine run from time to time."""

    def last(self) -> State | None:
        """What an earlier run left to go on from, or None to start afresh."""

    def offer(self, state: Callable[[], State]) -> None:
        """Say that the state can be had now; whether it is due is for the keeper to know."""


class Forgetful:
    """Keeps nothing."""

    def last(self) -> None:
        """Nothing to go on from."""

    def offer(self, state: Callable[[], State]) -> None:
        """Let it pass."""


FORGETFUL = Forgetful()


def under(name: str, state: State) -> dict[str, np.ndarray]:
    """A state whose names begin with another's."""
    return {f"{name}.{part}": values for part, values in state.items()}


def part(name: str, state: State) -> dict[str, np.ndarray]:
    """What stands under a name in a larger state."""
    return {whole.removeprefix(f"{name}."): values for whole, values in state.items() if whole.startswith(f"{name}.")}
