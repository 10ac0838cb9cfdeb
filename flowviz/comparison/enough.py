"""How many marches a layout needs before it can be compared."""

from collections.abc import Mapping

from flowviz.study import Detail

MARCHES: Mapping[Detail, int] = {  # a fine march looks long enough by itself
    "sketch": 8,
    "coarse": 4,
    "fine": 1,
}
