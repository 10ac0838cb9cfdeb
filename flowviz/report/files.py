"""A file that appears whole or not at all."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from secrets import token_hex

from flowviz.errors import InputError
from flowviz.folder import beside, told


@contextmanager
def whole_file(target: str | Path) -> Iterator[Path]:
    """A new file that takes the place of target once it is written, or vanishes if anything goes wrong.

    Raises InputError where target is a folder, and OutputError where it cannot be written.
    """
    target = check_file(target)
    with told(target):
        target.parent.mkdir(parents=True, exist_ok=True)
        fresh = beside(target, f"new-{token_hex(4)}")
        try:
            yield fresh
            fresh.replace(target)
        finally:
            fresh.unlink(missing_ok=True)


def check_file(target: str | Path) -> Path:
    """The full name of a file that may be written. Raises InputError where it is a folder: asked before any work."""
    target = Path(target).resolve()
    if target.is_dir():
        raise InputError(str(target), "is a folder", "Write the name of a file")
    return target
