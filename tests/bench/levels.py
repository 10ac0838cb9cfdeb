"""The levels of the flow against each other, as the README's table has them: python tests/bench/levels.py

Of eight scenes, two of which were never looked at while tuning. The fine fields are marched two at a time, each on one
thread, and kept in a folder, since they take minutes; delete it to have them marched again. Two are marched of each
scene, for a tank may go one way or another for minutes. Everything takes about forty minutes on two idle cores. With
--record the figures that pockets are judged by are written as well:

    python tests/bench/levels.py --record flowviz/assess/levels.csv
"""

import csv
import pickle
from collections.abc import Callable, Iterable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import astuple, dataclass, fields
from functools import partial
from pathlib import Path
from time import perf_counter
from typing import Any

import click
import numpy as np
from scipy.fft import dctn, idctn

from flowviz.flow import levels, team
from flowviz.flow.field import Field
from flowviz.flow.solve import solve_flow
from flowviz.formulas.water import kinematic_viscosity
from flowviz.grid.grid import Grid
from flowviz.grid.voxelise import voxelise
from flowviz.looks import MARCHES
from flowviz.plumbing.solve import solve_loop
from flowviz.scene.file import read_scene
from flowviz.scene.model import Limits

HERE = Path(__file__).parent
SHIPPED = ("peninsula", "peninsula_moved", "cylinder", "first", "in_wall", "raceway")
UNSEEN = ("islands", "wall")
SCENES = (
    *(HERE.parents[1] / "scenes" / f"{name}.toml" for name in SHIPPED),
    *(HERE / "scenes" / f"{name}.toml" for name in UNSEEN),
)
RUNS, FINES = 4, 2  # marches of each level below, and of fine: what one comes to is much a matter of chance
TENTH = 10  # percentile of the fine speed below which water counts as a pocket
WINDOWS, DRAGGED = "two windows of fine", "sketch, dragged"
TOGETHER = {f"{detail}, {MARCHES[detail]} together": detail for detail in ("coarse", "sketch")}
RECORDED = {  # by detail and marches taken together
    ("fine", 1): WINDOWS,
    **{(detail, 1): detail for detail in TOGETHER.values()},
    **{(detail, MARCHES[detail]): what for what, detail in TOGETHER.items()},
}


@dataclass(frozen=True)
class Tank:
    """A scene, ready to be solved."""

    name: str
    grid: Grid
    limits: Limits
    solve: Callable[..., Field]  # of the detail, and what else solve_flow takes


@dataclass(frozen=True)
class Agreement:
    """How a predicted speed of cells agrees with an observed one [-]; NaN where there is nothing to compare."""

    within_a_factor_of_2: float
    bias: float  # absolute, fractional
    overlap_over: float  # intersection over union, of what is too strong by the scene's limit
    overlap_dead: float  # of the slowest tenth of what was observed
    confirmed_over: float  # share of what is predicted to be too strong that was observed to be
    confirmed_dead: float


def tank(path: Path, cell: float | None) -> Tank:
    """Of a scene file."""
    scene = read_scene(path)
    grid, rates, limits = voxelise(scene, cell), solve_loop(scene).rates, scene.limits
    viscosity = kinematic_viscosity(scene.water.temperature, scene.water.salinity)
    watch = limits.dead, limits.over
    solve = partial(solve_flow, grid, rates, viscosity, watch=watch)
    return Tank(path.stem, grid, limits, lambda detail, **more: solve(detail=detail, **more))


def agreement(tank: Tank, predicted: np.ndarray, observed: np.ndarray) -> Agreement:
    """Of two time-mean speeds (nx, ny, nz) [m/s], by volume.

    J. C. Chang & S. R. Hanna, Meteorol. Atmos. Phys. 87 (2004) 167-196.
    """
    water, over = tank.grid.clear, tank.limits.over
    predicted, observed, volumes = predicted[water], observed[water], tank.grid.open_volume[water].astype(float)
    within = share((predicted >= observed / 2) & (predicted <= observed * 2), np.full(volumes.shape, True), volumes)
    means = [float(np.average(speeds, weights=volumes)) for speeds in (predicted, observed)]
    slow = np.percentile(observed, TENTH, weights=volumes, method="inverted_cdf")
    sides = (predicted > over, observed > over), (predicted < slow, observed < slow)
    overlaps = (share(one & other, one | other, volumes) for one, other in sides)
    confirmed = (share(one & other, one, volumes) for one, other in sides)
    return Agreement(within, 2 * abs(means[1] - means[0]) / sum(means), *overlaps, *confirmed)


def share(chosen: np.ndarray, of: np.ndarray, volumes: np.ndarray) -> float:
    """What is chosen of some cells, by volume [-]; NaN of none."""
    whole = volumes[of].sum()
    return float(volumes[chosen].sum() / whole) if whole else np.nan


def kept(folder: Path, path: Path, seed: int) -> Path:
    """The file of one of a scene's fine fields."""
    return folder / f"{path.stem}-{seed}.pickle"


def march_fine(path: Path, seed: int, cell: float | None, folder: Path) -> str:
    """March one of the fine fields of a scene on one thread and keep it, unless it is kept already."""
    team.HELPERS = 0
    file = kept(folder, path, seed)
    if not file.exists():
        file.write_bytes(pickle.dumps(tank(path, cell).solve("fine", seed=seed)))
    return f"{path.stem}, {seed}"


