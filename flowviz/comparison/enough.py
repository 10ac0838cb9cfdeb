"""How many marches a layout needs before it can be compared."""

from collections.abc import Mapping

from flowviz.study import Detail

MARCHES: Mapping[Detail, int] = {  # a fine march looks long enough by itself
    "sketch": 12,
    "coarse": 8,
    "fine": 1,
}
