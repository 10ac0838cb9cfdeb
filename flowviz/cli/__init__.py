"""The commands. The only place that prints: results on stdout, progress and faults on stderr.

One file a command; commands.py lists them, options.py has what several of them take, words.py what they print.
"""

from flowviz.cli.commands import main

__all__ = ["main"]
