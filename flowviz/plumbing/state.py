"""How a loop stands at the moment: pumps, valves, dirt, blockage."""

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class State:
    """The state of a loop; without arguments it is clean, and as the scene sets it."""

    fouled: Mapping[str, float] = field(default_factory=dict)  # intake to share of its slots that is clogged, below 1
    blocked: frozenset[str] = frozenset()  # openings that pass nothing
    valves: Mapping[int, Mapping[str, float]] = field(default_factory=dict)  # pipe number: valve to opening, 0 to 1
    throttled: Mapping[int, float] = field(default_factory=dict)  # pipe number to further loss coefficient [-]
    speeds: Mapping[str, float] = field(default_factory=dict)  # pump to share of full speed instead of its own


AS_BUILT = State()
