"""What the pumps do, and what goes through each opening."""

from flowviz.plumbing.loop import Loop
from flowviz.scene.model import Scene
from flowviz.tables.table import FIGURE, WORD, Table, in_one_unit, percent
from flowviz.units import shown


def loop_tables(scene: Scene, loop: Loop) -> tuple[Table, ...]:
    """What the pumps do, and what comes out of each outlet and goes into each intake."""
    tables = (pump_table(scene, loop), outlet_table(scene, loop), intake_table(scene, loop))
    return tuple(table for table in tables if table.rows)


def pump_table(scene: Scene, loop: Loop) -> Table:
    """The duty point of each pump."""
    rows = tuple(
        (
            name,
            shown(duty.flow, "flow", scene.show),
            shown(duty.head, "head", scene.show),
            percent(duty.surviving_share),
            shown(duty.npsh_available, "head", scene.show),
            "not given" if duty.npsh_margin is None else shown(duty.npsh_margin, "head", scene.show),
        )
        for name, duty in loop.pumps.items()
    )
    columns = (
        ("", WORD),
        ("flow", FIGURE),
        ("head", FIGURE),
        ("of open flow", FIGURE),
        ("suction head", FIGURE),
        ("to spare", FIGURE),
    )
    slowed = any(duty.npsh_margin is not None and duty.speed_share < 1 for duty in loop.pumps.values())
    told = ". To spare: over what is required at full speed" if slowed else ""
    return Table(f"Pumps{told}", columns, rows)


def outlet_table(scene: Scene, loop: Loop) -> Table:
    """What leaves each outlet."""
    speeds = [loop.rates[outlet.name] / outlet.aperture.area for outlet in scene.outlets]
    rows = tuple(
        (outlet.name, shown(loop.rates[outlet.name], "flow", scene.show), speed)
        for outlet, speed in zip(scene.outlets, in_one_unit(speeds, "speed", scene.show), strict=True)
    )
    return Table("Outlets", (("", WORD), ("flow", FIGURE), ("speed at the opening", FIGURE)), rows)


def intake_table(scene: Scene, loop: Loop) -> Table:
    """What goes into each intake, and how fast through its strainer."""
    rows = tuple(
        (
            intake.name,
            shown(-loop.rates[intake.name], "flow", scene.show),
            "no strainer"
            if intake.strainer is None
            else shown(loop.intakes[intake.name].screen_speed, "speed", scene.show),
        )
        for intake in scene.intakes
    )
    return Table("Intakes", (("", WORD), ("flow", FIGURE), ("speed through the strainer", FIGURE)), rows)
