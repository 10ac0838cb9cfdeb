"""What a scene was read from."""

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Source:
    """The files that a scene was read from, as they were then."""

    text: str  # of the scene file
    files: Mapping[str, bytes]  # meshes and curves, by the path that the scene file names them by
