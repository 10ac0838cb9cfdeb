"""The table of a phase: how pumps and valves stand for a while."""

from typing import Annotated

from pydantic import BeforeValidator, Field

from flowviz.errors import seen
from flowviz.scene.schema.values import Table, TableError, Text, Time

EVERY = ""  # stands for all pumps


def _by_name(written: object) -> dict[str, float]:
    """Shares from 0 to 1 by name, or one for all."""
    parts = written if isinstance(written, dict) else {EVERY: written}
    for name, share in parts.items():
        if isinstance(share, bool) or not isinstance(share, int | float) or not 0 <= share <= 1:
            remedy = "Write 0 (at rest, shut) to 1 (full speed, open)"
            raise TableError(name, f"{seen(share)} is no share from 0 to 1", remedy)
    return parts


def _named(written: object) -> object:
    if not isinstance(written, dict):
        remedy = 'Name each by the opening its pipe leads to, as valves = { "left high" = 0 }'
        raise TableError("", f"{seen(written)} is no table", remedy)
    return written


Shares = Annotated[dict[str, float], BeforeValidator(_by_name)]


class PhaseTable(Table):
    """[[phase]]: all phases together are a cycle, which goes on and on."""

    name: Text | None = None
    lasts: Time
    speed: Shares = Field(default_factory=dict)
    valves: Annotated[Shares, BeforeValidator(_named)] = Field(default_factory=dict)
