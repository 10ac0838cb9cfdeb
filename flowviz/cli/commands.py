"""The list of the commands, and what becomes of their faults."""

import atexit
import gc
from collections.abc import Iterator
from contextlib import contextmanager

import click

from flowviz.cli import interruptible
from flowviz.cli.check import check
from flowviz.cli.compare import compare
from flowviz.cli.plumb import plumb
from flowviz.cli.report import report
from flowviz.cli.run import run
from flowviz.cli.words import drop_the_rest, writing
from flowviz.errors import FlowvizError

DONE = 0
RARELY = (20_000, 5, 5)  # new objects, and rounds, between searches for garbage: after 700 they took a tenth of a run


class Commands(click.Group):
    """Commands whose foreseen faults are one line and an exit status."""

    def list_commands(self, context: click.Context) -> list[str]:
        """In the order a design goes, not by the alphabet."""
        return list(self.commands)

    def parse_args(self, context: click.Context, args: list[str]) -> list[str]:
        """Read what stands before the command; help is written here."""
        with told(context), one_line(context), writing():
            return super().parse_args(context, args)

    def invoke(self, context: click.Context) -> object:
        """Run the command that was asked for."""
        gc.set_threshold(*RARELY)
        atexit.register(gc.freeze)  # the interpreter else searches all there is once more before it ends: 0.7 s
        with told(context), interruptible(), one_line(context):
            return super().invoke(context)


@contextmanager
def told(context: click.Context) -> Iterator[None]:
    """Tell a foreseen fault in one line, and end with its status."""
    try:
        yield
    except FlowvizError as fault:
        click.echo(f"flowviz: {fault}", err=True)
        context.exit(fault.exit_status)
    except BrokenPipeError:  # "| head" has read enough
        drop_the_rest()
        context.exit(DONE)


@contextmanager
def one_line(context: click.Context) -> Iterator[None]:
    """Tell in one line what click tells in four: words that are none of the commands'."""
    try:
        yield
    except click.exceptions.NoArgsIsHelpError:
        raise
    except click.UsageError as fault:
        path, said = path_of(fault, context), fault.format_message()
        click.echo(f"{path}: {said}{'' if said[-1] in '.?' else '.'} Try '{path} --help'", err=True)
        context.exit(fault.exit_code)


def path_of(fault: click.UsageError, context: click.Context) -> str:
    """The command that a fault is of; where an option lacks its value the fault itself does not know."""
    if fault.ctx is not None:
        return fault.ctx.command_path
    return " ".join(filter(None, (context.command_path, context.invoked_subcommand)))


@click.group(cls=Commands)
@click.version_option(package_name="flowviz")
def commands() -> None:
    """Water in a display aquarium fed by a closed loop: what leaves each outlet, where it is dead, where too strong."""


for command in (check, plumb, run, compare, report):
    commands.add_command(command)
