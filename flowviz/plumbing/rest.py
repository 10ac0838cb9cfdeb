"""Where no water moves: what the balance of a network leaves there is only its own smallness."""

from collections import Counter
from collections.abc import Sequence

import numpy as np

from flowviz.plumbing.graph import TANK, Link, Network
from flowviz.plumbing.laws import OneWay, Shut
from flowviz.plumbing.newton import Balance
from flowviz.plumbing.ways import all_both_ways, reached, turning_pumps

SMALLNESS = 1e-12  # of the largest flow: what a balance leaves where nothing drives the water [-]


def at_rest(network: Network) -> Balance:
    """The answer where no pump turns: all water stands under one surface."""
    return Balance(np.zeros(len(network.links)), np.zeros(len(network.nodes)))


def resting(network: Network, flows: Sequence[float]) -> frozenset[int]:
    """Links without flow: what is shut, what leads nowhere else, what hangs on no pump that turns, and what is not
    driven by one that does, as beside a pump that only drives itself.
    """
    links = network.links
    open_ones = {number for number, link in enumerate(links) if not _shuts(link, flows[number])}
    while ends := _dead_ends(links, open_ones) | _lone_openings(links, open_ones):
        open_ones -= ends
    inner = [links[number] for number in open_ones if TANK not in (links[number].start, links[number].end)]
    moved = reached(inner, [end for pump in turning_pumps(inner) for end in (pump.start, pump.end)], all_both_ways)
    moving = {number for number in open_ones if max(links[number].start, links[number].end) in moved}
    least = SMALLNESS * max(map(abs, flows))
    return frozenset(number for number in range(len(links)) if number not in moving or abs(flows[number]) <= least)


def _shuts(link: Link, flow: float) -> bool:
    return isinstance(link.law, Shut) or (isinstance(link.law, OneWay) and flow < 0)


def _lone_openings(links: Sequence[Link], numbers: set[int]) -> set[int]:
    """Openings among some links that are the only one of all that hangs together behind them: a pump may drive water
    round a bypass there, but none can come or go.
    """
    ends = {number: (links[number].start, links[number].end) for number in numbers}
    inner = [links[number] for number, pair in ends.items() if TANK not in pair]
    left = {number: max(pair) for number, pair in ends.items() if TANK in pair}
    lone: set[int] = set()
    while left:
        together = reached(inner, [next(iter(left.values()))], all_both_ways)
        own = {number for number, node in left.items() if node in together}
        lone |= own if len(own) == 1 else set()
        left = {number: node for number, node in left.items() if number not in own}
    return lone


def _dead_ends(links: Sequence[Link], numbers: set[int]) -> set[int]:
    """Links among some with an end that no other one of them has."""
    ends = Counter(end for number in numbers for end in (links[number].start, links[number].end))
    return {number for number in numbers if 1 in (ends[links[number].start], ends[links[number].end])}
