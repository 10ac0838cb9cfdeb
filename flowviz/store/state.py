"""The arrays of a study, as fields.npz holds them."""

from dataclasses import astuple
from pathlib import Path
from zipfile import BadZipFile

import numpy as np

from flowviz.errors import InputError
from flowviz.flow.field import Field, Quality
from flowviz.grid.grid import Grid

FIELDS = ("u", "v", "w", "speed", "fluctuation", "batches")


def save_field(path: Path, grid: Grid, field: Field) -> None:
    """Write a field, and the kinds of the cells it was solved on."""
    arrays = {name: getattr(field, name) for name in FIELDS}
    np.savez(path, kind=grid.kind, quality=np.array(astuple(field.quality), np.float64), **arrays)


def load_field(path: Path, grid: Grid) -> Field:
    """The field that was solved on a grid. Raises InputError if it is damaged or belongs to another grid."""
    try:
        with path.open("rb") as file, np.load(file, allow_pickle=False) as stored:
            kind, quality = stored["kind"], read_quality(stored["quality"])
            arrays = {name: stored[name] for name in FIELDS}
    except (OSError, ValueError, KeyError, EOFError, BadZipFile) as error:
        raise InputError(str(path), f"cannot be read ({error})", "Run the scene again") from error
    if not np.array_equal(kind, grid.kind):
        raise InputError(str(path), "was solved on other cells than this version makes", "Run the scene again")
    return Field(**arrays, quality=quality)


def read_quality(numbers: np.ndarray) -> Quality:
    """How well a field was solved; ValueError where something is missing."""
    balance, steps, simulated, averaged, steady, marches = numbers.tolist()
    return Quality(balance, int(steps), simulated, averaged, bool(steady), int(marches))
