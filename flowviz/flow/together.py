"""Several marches of one flow taken together, each a look at it at another time."""

from collections.abc import Sequence

import numpy as np

from flowviz.flow.field import Field, Quality
from flowviz.flow.velocity import square


def together(fields: Sequence[Field]) -> Field:
    """The mean of fields of one grid from independent marches, each of which is one of its windows."""
    if len(fields) == 1:
        return fields[0]
    u, v, w, speed = (mean([getattr(field, name) for field in fields]) for name in ("u", "v", "w", "speed"))
    batches = np.stack([field.speed for field in fields])
    whole = Field(u, v, w, speed, np.zeros_like(speed), batches, quality([field.quality for field in fields]))
    variance = mean([field.fluctuation**2 + ordered(field) for field in fields]) - ordered(whole)
    whole.fluctuation[...] = np.sqrt(np.maximum(variance, 0))
    return whole


def mean(values: Sequence[np.ndarray]) -> np.ndarray:
    """Of arrays of one shape."""
    return sum(values) / np.float32(len(values))


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
