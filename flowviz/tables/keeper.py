"""What a loop asks of its keeper: heat and cost, leaks, service, inspection."""

from collections.abc import Sequence
from statistics import median

from flowviz.plumbing.dossier import Dossier
from flowviz.plumbing.heat import PumpHeat
from flowviz.scene.model import Scene
from flowviz.tables.table import FIGURE, WORD, Table, in_one_unit, percent
from flowviz.units import System, shown

FAHRENHEITS = 1.8  # in a kelvin
KILOWATT_HOUR = 3.6e6  # [J]
MOST_PLACES = 3  # that are named in a line of what to look after; plumb --json has them all


def heat_table(scene: Scene, told: Dossier) -> Table:
    """What the pumps leave in the water, and what they cost."""
    heat, system = told.heating, scene.show
    rows = tuple((name, *heat_figures(pump, system)) for name, pump in heat.pumps.items())
    rows += tuple((name, "not given", "", "", "", "") for name in heat.unknown)
    if heat.pumps:
        rows += (("the water, if it lost none", "", f"{warming(heat.warming, system)} a day", "", "", ""),)
    if heat.chiller_share is not None:
        rows += (("of the chiller", "", percent(heat.chiller_share), "", "", ""),)
    columns = (
        ("", WORD),
        ("from the mains", FIGURE),
        ("heat into water", FIGURE),
        ("into air", FIGURE),
        ("energy of a year", FIGURE),
        ("cost of a year", FIGURE),
    )
    return Table(f"Heat and cost{price_told(scene)}", columns, rows)


def price_told(scene: Scene) -> str:
    """The price of electricity as a title goes on with it."""
    price = scene.site.price
    return "" if price is None else f", at {price:g} a kilowatt-hour"


def energy_told(energy: float) -> str:
    """An electric energy [J]."""
    return f"{energy / KILOWATT_HOUR:.0f} kWh"


def heat_figures(pump: PumpHeat, system: System) -> tuple[str, ...]:
    """Where the power of a pump goes, and what it costs."""
    into = (shown(watts, "power", system) for watts in (pump.power, pump.into_water, pump.into_air))
    return (*into, energy_told(pump.energy), "no price given" if pump.cost is None else f"{pump.cost:.0f}")


def warming(kelvins: float, system: System) -> str:
    """A difference of temperature."""
    return f"{kelvins * FAHRENHEITS:.2g} °F" if system == "us" else f"{kelvins:.2g} K"


def leak_table(scene: Scene, told: Dossier) -> Table:
    """What each failure would spill."""
    system, room = scene.show, scene.site.room
    both = zip(told.leaks.as_built, told.leaks.with_breaks, strict=True)
    spilling = [(leak, broken) for leak, broken in both if leak.running_lost > 0]
    leaks, broken = [leak for leak, _ in spilling], [other for _, other in spilling]
    typical = median(leak.time for leak in leaks) if leaks else None  # its unit suits seconds and hours too
    cells = (
        [leak.where for leak in leaks],
        in_one_unit([leak.lost for leak in leaks], "volume", system),
        [shown(leak.time, "time", system, 2, beside=typical) for leak in leaks],
        in_one_unit([leak.lost for leak in broken], "volume", system),
        in_one_unit([leak.running_lost for leak in leaks], "volume", system),
        [floor_told(leak.running_floor, system) for leak in leaks],
    )
    columns = (
        ("", WORD),
        ("spills", FIGURE),
        ("within", FIGURE),
        ("with siphon breaks", FIGURE),
        ("if the pump runs on", FIGURE),
        ("then deep on the floor", FIGURE),
    )
    where = "" if room is None else f", in a room of {shown(room, 'area', system)}"
    return Table(f"If it breaks{where}; rock and sand count as water", columns, tuple(zip(*cells, strict=True)))


def floor_told(depth: float | None, system: System) -> str:
    """How deep water stands on the floor of the room."""
    return "no room given" if depth is None else shown(depth, "length", system, 2)


def stop_table(scene: Scene, told: Dossier) -> Table:
    """What the water does when the pumps stop."""
    leaks, system = told.leaks, scene.show
    rows = (
        ("outlets that let air in and run back", ", ".join(leaks.runs_back) or "none"),
        ("water in pipes over the tank's surface", shown(leaks.above_volume, "volume", system, 2)),
        ("pipes over the rim that can siphon", ", ".join(leaks.siphons) or "none"),
        (
            "siphon breaks, if fitted, stop that at",
            f"{shown(scene.site.siphon_break, 'length', system, 3)} below the water",
        ),
    )
    return Table("If the pumps stop", (("", WORD), ("", WORD)), rows if scene.pumps else ())


def service_table(told: Dossier, system: System) -> Table:
    """How each pump comes out."""
    rows = tuple(
        (service.pump, ", ".join(service.missing) or "nothing", shown(service.trapped, "volume", system))
        for service in told.services
    )
    return Table("To take a pump out", (("", WORD), ("what is missing", WORD), ("runs into the tray", FIGURE)), rows)


def inspection_table(told: Dossier, system: System) -> Table:
    """What to look after: bulkheads by load, then strainers, pumps, fittings; pipes that ask for the same together."""
    lines: dict[tuple[str, str, str], list[str]] = {}
    for line in told.inspections:
        load = "" if line.load is None else shown(line.load, "pressure", system)
        year = "" if line.fitted is None else f"{line.fitted}"
        lines.setdefault((line.what, load, year, line.advice), []).append(line.where.removeprefix("pipe "))
    rows = tuple((kind, where_all(places), *figures) for (kind, *figures), places in lines.items())
    columns = (("", WORD), ("where", WORD), ("water on it", FIGURE), ("fitted", FIGURE), ("what to do", WORD))
    return Table("To look after", columns, rows)


def where_all(places: Sequence[str]) -> str:
    """Places by name, or many of them by their number."""
    return ", ".join(places) if len(places) <= MOST_PLACES else f"{len(places)} places"
