"""The commands. The only place that prints: results on stdout, progress and faults on stderr.

One file a command; commands.py lists them, options.py has what several of them take, words.py what they print. What
they need is loaded where it can be interrupted already, so this file imports nothing of its own.
"""

import sys
from collections.abc import Iterator
from contextlib import contextmanager

INTERRUPTED = 130  # what shells use for Ctrl-C


def main() -> None:
    """The command line."""
    with interruptible():
        from flowviz.cli.commands import commands

        commands()


@contextmanager
def interruptible() -> Iterator[None]:
    """End with one line and a status of its own where Ctrl-C is pressed; what the interruption brings is told too."""
    try:
        yield
    except KeyboardInterrupt as stopped:
        print("; ".join(("flowviz: stopped", "nothing was written", *stopped.args)), file=sys.stderr)
        sys.exit(INTERRUPTED)
