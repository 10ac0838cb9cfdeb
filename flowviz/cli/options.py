"""What several commands take."""

from collections.abc import Iterator
from contextlib import contextmanager
from math import isfinite

import click

from flowviz.errors import ConvergenceError, InputError, seen
from flowviz.units import QuantityError, System, suggestion, to_si


class Count(click.IntRange):
    """A whole number from one to another."""

    def convert(self, value: object, param: click.Parameter | None, ctx: click.Context | None) -> int:
        """The number; what is none, or is out of the range, is told in words."""
        try:
            return super().convert(value, param, ctx)
        except click.BadParameter:
            self.fail(f"{seen(value)} is no whole number from {self.min} to {self.max}", param, ctx)


scene_argument = click.argument("scene_file", metavar="SCENE")
json_option = click.option("--json", "as_json", is_flag=True, help="Print the machine's form of the result.")
cell_option = click.option("--cell", metavar="LENGTH", help="Edge of a cell, such as '20 mm'; default: by the tank.")
detail_option = click.option(
    "--detail",
    type=click.Choice(("sketch", "coarse", "fine")),
    default="sketch",
    show_default=True,
    help="A sketch shows in seconds where to look; fine takes minutes, before glass is drilled.",
)
marches_option = click.option(
    "--marches",
    type=Count(1, 64),
    help="Independent marches of each scene, whose mean is taken; more tell shares closer. "
    "Default: sketch 12, coarse 8, fine 1.",
)


def cell_edge(written: str | None, system: System = "metric") -> float | None:
    """The edge of a cell as the user wrote it [m]; faults suggest the system's units first."""
    if written is None:
        return None
    try:
        edge = to_si(written, "length", system)
    except QuantityError as fault:
        raise InputError("--cell", f"{fault.where} {fault.fault}", fault.remedy) from None
    if not (isfinite(edge) and edge > 0):
        remedy = f"Write a length above zero, such as '{suggestion('20 mm', 'length', system)}'"
        raise InputError("--cell", f"a cell cannot be {written} wide", remedy)
    return edge


@contextmanager
def faults_of(scene_file: str) -> Iterator[None]:
    """Name the file before faults that a scene shows only once it is computed; those that reading shows name it."""
    try:
        yield
    except (InputError, ConvergenceError) as fault:
        raise type(fault)(f"{scene_file}: {fault.where}", fault.fault, fault.remedy) from fault
