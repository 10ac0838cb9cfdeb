"""Two studies of one tank: what differs beyond the noise, which pockets went and came, and why."""

from flowviz.comparison.compare import Comparison, compare

__all__ = ["Comparison", "compare"]
