"""A fine field in ever smaller cells, as the README's table has it: python tests/bench/refinement.py

The shares of dead and too-strong water and the mean speed of one scene on three grids, each with its 95 % interval,
and what the grid convergence index makes of them; where no two neighbours differ by more than their intervals, it only
tells of chance. It takes about four minutes on two idle cores.
"""

from itertools import pairwise
from math import hypot, inf, isfinite
from pathlib import Path

import click
import numpy as np

from flowviz import Settings, read_scene, run
from flowviz.flow import levels
from flowviz.formulas.convergence import grid_convergence
from flowviz.scene.model import Scene
from flowviz.study import Study

FIRST = Path(__file__).parents[2] / "scenes" / "first.toml"
CELLS = (25.0, 18.75, 14.0)  # [mm]
AVERAGED = 60.0  # time that each field is averaged over at most [s]


def studies(scene: Scene, cells: tuple[float, ...]) -> list[Study]:
    """The scene at fine detail, from the largest cells to the smallest."""
    done = []
    for cell in sorted(cells, reverse=True):
        click.echo(f"cells of {cell:g} mm", err=True)
        done.append(run(scene, Settings("fine", cell / 1000)))
    return done


def figures(study: Study) -> dict[str, tuple[float, float]]:
    """The water as a whole: each figure and the half-width of its interval."""
    measures = study.measures
    values = {
        "dead_fraction": measures.dead_fraction,
        "over_fraction": measures.over_fraction,
        "mean": measures.speed.mean,
    }
    return {name: (value, measures.uncertainty[name]) for name, value in values.items()}


def row(name: str, done: list[Study]) -> str:
    """One line of the table."""
    known = [figures(study)[name] for study in done]
    edges = [study.grid.cell_volume ** (1 / 3) for study in done]
    coarse, middle, fine = (value for value, _ in known)
    found = grid_convergence(fine, middle, coarse, edges[1] / edges[2], edges[0] / edges[1])
    index = f"{found.index:.0%}" if isfinite(found.index) else "none"
    order = f"{found.order:.1f}" if found.order < inf else "-"
    beyond = any(abs(a - b) > hypot(x, y) for (a, x), (b, y) in pairwise(known))
    cells = " | ".join(f"{value:.4f} ± {half:.4f}" for value, half in known)
    return f"| {name} | {cells} | {order} | {found.extrapolated:.4f} | {index} | {'yes' if beyond else 'no'} |"


@click.command()
@click.argument("scene", type=click.Path(path_type=Path, exists=True), default=FIRST)
@click.option("--cell", "cells", multiple=True, type=float, default=CELLS, help="edge of the cells [mm]; three of them")
@click.option("--averaged", type=float, default=AVERAGED, help="longest time that is averaged over [s]")
def main(scene: Path, cells: tuple[float, ...], averaged: float) -> None:
    """Print the table for one scene."""
    levels.LONGEST = averaged
    done = studies(read_scene(scene), cells)
    counts = " | ".join(f"{np.count_nonzero(study.grid.water)} cells" for study in done)
    click.echo(f"| {scene.stem} | {counts} | order | extrapolated | index | differ by more than known |")
    click.echo("|---" * 8 + "|")
    for name in figures(done[0]):
        click.echo(row(name, done))


if __name__ == "__main__":
    main()
