"""A study as files: its numbers, its field for any viewer, and what is needed to take it up again."""

import json
from pathlib import Path, PurePosixPath

import numpy as np

from flowviz.cycle import solve_cycle, solved
from flowviz.errors import InputError, seen
from flowviz.folder import made
from flowviz.grid.voxelise import voxelise
from flowviz.plumbing.solve import solve_loop
from flowviz.scene.file import read_scene
from flowviz.scene.source import Source
from flowviz.store.image import image_text
from flowviz.store.state import load_field, save_field
from flowviz.store.summary import FORMAT, summary
from flowviz.study import Settings, Study, assessed, assessed_cycle

SUMMARY, IMAGE, FIELDS, SCENE = "summary.json", "field.vti", "fields.npz", "scene/scene.toml"
SETTINGS = ("detail", "asked_cell_m", "seed", "marches")  # keys of the summary, in the order of Settings


def write_study(study: Study, folder: str | Path) -> None:
    """Write a study into a folder, which is made if there is none (see fresh_folder for one that appears whole).

    One whose scene was read from a file can be read back. Raises OutputError where the folder cannot be made.
    """
    folder = made(folder)
    numbers = json.dumps(summary(study), indent=2, ensure_ascii=False, allow_nan=False)
    (folder / SUMMARY).write_text(f"{numbers}\n", encoding="utf-8")
    (folder / IMAGE).write_text(image_text(study.grid, study.field, further_values(study)), encoding="ascii")
    save_field(folder / FIELDS, study.grid, study.field)
    for number, moment in enumerate(solved(study.moments)[1:], start=1):
        save_field(folder / phase_file(number), study.grid, moment.field)
    if study.scene.source:
        write_source(study.scene.source, folder / SCENE)


def further_values(study: Study) -> dict[str, np.ndarray]:
    """What a study knows of each cell beside its flow."""
    cycled = {"dead_time": study.cycle.dead_time} if study.cycle else {}
    return cycled | ({"age": study.renewal.age} if study.renewal else {})


def phase_file(number: int) -> str:
    """Name of the file of the n-th flow that was solved; the main one's is 0."""
    return f"phase-{number}.npz" if number else FIELDS


def write_source(source: Source, path: Path) -> None:
    """Write a scene file and, beside it, the files it names."""
    path.parent.mkdir(exist_ok=True)
    path.write_bytes(source.text.encode("utf-8"))
    for name, content in source.files.items():
        copy = path.parent / PurePosixPath(name)
        copy.parent.mkdir(parents=True, exist_ok=True)
        copy.write_bytes(content)


def read_study(folder: str | Path) -> Study:
    """The study that a folder holds; loop, cells and measures are worked out anew, the field is read.

    Raises InputError where the folder holds no study, a damaged one, or one whose scene was not read from a file.
    """
    folder = Path(folder)
    settings = read_settings(folder)
    if not (folder / SCENE).is_file():
        raise InputError(str(folder), f"holds no {SCENE}", "Run the scene again from its file")
    scene = read_scene(folder / SCENE)
    grid = voxelise(scene, settings.cell)
    if scene.phases:
        moments = solve_cycle(scene, lambda number, rates: load_field(folder / phase_file(number), grid))
        return assessed_cycle(scene, settings, grid, moments)
    field = load_field(folder / FIELDS, grid)
    return assessed(scene, settings, solve_loop(scene), grid, field)


def read_settings(folder: Path) -> Settings:
    """How the study in a folder was computed."""
    path = folder / SUMMARY
    try:
        numbers = json.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError as error:
        fault = f"is no study: there is no {SUMMARY} in it"
        raise InputError(str(folder), fault, "Name a folder that flowviz run has written") from error
    except (OSError, ValueError) as error:
        fault = f"holds no readable {SUMMARY} ({error})"
        raise InputError(str(folder), fault, "Name a folder that flowviz run has written") from error
    if not isinstance(numbers, dict) or "format" not in numbers:
        raise InputError(str(path), "is not the summary of a study", "Name a folder that flowviz run has written")
    if numbers["format"] != FORMAT:
        fault = f"was written by another version ({seen(numbers['format'])}; this one reads {FORMAT!r})"
        raise InputError(str(folder), fault, "Run its scene again with this version")
    try:
        return Settings(*(numbers[name] for name in SETTINGS))
    except KeyError as error:
        raise InputError(str(path), f"is damaged: {error} is missing", "Run the scene again") from error
