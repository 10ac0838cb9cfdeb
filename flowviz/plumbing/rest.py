"""Where no water moves: what the balance of a network leaves there is only its own smallness."""

from collections import Counter
from collections.abc import Sequence

import numpy as np

from flowviz.plumbing.graph import TANK, Link, Network
from flowviz.plumbing.laws import OneWay, Shut
from flowviz.plumbing.newton import Balance
from flowviz.plumbing.ways import all_both_ways, reached, turning_pumps


def at_rest(network: Network) -> Balance:
    """The answer where no pump turns: all water stands under one surface."""
    return Balance(np.zeros(len(network.links)), np.zeros(len(network.nodes)))


def resting(network: Network, flows: Sequence[float]) -> frozenset[int]:
    """Links without flow: what is shut, what leads nowhere else, and what hangs on no pump that turns."""
    links = network.links
    open_ones = {number for number, link in enumerate(links) if not _shuts(link, flows[number])}
    while ends := _dead_ends(links, open_ones):
        open_ones -= ends
    inner = [links[number] for number in open_ones if TANK not in (links[number].start, links[number].end)]
    moved = reached(inner, [end for pump in turning_pumps(inner) for end in (pump.start, pump.end)], all_both_ways)
    moving = {number for number in open_ones if max(links[number].start, links[number].end) in moved}
    return frozenset(range(len(links))) - moving


def _shuts(link: Link, flow: float) -> bool:
    return isinstance(link.law, Shut) or (isinstance(link.law, OneWay) and flow < 0)


def _dead_ends(links: Sequence[Link], numbers: set[int]) -> set[int]:
    """Links among some with an end, not the tank, that no other one of them has."""
    ends = Counter(end for number in numbers for end in (links[number].start, links[number].end))
    return {
        number
        for number in numbers
        if any(end != TANK and ends[end] == 1 for end in (links[number].start, links[number].end))
    }
