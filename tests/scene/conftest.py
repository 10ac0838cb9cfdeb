"""A small sound scene with a loop, a way to spoil it, and what must then be told."""

import pytest

from flowviz.errors import InputError
from flowviz.scene.file import read_scene


@pytest.fixture
def scene_file(scene_in, tmp_path):
    """Writes the sound scene with changes by dotted path, and gives its path."""
    return lambda changes=None: scene_in(tmp_path, changes, "looped")


@pytest.fixture
def refused():
    """Checks that a file is refused in one line: where in it, what was found, what to write instead."""

    def check(file, key, found, remedy="", read=read_scene):
        with pytest.raises(InputError) as caught:
            read(file)
        assert "\n" not in str(caught.value)
        assert caught.value.exit_status == 2
        assert caught.value.where.removeprefix(str(file)).lstrip(":, ") == key  # a key, or a line
        assert found in caught.value.fault
        assert remedy in caught.value.remedy

    return check
