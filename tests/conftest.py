"""What the tests of all floors share."""

import csv
from collections.abc import Callable
from pathlib import Path

import pytest

Rows = list[dict[str, str]]


@pytest.fixture(scope="session")
def published() -> Callable[[str], Rows]:
    """Reads the rows of a printed table in tests/published, whose first lines tell its source."""

    def read(name: str) -> Rows:
        text = (Path(__file__).parent / "published" / name).read_text(encoding="utf-8")
        return list(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))

    return read
