"""Several marches of one flow taken together, each a look at it at another time."""

from collections.abc import Iterable, Sequence

import numpy as np

from flowviz.flow.field import Field, Quality
from flowviz.flow.velocity import square


def together(fields: Iterable[Field]) -> Field:
    """The mean of fields of one grid from independent marches, each of which is one of its windows.

    But for its speed, each is let go before the next is asked for: a dozen would take much memory.
    """
    sums, speeds, found = [np.float32(0)] * 5, [], []
    for field in fields:
        parts = field.u, field.v, field.w, field.speed, field.fluctuation**2 + ordered(field)
        sums = [total + part for total, part in zip(sums, parts, strict=True)]
        speeds.append(field.speed)
        found.append(field.quality)
        del field, parts
    u, v, w, speed, squares = (total / np.float32(len(speeds)) for total in sums)
    whole = Field(u, v, w, speed, np.zeros_like(speed), np.stack(speeds), quality(found))
    whole.fluctuation[...] = np.sqrt(np.maximum(squares - ordered(whole), 0))
    return whole


def ordered(field: Field) -> np.ndarray:
    """Square of the mean velocity in the middle of cells (nx, ny, nz) [m²/s²]."""
    return square(field.u, field.v, field.w)


def quality(each: Sequence[Quality]) -> Quality:
    """How well they were solved together."""
    return Quality(
        balance_error=max(one.balance_error for one in each),
        steps=sum(one.steps for one in each),
        simulated=sum(one.simulated for one in each),
        averaged=sum(one.averaged for one in each),
        steady=all(one.steady for one in each),
        marches=len(each),
    )
