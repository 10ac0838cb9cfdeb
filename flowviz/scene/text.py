"""Text files as people save them, and TOML in them."""

import tomllib
from pathlib import Path

from flowviz.errors import InputError


def text_of(path: Path) -> str:
    """The text of a file in UTF-8, with or without a byte order mark."""
    try:
        data = path.read_bytes()
    except FileNotFoundError as error:
        raise InputError(str(path), "there is no such file", "Mend its name") from error
    except OSError as error:
        raise InputError(str(path), f"cannot be read ({error.strerror})", "Name a file that may be read") from error
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise InputError(f"{path}, line {line}", "is not UTF-8", "Save the file again with UTF-8 encoding") from error


def tables_of(text: str, path: Path) -> dict:
    """The tables of a TOML file."""
    try:
        return tomllib.loads(text)
    except RecursionError as error:
        raise InputError(str(path), "is nested too deeply", "Write it as the example scenes are written") from error
    except ValueError as error:
        raise InputError(str(path), f"is not TOML: {error}", "Mend that line") from error
