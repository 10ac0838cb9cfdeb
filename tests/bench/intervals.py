"""How often the intervals of a sketch hold what many more marches give: python tests/bench/intervals.py

Each march by itself, and as many together as a command takes. A quarter of an hour on two idle cores.
"""

from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import click
import numpy as np
from levels import SCENES, Tank, tank

from flowviz.assess.measures import Measures, measure
from flowviz.flow.field import Field
from flowviz.flow.together import together
from flowviz.looks import MARCHES
from flowviz.scene.file import read_scene
from flowviz.scene.model import Scene

GROUPS, TOGETHER = 8, MARCHES["sketch"]
FIGURES = ("dead_fraction", "over_fraction")


def groups(of: Tank) -> Iterator[list[Field]]:
    """Sketches of a tank, each from other random numbers, as many in each group as are taken together."""
    for group in range(GROUPS):
        yield [of.solve("sketch", seed=group * TOGETHER + number) for number in range(TOGETHER)]


def held(found: list[Measures], truth: Measures) -> str:
    """How often the interval of each share held the truth, and between which the shares lay."""
    counts = Counter()
    for each in found:
        counts.update(n for n in FIGURES if abs(getattr(each, n) - getattr(truth, n)) <= each.uncertainty[n])
    dead = [100 * each.dead_fraction for each in found]
    told = " | ".join(f"{counts[name]} of {len(found)}" for name in FIGURES)
    return f"{told} | {np.mean(dead):.1f} ({min(dead):.1f} to {max(dead):.1f}) %"


def tried(scene: Scene, of: Tank) -> Iterator[tuple[str, str]]:
    """What single marches and groups of them held of what all of them give."""
    singles, several, whole = [], [], []
    for fields in groups(of):
        singles += [measure(scene, of.grid, field) for field in fields]
        whole.append(together(fields))
        several.append(measure(scene, of.grid, whole[-1]))
    truth = measure(scene, of.grid, together(whole))
    yield "all", f"– | – | {100 * truth.dead_fraction:.1f} %"
    yield "1", held(singles, truth)
    yield str(TOGETHER), held(several, truth)


@click.command()
@click.argument("scenes", nargs=-1, type=click.Path(path_type=Path, exists=True))
def main(scenes: tuple[Path, ...]) -> None:
    """Print the table, of all scenes where none is named."""
    click.echo("| scene | marches together | dead share held | too-strong share held | dead |\n|---|---|---|---|---|")
    for path in scenes or SCENES:
        for marches, told in tried(read_scene(path), tank(path, None)):
            click.echo(f"| {path.stem} | {marches} | {told} |")


if __name__ == "__main__":
    main()
