"""Studies whose windows differ a little, as those of any march do."""

from functools import partial
from types import SimpleNamespace

import pytest


@pytest.fixture(scope="session")
def make(make) -> SimpleNamespace:
    """As for all tests, with windows that scatter by 2 % where none are told."""
    return SimpleNamespace(**vars(make) | {"study": partial(make.study, windows=(0.98, 1.02, 1.01, 0.99))})
