"""For how long the large circulation of a tank remembers how it went, and what that leaves of an average.

It wanders, and a window of a few seconds is much like the one before. From so few windows as an average has, that
cannot be read; so the least that neighbouring ones are alike is taken from the time that the water needs from one end
of the tank to the other. What hangs on fast water alone, as a too-strong share does, is soon gone with that water: it
remembers no longer than such water needs. Over two dozen sketches each of five tanks the too-strong share's standard
error so taken is 1.2 to 2.4 times its scatter, the dead share's 0.8 to 2.4 times; read from the windows alone, the dead
share's interval held the mean only 63 to 93 times in 100.
"""

from math import exp

from flowviz.flow.field import Field
from flowviz.flow.intervals import UNKNOWN, Range
from flowviz.grid.grid import Grid

# memory over the time that the water takes along the longest side at its mean speed: 0.5 to 0.7 by how the dead share
# fades in long marches of three tanks, but repeated marches of them differ as if it were 1
TURNS = 1.0
SHORT = 1e-3  # memories: below, the difference of almost equal numbers would be lost


def memory(grid: Grid, speed: float) -> float:
    """Time after which water has forgotten all but 1/e of what it was [s].

    speed    of the large circulation: mean over the water, but for that in rubble; or of faster water [m/s]
    """
    longest = max(count * h for count, h in zip(grid.shape, grid.spacing, strict=True))
    return TURNS * longest / max(speed, 1e-9)


def alike(grid: Grid, speed: float, window: float) -> Range:
    """Least and most that neighbouring windows of one march can be correlated [-].

    speed     as in memory [m/s]
    window    length of each [s]
    """
    least = between_means(window / memory(grid, speed))
    return least, max(least, UNKNOWN[1])


def between_means(window: float) -> float:
    """Correlation r of successive windows of a length x in memories, each a mean over its length [-].

    Such that (1 + r)/(1 - r) = x/(x - 1 + exp(-x)): by so much the variance of the mean of many windows is larger than
    if they were independent, for a memory that fades exponentially. From the variance of one window, 2 (x - 1 +
    exp(-x))/x² of that at a moment, and of all: G. I. Taylor, Proc. London Math. Soc. 20 (1922) 196-212.
    """
    factor = window / (window - 1 + exp(-window)) if window > SHORT else 2 / window
    return (factor - 1) / (factor + 1)


def likeness(grid: Grid, field: Field, above: float = 0.0) -> Range:
    """Least and most that neighbouring windows can be correlated [-]; not at all where each is a march of its own.

    above    speed of the slowest water that what is averaged hangs on [m/s]; 0: on all of it
    """
    if field.quality.marches > 1:
        return 0.0, 0.0
    speed = max(float(field.speed[grid.clear].mean()), above)
    return alike(grid, speed, field.quality.averaged / len(field.batches))


def looks(grid: Grid, field: Field) -> float:
    """How many independent looks at the flow its windows amount to [-]."""
    least, _ = likeness(grid, field)
    return len(field.batches) * (1 - least) / (1 + least)