def timed(works: Iterable[Callable[[], Any]]) -> tuple[list[Any], float]:
    """The results and the shortest time of some works [s]."""
    results, times = [], []
    for work in works:
        begun = perf_counter()
        results.append(work())
        times.append(perf_counter() - begun)
    return results, min(times)


def cosine_pair(shape: tuple[int, int, int]) -> float:
    """Time of a cosine transform of the grid and back [s], the shortest of many."""
    values = np.random.default_rng(0).random(shape, np.float32)
    return timed([lambda: idctn(dctn(values))] * 20)[1]


def halves(tank: Tank, fine: Field) -> Agreement:
    """How the windows of the first half of a fine run agree with those of the second."""
    half = len(fine.batches) // 2
    return agreement(tank, fine.batches[:half].mean(axis=0), fine.batches[half : 2 * half].mean(axis=0))


def compared(tank: Tank, fines: list[Field]) -> dict[str, tuple[Agreement, str]]:
    """How the levels agree with each of the fine fields of one scene, on average, and how long each took."""
    pair = cosine_pair(tank.grid.shape)
    assert all(fine.speed.shape == tank.grid.shape for fine in fines), f"fields kept of {tank.name} are of another grid"
    averaged = np.mean([fine.quality.averaged / 2 for fine in fines])
    found = {WINDOWS: (over_all([halves(tank, fine) for fine in fines], np.nanmean), f"{averaged:.0f} s each")}
    tank.solve("sketch"), tank.solve("coarse")  # so that all is compiled
    begun = tank.solve("sketch")
    ways = {"coarse": ("coarse", None), "sketch": ("sketch", None), DRAGGED: ("sketch", begun)}
    works = {w: [partial(tank.solve, d, start=start, seed=n) for n in range(RUNS)] for w, (d, start) in ways.items()}
    works |= {what: [partial(tank.solve, detail, marches=MARCHES[detail])] for what, detail in TOGETHER.items()}
    for what, each in works.items():
        runs, time = timed(each)
        told = f"{time:.2f} s, {time / pair:.0f} pairs"
        each = [agreement(tank, field.speed, fine.speed) for field in runs for fine in fines]
        found[what] = over_all(each, np.nanmean), told
    return found


def line(name: str, what: str, figures: Agreement, time: str) -> str:
    """One line of the table."""
    return f"| {name} | {what} | " + " | ".join(f"{figure:.2f}" for figure in astuple(figures)) + f" | {time} |"


def over_all(found: list[Agreement], middle: Callable[[tuple[float, ...]], np.floating] = np.nanmedian) -> Agreement:
    """The middle of several, figure by figure."""
    return Agreement(*(float(middle(column)) for column in zip(*map(astuple, found), strict=True)))


def record(file: Path, found: dict[str, list[Agreement]]) -> None:
    """Write what pockets are judged by, of the median scene and of the worst."""
    with file.open("w", encoding="utf-8", newline="") as text:
        text.write(
            f"# Of the water that a level found dead or too strong, the share that a fine run found so too: means of "
            f"{RUNS} single marches, or one run of several, against {FINES}, the median of the tanks and the least. "
            f"Dead is the slowest {TENTH} % of the fine run's water, too strong what is above the scene's limit. Fine: "
            f"one half of its windows, up to {levels.LONGEST / 2:.0f} s, against the other. "
            f"Made by tests/bench/levels.py\n"
        )
        table = csv.writer(text, lineterminator="\n")
        table.writerow(("detail", "marches", "kind", "confirmed", "least_confirmed", "scenes"))
        for (detail, marches), what in RECORDED.items():
            for kind in ("dead", "over"):
                shares = [getattr(each, f"confirmed_{kind}") for each in found[what]]
                told = (f"{figure:.2f}" for figure in (np.nanmedian(shares), np.nanmin(shares)))
                table.writerow((detail, marches, kind, *told, np.isfinite(shares).sum()))


@click.command()
@click.argument("scenes", nargs=-1, type=click.Path(path_type=Path, exists=True))
@click.option("--cell", type=float, help="edge of a cell [m]; else chosen from the tank")
@click.option("--keep", type=click.Path(path_type=Path), default=Path("fine-fields"), help="folder for the fine fields")
@click.option("--record", "file", type=click.Path(path_type=Path), help="write what pockets are judged by")
def main(scenes: tuple[Path, ...], cell: float | None, keep: Path, file: Path | None) -> None:
    """Print the table, of all scenes where none is named."""
    scenes = scenes or SCENES
    keep.mkdir(exist_ok=True)
    with ProcessPoolExecutor(2) as pool:
        works = [(path, seed, cell, keep) for path in scenes for seed in range(FINES)]
        for name in pool.map(march_fine, *zip(*works, strict=True)):
            click.echo(f"{name}: marched", err=True)
    columns = [field.name.replace("_", " ") for field in fields(Agreement)]
    click.echo(f"| scene | level | {' | '.join(columns)} | time |\n|{'---|' * (len(columns) + 3)}")
    found: dict[str, list[Agreement]] = {}
    for path in scenes:
        fines = [pickle.loads(kept(keep, path, seed).read_bytes()) for seed in range(FINES)]
        for what, (figures, time) in compared(tank(path, cell), fines).items():
            found.setdefault(what, []).append(figures)
            click.echo(line(path.stem, what, figures, time))
    for what, each in found.items():
        click.echo(line("median", what, over_all(each), ""))
    if file:
        record(file, found)


if __name__ == "__main__":
    main()
