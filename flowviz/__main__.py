"""`python -m flowviz`: the command line."""

from flowviz.cli import main

main()
