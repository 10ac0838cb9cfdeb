"""A small sound scene with a loop, and a way to spoil it."""

import pytest


@pytest.fixture
def scene_file(scene_in, tmp_path):
    """Writes the sound scene with changes by dotted path, and gives its path."""
    return lambda changes=None: scene_in(tmp_path, changes, "looped")
