"""What the benchmarks share."""

from collections.abc import Callable

import click
import pytest


@pytest.fixture
def told(benchmark) -> Callable[[str, float, float], None]:
    """Puts a figure beside what is asked of it."""

    def tell(what: str, found: float, asked: float) -> None:
        benchmark.extra_info[what] = round(found, 2)
        click.echo(f"{what}: {found:.2f}, asked {asked:g}")

    return tell
