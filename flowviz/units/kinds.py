"""The kinds of quantity that there are, and the units that each is written and shown in."""

from dataclasses import dataclass
from math import inf
from typing import Literal

System = Literal["metric", "us"]
Steps = dict[str, float]  # units that values are shown in: up to which SI value, in rising order


@dataclass(frozen=True, slots=True)
class Kind:
    """What quantities of one kind have in common."""

    noun: str
    base: str  # unit of the float inside
    example: str
    known: str  # units to suggest: metric, and after a bar US ones
    metric: Steps
    us: Steps
    digits: int = 3  # significant, when shown


_LENGTHS = "mm cm m | in ft"
_FLOWS = "L/h L/min L/s m3/h m³/h | gph gpm"
_IN_MM = 10.0  # lengths up to that: in mm scenes are written, panes ordered and holes drawn [m] (a choice)
_CLOCK = {"s": 120.0, "min": 7200.0, "h": 172800.0, "days": inf}

KINDS = {
    "length": Kind("a length", "m", "600 mm", _LENGTHS, {"mm": _IN_MM, "m": inf}, {"in": 6.0, "ft": inf}, digits=4),
    "head": Kind("a head", "m", "5.6 m", _LENGTHS, {"m": inf}, {"ft": inf}),
    "flow": Kind("a flow", "m3/s", "3000 L/h", _FLOWS, {"L/h": inf}, {"gph": inf}),
    "speed": Kind(
        "a speed", "m/s", "3 cm/s", "mm/s cm/s m/s | in/s ft/s", {"cm/s": 1.0, "m/s": inf}, {"in/s": 1.0, "ft/s": inf}
    ),
    "volume": Kind("a volume", "m3", "120 L", "mL L m3 | gal", {"L": 100.0, "m³": inf}, {"gal": inf}),
    "area": Kind("an area", "m2", "12 m2", "mm2 cm2 m2 | in2 ft2", {"m²": inf}, {"ft²": inf}),
    "temperature": Kind("a temperature", "degC", "25.5 degC", "degC °C K | degF °F", {"°C": inf}, {"°F": inf}),
    "share": Kind("a share", "", "40 %", "%", {"%": inf}, {"%": inf}),
    "salinity": Kind("a salinity", "g/kg", "35 g/kg", "g/kg ppt", {"g/kg": inf}, {"g/kg": inf}),
    "power": Kind("a power", "W", "240 W", "W kW | hp BTU/h", {"W": inf}, {"W": inf}),
    "angle": Kind("an angle", "rad", "30 deg", "deg ° rad", {"°": inf}, {"°": inf}),
    "time": Kind("a time", "s", "30 min", "s min h day", _CLOCK, _CLOCK),
    "mass": Kind("a mass", "kg", "12 kg", "g kg | oz lb", {"kg": inf}, {"lb": inf}),
    "stress": Kind("a stress", "Pa", "0.5 Pa", "Pa", {"Pa": inf}, {"Pa": inf}),  # on a bed
    "pressure": Kind("a pressure", "Pa", "20 kPa", "Pa kPa bar | psi", {"kPa": inf}, {"psi": inf}),
}


def steps(kind: str, system: System) -> Steps:
    """The units that a kind is shown in."""
    return {"metric": KINDS[kind].metric, "us": KINDS[kind].us}[system]
