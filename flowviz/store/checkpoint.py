"""What an interrupted fine run left, to be gone on from: one file beside the folder of its results."""

import json
import os
import time
from collections.abc import Callable
from hashlib import sha256
from importlib.metadata import version
from pathlib import Path
from zipfile import BadZipFile

import numpy as np

from flowviz.errors import InputError
from flowviz.flow.state import State
from flowviz.folder import beside, told
from flowviz.scene.model import Scene
from flowviz.study import Settings

MINUTE = 60.0  # from one state that is kept to the next [s]
BELONGS = "belongs"  # name of the words that say what a state belongs to


class Checkpoint:
    """Keeps the state of a fine run every minute, whole or not at all."""

    def __init__(self, target: str | Path, scene: Scene, settings: Settings) -> None:
        self._file = beside(Path(target).resolve(), "checkpoint.npz")
        self._belongs = {
            "another version": version("flowviz"),
            "another scene": digest(scene),
            "other settings": repr(settings),
        }
        self.useful = False  # there is something that this run can be gone on from
        self._kept: State | None = None
        self._due = time.monotonic() + MINUTE

    def take_up(self) -> None:
        """Read what an earlier run left. Raises InputError where there is nothing that this run can go on from."""
        remedy = "Run it without --resume"
        if not self._file.exists():
            raise InputError("--resume", "no earlier run of this folder left anything to go on from", remedy)
        try:
            with self._file.open("rb") as file, np.load(file, allow_pickle=False) as stored:
                kept = dict(stored)
            belongs = json.loads(str(kept.pop(BELONGS)))
        except (OSError, ValueError, KeyError, EOFError, BadZipFile) as error:
            raise InputError("--resume", f"what was left cannot be read ({error})", remedy) from error
        for other, mine in self._belongs.items():
            if belongs.get(other) != mine:
                raise InputError("--resume", f"what was left belongs to {other}", remedy)
        self._kept, self.useful = kept, True

    def last(self) -> State | None:
        """What was taken up, once: it is large."""
        kept, self._kept = self._kept, None
        return kept

    def offer(self, state: Callable[[], State]) -> None:
        """Keep the state if a minute has gone since the last one."""
        if time.monotonic() >= self._due:
            self._write(state())
            self._due = time.monotonic() + MINUTE

    def remove(self) -> None:
        """Forget it, once its run is done."""
        self._file.unlink(missing_ok=True)

    def _write(self, state: State) -> None:
        """Put a state in the place of the one before."""
        fresh = self._file.with_suffix(".new")
        with told(self._file):
            try:
                with fresh.open("wb") as file:
                    np.savez(file, **{BELONGS: np.array(json.dumps(self._belongs))}, **state)
                    file.flush()
                    os.fsync(file.fileno())
                fresh.replace(self._file)
                self.useful = True
            finally:
                fresh.unlink(missing_ok=True)


def digest(scene: Scene) -> str:
    """A short form of all that a scene says, with the files that it names."""
    source = scene.source
    parts = [repr(scene).encode()] if source is None else [source.text.encode(), *source.files.values()]
    return sha256(b"".join(sha256(part).digest() for part in parts)).hexdigest()
