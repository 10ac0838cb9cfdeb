"""What a loop asks of its builder and its keeper, as tables."""

from flowviz.plumbing.choice import HOURS
from flowviz.plumbing.dossier import Dossier
from flowviz.plumbing.heat import PumpHeat
from flowviz.plumbing.holes import Hole, PanelSheet
from flowviz.plumbing.parts import Part, summed
from flowviz.plumbing.strainers import Blocked
from flowviz.scene.model import Scene
from flowviz.tables.table import FIGURE, WORD, Table, percent
from flowviz.units import System, shown

MOST_PIPES = 5  # losses and larger sizes that are listed; plumb --json has them all
FAHRENHEITS = 1.8  # in a kelvin


def dossier_tables(scene: Scene, told: Dossier) -> tuple[Table, ...]:
    """Everything a dossier says that can be set in a few lines; tables without rows are left out."""
    system = scene.show
    tables = (
        loss_table(told, system),
        upsize_table(told, system),
        peril_table(told, system),
        yardstick_table(told),
        swap_table(told),
        blocked_table(told, system),
        heat_table(scene, told),
        hole_table(told, system),
        leak_table(scene, told),
        service_table(told, system),
        part_table(told, system),
    )
    return tuple(table for table in tables if table.rows)


def loss_table(told: Dossier, system: System) -> Table:
    """The costliest losses."""
    rows = tuple(
        (loss.where.removeprefix("pipe "), loss.part, shown(loss.head, "head", system), percent(loss.share))
        for loss in told.losses[:MOST_PIPES]
    )
    columns = (("", WORD), ("in", WORD), ("head", FIGURE), ("of the power", FIGURE))
    return Table("Where the head goes: the largest losses", columns, rows)


def upsize_table(told: Dossier, system: System) -> Table:
    """The pipes that gain most by the next larger size."""
    rows = tuple(
        (
            up.pipe.removeprefix("pipe "),
            up.larger,
            shown(up.saved, "head", system),
            shown(up.gained, "flow", system),
            shown(up.weakest, "flow", system),
        )
        for up in told.upsizes[:MOST_PIPES]
    )
    columns = (
        ("pipe", WORD),
        ("as", WORD),
        ("head saved", FIGURE),
        ("all outlets gain", FIGURE),
        ("weakest gains", FIGURE),
    )
    return Table("One size larger", columns, rows)


def peril_table(told: Dossier, system: System) -> Table:
    """What the intakes threaten; animals that are safe are left out."""
    rows = tuple(
        (
            peril.animal,
            peril.intake,
            "yes" if peril.passes else "no",
            percent(peril.slot_share),
            shown(peril.reach, "length", system),
        )
        for peril in told.perils
        if not peril.safe
    )
    columns = (
        ("", WORD),
        ("before", WORD),
        ("fits through", WORD),
        ("slot speed of what it swims", FIGURE),
        ("reaches", FIGURE),
    )
    return Table("Animals in peril", columns, rows)


def yardstick_table(told: Dossier) -> Table:
    """Each strainer against the published rules."""
    rows = tuple(
        (intake, percent(share), yardstick.name)
        for intake, care in told.strainers.items()
        for yardstick, share in care.yardsticks
    )
    return Table("Speed at the strainers, of what a rule allows", (("", WORD), ("", FIGURE), ("rule", WORD)), rows)


def swap_table(told: Dossier) -> Table:
    """When each strainer must be swapped."""
    rows = tuple(
        (intake, percent(care.swap.fouled) if care.swap.fouled else "now", care.swap.limit)
        if care.swap.limit is not None
        else (intake, "–", "no limit breaks")
        for intake, care in told.strainers.items()
    )
    return Table("When to swap the strainers", (("", WORD), ("clogged", FIGURE), ("what breaks first", WORD)), rows)


def blocked_table(told: Dossier, system: System) -> Table:
    """The loop with each intake blocked in turn."""
    rows = tuple(blocked_row(blocked, system) for blocked in told.blocked)
    columns = (("", WORD), ("pumps", WORD), ("flow of all outlets", FIGURE), ("fastest strainer", FIGURE))
    return Table("If one intake is blocked", columns, rows)


def blocked_row(blocked: Blocked, system: System) -> tuple[str, ...]:
    """One intake."""
    if blocked.loop is None:
        return (blocked.intake, f"{', '.join(blocked.stopped)} runs dry", "–", "–")
    fastest = max(figures.screen_speed for figures in blocked.loop.intakes.values())
    return (blocked.intake, "run", shown(blocked.loop.total, "flow", system), shown(fastest, "speed", system))


