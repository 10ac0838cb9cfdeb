"""What is there: frozen records of the tank and all that stands in it, in SI units.

Axes: x along the length from the left end, y from front to back, z up from the floor. Names are unique in a scene.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import pi
from typing import Literal

from flowviz.scene.apertures import Aperture
from flowviz.scene.source import Source
from flowviz.scene.standards import standard_limits
from flowviz.shapes.plans import FloorPlan
from flowviz.shapes.solids import Solid

Vector = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Caution:
    """Something that does not stop the computation and that the user must know."""

    where: str  # "outlet left high", "panel floor"
    what: str  # what was found
    why: str  # what follows from it, and what to do

    def __str__(self) -> str:
        return f"{self.where}: {self.what}. {self.why.rstrip('.')}."


@dataclass(frozen=True, slots=True)
class Water:
    """The water of the tank."""

    temperature: float  # [°C]
    salinity: float  # [g/kg], 0 for fresh water


@dataclass(frozen=True, slots=True)
class Panel:
    """One pane of the tank."""

    material: Literal["glass", "acrylic"]
    thickness: float  # [m]
    tempered: bool


@dataclass(frozen=True, slots=True)
class Tank:
    """The inside of the glass."""

    plan: FloorPlan  # its walls carry the panels' names; the bottom is the panel "floor"
    height: float  # [m]
    depth: float  # of the water, from the floor [m]
    panels: Mapping[str, Panel]  # those the scene describes
    seen_from: tuple[str, ...]  # names of walls, and "above"


@dataclass(frozen=True, slots=True)
class Limits:
    """Bounds of the time-mean speed: outside dead and over the water is called so, and what happens to detritus."""

    dead: float  # [m/s]
    over: float  # [m/s]
    settle: float = standard_limits()["settle"].speed  # at 5 cm above the bed: below it detritus settles [m/s]
    stir: float = standard_limits()["stir"].speed  # at 5 cm above the bed: above it detritus is kept moving [m/s]


@dataclass(frozen=True, slots=True)
class Site:
    """Where the tank stands, and what is there."""

    altitude: float = 0.0  # above the sea [m]
    room: float | None = None  # floor that spilt water spreads over [m²]; None: not told
    price: float | None = None  # of a kilowatt-hour, in any money; None: not told
    chiller: float | None = None  # heat that it takes away [W]; None: there is none
    siphon_break: float = 0.03  # how far below the water a siphon break sits [m]


@dataclass(frozen=True, slots=True)
class Sand:
    """A level bed of sand on the floor: solid to the flow."""

    depth: float  # [m]
    grain: float  # median diameter [m]
    mineral: Literal["aragonite", "quartz"] = "aragonite"


@dataclass(frozen=True, slots=True)
class Heap:
    """Stones that water seeps through."""

    open: float  # share of the volume between them [-]
    stone: float  # diameter of a stone [m]


@dataclass(frozen=True, slots=True)
class Rock:
    """A piece of rockwork."""

    name: str
    solid: Solid
    heap: Heap | None = None  # None: it is closed


@dataclass(frozen=True, slots=True)
class Coral:
    """A group of corals and the current it wants; it does not displace water."""

    name: str
    centre: Vector  # [m]
    size: Vector  # edges of the box that holds the group [m]
    speed: tuple[float, float]  # the band that is wanted [m/s]
    kind: str | None = None  # whose band that is; None: the scene's own


@dataclass(frozen=True, slots=True)
class Animal:
    """An animal that is to be safe from the intakes."""

    name: str
    length: float  # of its body [m]
    width: float  # of its body where it is widest [m]
    speed: float  # that it can swim for minutes on end [m/s]
    assumed: bool = False  # that speed is not the scene's, but what is taken for small fish


@dataclass(frozen=True, slots=True)
class Measured:
    """A speed that was measured in the tank as it stands."""

    name: str
    at: Vector  # [m]
    speed: float  # mean over time [m/s]
    uncertainty: float  # half-width of its 95 % interval; 0 where it is not known [m/s]


@dataclass(frozen=True, slots=True)
class Strainer:
    """The screen over an intake."""

    shape: Literal["basket", "flat"]  # basket: a cylinder closed at its end; flat: a low-profile cover
    diameter: float  # [m]
    length: float  # how far it stands into the tank, 0 for a flat one [m]
    open_area: float  # share of its skin that is open, 0 to 1
    slot: float  # width of one slot or hole [m]

    @property
    def skin(self) -> float:
        """Area of the screen, solid and open together: side and end [m²]."""
        return pi * self.diameter * self.length + pi / 4 * self.diameter**2


@dataclass(frozen=True, slots=True)
class Bar:
    """A spray bar: a level pipe with a row of equal holes, fed at one end and closed at the other."""

    length: float  # [m]
    inside: float  # diameter [m]
    holes: int
    hole: float  # diameter of one [m]


@dataclass(frozen=True, slots=True)
class Outlet:
    """An end of the loop that blows water into the tank."""

    name: str
    centre: Vector  # of the opening [m]
    direction: Vector  # unit vector of the jet
    normal: Vector  # unit normal of the opening's plane, into the water: its panel's, or a free pipe's own direction
    aperture: Aperture
    panel: str | None  # that its bulkhead goes through; None: over the rim
    hole: float | None  # drilled diameter [m]
    flow: float | None  # fixed by the scene [m³/s]; None: the loop decides
    fitted: int | None = None  # year of its bulkhead
    nozzle: float | None = None  # coefficient of discharge of its mouth [-]; None: the open end of its pipe
    bar: Bar | None = None  # whose jets its aperture stands for


@dataclass(frozen=True, slots=True)
class Intake:
    """An end of the loop that draws water from the tank."""

    name: str
    centre: Vector  # of the opening [m]
    normal: Vector  # unit normal of the opening's plane, into the water
    aperture: Aperture
    panel: str | None
    hole: float | None
    flow: float | None  # fixed by the scene, positive [m³/s]; None: the loop decides
    strainer: Strainer | None
    fitted: int | None = None  # year of its bulkhead
    edge: float = 0.0  # radius that the edge of its mouth is rounded by [m]


@dataclass(frozen=True, slots=True)
class Pump:
    """A pump as its data sheet tells it, at full speed."""

    name: str
    curve: tuple[tuple[float, float], ...]  # flow [m³/s], head [m]; head falls
    power: float | None  # electric [W]
    npsh_required: float | None  # [m]
    mounting: Literal["dry", "submerged"]
    speed: float  # share of full speed
    heat_share: float | None = None  # of its power that ends in the water [-]; None: by its mounting


@dataclass(frozen=True, slots=True)
class Pipe:
    """A run of pipe between two of: opening, pump, junction."""

    start: str
    end: str
    size: str | None  # trade size such as "2 in sch 40" or "63 mm PN10"
    inside: float | None  # inside diameter where no trade size is given [m]
    length: float  # [m]
    rise: float  # end above start [m]
    fittings: Mapping[str, int]  # trade name to count
    loss: float  # further loss coefficient, on the pipe's own velocity [-]
    valves: Mapping[str, float] = field(default_factory=dict)  # trade name to opening of one of them [-]; else open


@dataclass(frozen=True, slots=True)
class Junction:
    """A place where pipes meet, with losses that depend on the split."""

    name: str
    kind: Literal["tee"]
    in_line: tuple[str, str]  # neighbours on the straight run


@dataclass(frozen=True, slots=True)
class Phase:
    """How pumps and valves stand for a part of the cycle that they go through again and again."""

    name: str
    time: float  # that it lasts [s]
    speeds: Mapping[str, float]  # of each pump, share of full speed, 0 to 1
    valves: Mapping[int, float]  # number of a pipe to how far its valve is open, 0 to 1; those of others are open


@dataclass(frozen=True, slots=True)
class Scene:
    """A tank, what stands in it, and the loop that drives its water."""

    title: str
    show: Literal["metric", "us"]  # the system results are printed in
    water: Water
    tank: Tank
    limits: Limits
    sand: Sand | None = None
    site: Site = Site()
    rocks: tuple[Rock, ...] = ()
    corals: tuple[Coral, ...] = ()
    outlets: tuple[Outlet, ...] = ()
    intakes: tuple[Intake, ...] = ()
    pumps: tuple[Pump, ...] = ()
    pipes: tuple[Pipe, ...] = ()
    junctions: tuple[Junction, ...] = ()
    animals: tuple[Animal, ...] = ()
    measured: tuple[Measured, ...] = ()
    phases: tuple[Phase, ...] = ()  # of the cycle, in their order; none: pumps and valves stand still
    cautions: tuple[Caution, ...] = field(default=())  # found while reading
    source: Source | None = field(default=None, compare=False, repr=False)  # None: not read from a file

    @property
    def solid_rocks(self) -> tuple[Rock, ...]:
        """Rocks that water does not seep through."""
        return tuple(rock for rock in self.rocks if rock.heap is None)

    @property
    def openings(self) -> tuple[Outlet | Intake, ...]:
        """Outlets, then intakes."""
        return (*self.outlets, *self.intakes)
