"""The levels of the flow against each other, as the README's table has them: python tests/bench/levels.py SCENE...

The fine field of each scene is kept in a folder, since it takes minutes; delete it to have it marched again.
"""

import pickle
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from time import perf_counter

import click
import numpy as np
from scipy.fft import dctn, idctn

from flowviz.flow.field import Field
from flowviz.flow.solve import solve_flow
from flowviz.formulas.water import kinematic_viscosity
from flowviz.grid.grid import Grid
from flowviz.grid.voxelise import voxelise
from flowviz.plumbing.solve import solve_loop
from flowviz.scene.file import read_scene
from flowviz.scene.model import Limits

TENTH = 10  # percentile of the fine speed below which water counts as a pocket


@dataclass(frozen=True)
class Tank:
    """A scene, ready to be solved."""

    name: str
    grid: Grid
    limits: Limits
    solve: Callable[..., Field]  # of the detail, and what else solve_flow takes


def tank(path: Path, cell: float | None) -> Tank:
    """Of a scene file."""
    scene = read_scene(path)
    grid, rates = voxelise(scene, cell), solve_loop(scene).rates
    viscosity = kinematic_viscosity(scene.water.temperature, scene.water.salinity)
    limits = scene.limits
    watch = (limits.dead, limits.over)
    return Tank(
        path.stem, grid, limits, lambda detail, **more: solve_flow(grid, rates, viscosity, detail, watch=watch, **more)
    )


def agreement(predicted: np.ndarray, observed: np.ndarray, over: float) -> tuple[float, float, float, float]:
    """Share within a factor of 2, absolute fractional bias, overlap of over-strong and of the slowest tenth [-].

    predicted, observed    time-mean speeds of the same water cells (n,) [m/s]

    J. C. Chang & S. R. Hanna, Meteorol. Atmos. Phys. 87 (2004) 167-196.
    """
    within = np.mean((predicted >= observed / 2) & (predicted <= observed * 2))
    bias = abs(observed.mean() - predicted.mean()) / (observed.mean() + predicted.mean()) * 2
    slow = np.percentile(observed, TENTH)
    return within, bias, overlap(predicted > over, observed > over), overlap(predicted < slow, observed < slow)


def overlap(one: np.ndarray, other: np.ndarray) -> float:
    """Intersection over union [-]; NaN where both are empty."""
    union = np.count_nonzero(one | other)
    return np.count_nonzero(one & other) / union if union else np.nan


def fine_field(tank: Tank, kept: Path) -> Field:
    """The fine field, marched if it is not kept yet."""
    file = kept / f"{tank.name}.pickle"
    if not file.exists():
        field = tank.solve(
            "fine", progress=lambda stage: click.echo(f"\r{tank.name} {stage.share:.0%} ", nl=False, err=True)
        )
        file.write_bytes(pickle.dumps(field))
    field = pickle.loads(file.read_bytes())
    assert field.speed.shape == tank.grid.shape, f"{file} is of another grid"
    return field


def timed(work: Callable[[], Field], repeats: int) -> tuple[Field, float]:
    """The result and the shortest time of some repeats [s]."""
    times = []
    for _ in range(repeats):
        begun = perf_counter()
        field = work()
        times.append(perf_counter() - begun)
    return field, min(times)


def cosine_pair(shape: tuple[int, int, int]) -> float:
    """Time of a cosine transform of the grid and back [s], the shortest of many."""
    values = np.random.default_rng(0).random(shape, np.float32)
    return timed(lambda: idctn(dctn(values)), 20)[1]


def rows(tank: Tank, kept: Path) -> list[str]:
    """The lines of the table for one scene."""
    water, over = tank.grid.water, tank.limits.over
    fine = fine_field(tank, kept)
    half = len(fine.batches) // 2
    windows = (fine.batches[:half].mean(axis=0)[water], fine.batches[half : 2 * half].mean(axis=0)[water])
    span = fine.quality.averaged / 2
    lines = [line(tank, f"two windows of fine, {span:.0f} s", agreement(*windows, over), "")]
    pair = cosine_pair(tank.grid.shape)
    for detail, repeats in (("coarse", 2), ("sketch", 3)):
        field, time = timed(lambda detail=detail: tank.solve(detail), repeats)
        lines.append(line(tank, detail, agreement(field.speed[water], fine.speed[water], over), times(time, pair)))
    field, time = timed(lambda field=field: tank.solve("sketch", start=field), 3)
    lines.append(
        line(tank, "sketch, dragged", agreement(field.speed[water], fine.speed[water], over), times(time, pair))
    )
    return lines


def times(time: float, pair: float) -> str:
    """A time as it was, and in cosine pairs."""
    return f"{time:.2f} s, {time / pair:.0f} pairs"


def line(tank: Tank, what: str, figures: tuple[float, ...], time: str) -> str:
    """One line of the table."""
    return f"| {tank.name} | {what} | " + " | ".join(f"{figure:.2f}" for figure in figures) + f" | {time} |"


@click.command()
@click.argument("scenes", nargs=-1, type=click.Path(path_type=Path, exists=True))
@click.option("--cell", type=float, help="edge of a cell [m]; else chosen from the tank")
@click.option("--keep", type=click.Path(path_type=Path), default=Path("fine-fields"), help="folder for the fine fields")
def main(scenes: tuple[Path, ...], cell: float | None, keep: Path) -> None:
    """Print the table for some scenes."""
    keep.mkdir(exist_ok=True)
    click.echo("| scene | level | within a factor of 2 | bias | overlap, over-strong | overlap, slowest tenth | time |")
    click.echo("|---|---|---|---|---|---|---|")
    for path in scenes:
        click.echo("\n".join(rows(tank(path, cell), keep)))


if __name__ == "__main__":
    main()
