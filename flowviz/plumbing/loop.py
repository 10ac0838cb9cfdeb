"""What the plumbing floor hands on: the flow at every opening and what it costs."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from flowviz.scene.model import Caution


@dataclass(frozen=True, slots=True)
class PumpDuty:
    """Where a pump works on this loop."""

    speed_share: float  # of full speed [-]; 0: at rest
    flow: float  # [m³/s]
    head: float  # [m]
    open_flow: float  # against no head [m³/s]; beyond the last printed point by the curve's continuation
    first_flow: float  # at the first printed point of the curve [m³/s]
    last_flow: float  # at the last printed point of the curve [m³/s]
    water_power: float  # taken up by the water [W]
    power: float | None  # electric [W]; None where the scene does not give it
    efficiency: float | None  # water power over electric power [-]
    npsh_available: float  # net positive suction head [m]
    npsh_margin: float | None  # over what the pump requires at full speed [m]; None where that is not given, or at rest

    @property
    def surviving_share(self) -> float:
        """Share of the open flow that is left against the loop's losses [-]: how little the pump dislikes head."""
        return self.flow / self.open_flow if self.open_flow else 0.0


@dataclass(frozen=True, slots=True)
class PipeFlow:
    """What goes through a pipe; positive from start to end."""

    start: str
    end: str
    inside: float  # diameter [m]
    flow: float  # [m³/s]
    speed: float  # mean velocity [m/s]
    reynolds: float  # [-]
    friction: float  # head lost to the wall [m]; all losses count from start to end and bear the flow's sign
    fittings: Mapping[str, float]  # head lost [m] by trade name, all fittings of the name together
    tees: Mapping[str, float]  # head lost [m] in the tees at its ends, by their names; negative where a tee gives head

    @property
    def comes_from(self) -> str:
        """The end that its water enters by."""
        return self.start if self.flow >= 0 else self.end

    @property
    def goes_to(self) -> str:
        """The end that its water leaves by."""
        return self.end if self.flow >= 0 else self.start

    @property
    def loss(self) -> float:
        """Head lost from start to end [m]."""
        return self.friction + sum(self.fittings.values()) + sum(self.tees.values())


@dataclass(frozen=True, slots=True)
class OutletFigures:
    """What leaves an outlet."""

    flow: float  # into the tank [m³/s]
    speed: float  # mean velocity in the opening [m/s]
    share: float  # of all that enters the tank [-]
    losses: Mapping[str, float]  # head lost [m] by part
    hole_flows: tuple[float, ...] = ()  # of a spray bar's holes from its inlet to its closed end [m³/s]
    evenness: float | None = None  # weakest over strongest of them [-]; None: no bar


@dataclass(frozen=True, slots=True)
class IntakeFigures:
    """What an intake draws."""

    flow: float  # out of the tank [m³/s]
    screen_speed: float  # mean velocity through the strainer's slots, or through the bare opening [m/s]
    approach_speed: float  # mean velocity at the strainer's skin, or at the bare opening [m/s]
    losses: Mapping[str, float]  # head lost [m] by part


@dataclass(frozen=True, slots=True)
class Circuit:
    """A closed loop by itself: no water gets from its pipes into those of another but through the tank."""

    pumps: tuple[str, ...]
    openings: tuple[str, ...]
    pipes: tuple[int, ...] = ()  # numbers in the scene's order


@dataclass(frozen=True, slots=True)
class Loop:
    """The solved loop, all circuits of a scene together."""

    rates: Mapping[str, float]  # opening to flow into the tank [m³/s]: positive at outlets, negative at intakes
    pumps: Mapping[str, PumpDuty] = field(default_factory=dict)
    pipes: tuple[PipeFlow, ...] = ()  # in the scene's order
    outlets: Mapping[str, OutletFigures] = field(default_factory=dict)
    intakes: Mapping[str, IntakeFigures] = field(default_factory=dict)
    nodes: Mapping[str, float] = field(default_factory=dict)  # total head above the tank's water surface [m]
    circuits: tuple[Circuit, ...] = ()  # where the scene fixes the flows, one of all openings
    cautions: tuple[Caution, ...] = ()

    @property
    def total(self) -> float:
        """All that enters the tank [m³/s]."""
        return sum(rate for rate in self.rates.values() if rate > 0)
