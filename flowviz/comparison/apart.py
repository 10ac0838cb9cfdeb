"""Studies that each single march tells apart.

A share, as of dead water, is no mean of what the marches say: it is that of their mean speeds, and may hang on much
water that is near the limit. Its interval is wide then, and may hold nothing where each march by itself has a twentieth
of the tank dead. So the marches are asked one by one too.
"""

from math import comb

from flowviz.comparison.figures import Figure

SPARE = 0.1  # of the share of cases in which noise may pass for a difference: what this may take besides


def apart(one: Figure, other: Figure, wrong: float) -> bool:
    """Whether each march of the one says more than each of the other, or less, as they all do together.

        2 / (m + n over m)

    is how often m marches and n fall so where they differ by chance alone, whatever their distribution: of all orders
    in which they may come, two have those of the one first or last. Where that is not seldom, none are apart.

    wrong   share of cases in which noise may pass for a difference of this figure [-]
    """
    few, many = sorted((one, other), key=lambda each: each.value)
    count = len(few.marches), len(many.marches)
    return all(count) and 2 / comb(sum(count), count[0]) <= SPARE * wrong and max(few.marches) < min(many.marches)