def heat_table(scene: Scene, told: Dossier) -> Table:
    """What the pumps leave in the water, and what they cost."""
    heat, system = told.heating, scene.show
    rows = tuple((name, *heat_figures(pump, system)) for name, pump in heat.pumps.items())
    rows += tuple((name, "power not given", "", "", "") for name in heat.unknown)
    if heat.pumps:
        rows += (("the water, if it lost none", f"{warming(heat.warming, system)} a day", "", "", ""),)
    if heat.chiller_share is not None:
        rows += (("of the chiller", percent(heat.chiller_share), "", "", ""),)
    columns = (
        ("", WORD),
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


def energy_of_a_year(power: float) -> str:
    """Of an electric power [W]."""
    return f"{power / 1000 * HOURS:.0f} kWh"


def heat_figures(pump: PumpHeat, system: System) -> tuple[str, ...]:
    """Where the power of a pump goes, and what it costs."""
    into = (shown(watts, "power", system) for watts in (pump.into_water, pump.into_air))
    return (*into, energy_of_a_year(pump.power), "no price given" if pump.cost is None else f"{pump.cost:.0f}")


def warming(kelvins: float, system: System) -> str:
    """A difference of temperature."""
    return f"{kelvins * FAHRENHEITS:.2g} °F" if system == "us" else f"{kelvins:.2g} K"


def hole_table(told: Dossier, system: System) -> Table:
    """Where to drill."""
    columns = (
        ("panel", WORD),
        ("for", WORD),
        ("hole", FIGURE),
        ("from left", FIGURE),
        ("from below", FIGURE),
        ("rim to edge", FIGURE),
        ("rules", WORD),
    )
    rows = tuple(hole_row(sheet, hole, system) for sheet in told.sheets for hole in sheet.holes)
    return Table("Holes, seen from outside; on the floor from above", columns, rows)


def hole_row(sheet: PanelSheet, hole: Hole, system: System) -> tuple[str, ...]:
    """One hole."""
    lengths = (hole.diameter, hole.along, hole.up, hole.edge)
    return (sheet.panel, hole.opening, *(shown(length, "length", system) for length in lengths), verdict(hole))


def verdict(hole: Hole) -> str:
    """What the rules say to a hole."""
    broken = dict.fromkeys(check.rule.what for check in hole.checks if not check.kept)
    if broken:
        return f"broken: {', '.join(broken)}"
    return "kept" if hole.checks else "panel unknown"


def leak_table(scene: Scene, told: Dossier) -> Table:
    """What each failure would spill."""
    system, room = scene.show, scene.site.room
    both = zip(told.leaks.as_built, told.leaks.with_breaks, strict=True)
    rows = tuple(
        (
            leak.where,
            shown(leak.lost, "volume", system),
            shown(leak.time, "time", system),
            "no room given" if leak.on_floor is None else shown(rough(leak.on_floor), "length", system),
            shown(broken.lost, "volume", system),
        )
        for leak, broken in both
        if leak.lost > 0
    )
    columns = (
        ("", WORD),
        ("spills", FIGURE),
        ("within", FIGURE),
        ("deep on the floor", FIGURE),
        ("with siphon breaks", FIGURE),
    )
    where = "" if room is None else f", in a room of {shown(room, 'area', system)}"
    return Table(f"If it breaks{where}", columns, rows)


def rough(value: float) -> float:
    """Two digits of a figure that stands on a guess."""
    return float(f"{value:.2g}")


def service_table(told: Dossier, system: System) -> Table:
    """How each pump comes out."""
    rows = tuple(
        (service.pump, ", ".join(service.missing) or "nothing", shown(service.trapped, "volume", system))
        for service in told.services
    )
    return Table("To take a pump out", (("", WORD), ("what is missing", WORD), ("runs into the tray", FIGURE)), rows)


def part_table(told: Dossier, system: System) -> Table:
    """What to buy."""
    rows = tuple((part.part, part.size, quantity(part, system)) for part in summed(told.parts))
    return Table("Parts", (("", WORD), ("size", WORD), ("", FIGURE)), rows)


def quantity(part: Part, system: System) -> str:
    """How much of a part."""
    return shown(part.quantity, "length", system) if part.unit == "m" else f"{part.quantity:.0f}"
