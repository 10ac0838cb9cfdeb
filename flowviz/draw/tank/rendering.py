"""Has stills rendered by a process of its own, while this one goes on drawing."""

import os
import pickle
import subprocess
import sys
from collections.abc import Iterable, Iterator, Mapping
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory, TemporaryFile
from typing import BinaryIO

import numpy as np

from flowviz.errors import GraphicsError

RENDERER = Path(__file__).with_name("renderer.py")
NO_LIBRARY = 3  # exit status of the renderer where the graphics library cannot be loaded
PATIENCE = 120.0  # with the renderer [s]

WHERE = "three-dimensional still"
LINUX = "install the graphics library: apt-get install --no-install-recommends libegl1 libgl1-mesa-dri (Debian, Ubuntu)"
REMEDY = f"All else is drawn; {LINUX if sys.platform.startswith('linux') else 'update the graphics driver'}"


@dataclass(frozen=True, slots=True, eq=False)
class Rendering:
    """A still that is being rendered."""

    process: subprocess.Popen
    answer: BinaryIO
    complaints: BinaryIO
    size: tuple[int, int]  # width and height [pixels]

    def image(self) -> np.ndarray:
        """The picture (height, width, 3) uint8, once it is there.

        Raises GraphicsError, saying what to install, where this machine cannot render.
        """
        try:
            status = self.process.wait(PATIENCE)
        except subprocess.TimeoutExpired:
            raise GraphicsError(WHERE, f"the renderer gave no answer in {PATIENCE:.0f} s", REMEDY) from None
        pixels = np.frombuffer(all_of(self.answer), np.uint8)
        width, height = self.size
        if status != 0 or pixels.size != 3 * width * height:
            raise GraphicsError(WHERE, fault(status, all_of(self.complaints)), REMEDY)
        return pixels.reshape(height, width, 3)


@dataclass(frozen=True, slots=True, eq=False)
class Renderer:
    """A process that loads its libraries and then waits for a still to render."""

    process: subprocess.Popen
    folder: Path  # for what it is to render
    answer: BinaryIO
    complaints: BinaryIO

    def render(self, view: Mapping[str, object]) -> Rendering:
        """Have it render a still, its one and only; renderer.py tells what a view is."""
        order = self.folder / "view"
        with order.open("wb") as file:
            pickle.dump(view, file)
        with suppress(OSError), self.process.stdin as told:  # it has ended: the image will tell why
            told.write(os.fsencode(order) + b"\n")
        return Rendering(self.process, self.answer, self.complaints, view["size"])


@contextmanager
def renderer() -> Iterator[Renderer]:
    """A renderer that gets ready meanwhile; given up when the block is left."""
    command = (sys.executable, "-P", str(RENDERER))
    with TemporaryDirectory() as folder, TemporaryFile() as answer, TemporaryFile() as complaints:
        process = subprocess.Popen(command, stdin=subprocess.PIPE, stdout=answer, stderr=complaints)
        try:
            yield Renderer(process, Path(folder), answer, complaints)
        finally:
            process.kill()
            with suppress(OSError):  # nobody reads it any more
                process.stdin.close()
            process.wait()


@contextmanager
def rendering(view: Mapping[str, object]) -> Iterator[Rendering]:
    """A still that is rendered meanwhile; given up when the block is left."""
    with renderer() as ready:
        yield ready.render(view)


@contextmanager
def renderings(views: Iterable[Mapping[str, object]]) -> Iterator[list[Rendering]]:
    """Several stills that are rendered meanwhile, each by a process of its own."""
    with ExitStack() as stack:
        yield [stack.enter_context(rendering(view)) for view in views]


def all_of(file: BinaryIO) -> bytes:
    """What was written into a file by another process."""
    file.seek(0)
    return file.read()


def fault(status: int, complaints: bytes) -> str:
    """Why there is no picture, in one clause."""
    if status == NO_LIBRARY:
        return "the graphics library libEGL.so.1 is missing"
    if status < 0:
        return f"the renderer crashed (signal {-status}), as it does where the graphics library is incomplete"
    lines = complaints.decode(errors="replace").strip().splitlines()
    return f"the renderer failed (status {status}): {lines[-1] if lines else 'without a word'}"
