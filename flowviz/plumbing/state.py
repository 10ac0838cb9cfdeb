"""How a loop stands at the moment: pumps, valves, dirt, blockage, height above the sea."""

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class State:
    """The state of a loop; without arguments it is clean, open and at sea level."""

    fouled: Mapping[str, float] = field(default_factory=dict)  # intake to share of its slots that is clogged, below 1
    blocked: frozenset[str] = frozenset()  # openings that pass nothing
    valves: Mapping[int, Mapping[str, float]] = field(default_factory=dict)  # pipe number: valve to opening, 0 to 1
    throttled: Mapping[int, float] = field(default_factory=dict)  # pipe number to further loss coefficient [-]
    altitude: float = 0.0  # [m]
    speeds: Mapping[str, float] = field(default_factory=dict)  # pump to share of full speed instead of its own


AS_BUILT = State()  # clean, open, at sea level
