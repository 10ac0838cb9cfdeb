"""flowviz check: a scene read and put into cells, nothing solved."""

from collections.abc import Sequence
from dataclasses import asdict
from typing import TYPE_CHECKING

import click
from rich.text import Text

from flowviz.cli.options import cell_edge, cell_option, faults_of, json_option, scene_argument
from flowviz.cli.words import Command, Words, print_cautions, print_json
from flowviz.units import counted, shown

if TYPE_CHECKING:
    from flowviz.grid.grid import Grid
    from flowviz.scene.model import Caution, Scene


@click.command(cls=Command)
@scene_argument
@cell_option
@json_option
def check(scene_file: str, cell: str | None, as_json: bool) -> None:
    """Read a scene, list faults and cautions, solve nothing."""
    from flowviz.plumbing.drilling import hole_cautions
    from flowviz.plumbing.heights import height_cautions
    from flowviz.scene.file import read_scene

    scene = read_scene(scene_file)
    grid = looked_through(scene, scene_file, cell_edge(cell, scene.show))
    cautions = (*scene.cautions, *height_cautions(scene), *hole_cautions(scene))
    if as_json:
        print_json(numbers(scene, grid, cautions))
        return
    words = Words()
    volume = shown(grid.water_volume, "volume", scene.show)
    cells = counted(int(grid.water.sum()), scene.show)
    words.print(Text(f"{scene.title}: no faults found. {volume} of water in {cells} cells."))
    print_cautions(words, cautions)


def looked_through(scene: "Scene", scene_file: str, edge: float | None) -> "Grid":
    """The cells of a scene, once its loop and each of its phases are known to be sound."""
    from flowviz.grid.voxelise import voxelise
    from flowviz.plumbing.network import network
    from flowviz.plumbing.phases import check_phase

    with faults_of(scene_file):
        if scene.pipes:
            network(scene)
        for phase in scene.phases:
            check_phase(scene, phase)
        return voxelise(scene, edge)


def numbers(scene: "Scene", grid: "Grid", cautions: Sequence["Caution"]) -> dict[str, object]:
    """The machine's form of what is told."""
    return {
        "scene": scene.title,
        "cells": grid.kind.size,
        "water_cells": int(grid.water.sum()),
        "water_volume_m3": grid.water_volume,
        "cautions": [asdict(caution) for caution in cautions],
    }
