"""Whether water can come and go everywhere: what only the whole network shows, before anything is solved."""

from collections.abc import Callable, Iterator, Sequence

from flowviz.errors import InputError
from flowviz.plumbing.graph import TANK, Link, Network
from flowviz.plumbing.laws import OneWay, PumpLaw, Shut

Way = Callable[[Link], tuple[bool, bool]]  # whether water can go through a link forwards, and backwards


def check_ways(network: Network) -> None:
    """Raise InputError where no water can get to or away from a pump, an opening or any other place."""
    _no_trapped_water(network)
    for number, link in enumerate(network.links):
        if isinstance(link.law, PumpLaw):
            _needs_way(network, TANK, link.start, f"{link.name}, way in", number)
            _needs_way(network, link.end, TANK, f"{link.name}, way out", number)
    for link in network.links:
        if TANK in (link.start, link.end) and not isinstance(link.law, Shut):
            _needs_pump(network, link)


def cut_off_pumps(network: Network) -> tuple[str, ...]:
    """Pumps that have no way in or no way out, as messages call them."""
    return tuple(
        link.name
        for number, link in enumerate(network.links)
        if isinstance(link.law, PumpLaw) and not all(_ways_of(network, number))
    )


def _ways_of(network: Network, pump: int) -> tuple[bool, bool]:
    """Whether a pump has a way in, and a way out."""
    link, others = network.links[pump], [*network.links[:pump], *network.links[pump + 1 :]]
    return link.start in reached(others, TANK, as_it_stands), TANK in reached(others, link.end, as_it_stands)


def as_it_stands(link: Link) -> tuple[bool, bool]:
    """Pumps and check valves let water through forwards only, what is shut not at all."""
    if isinstance(link.law, Shut):
        return False, False
    return True, not isinstance(link.law, OneWay | PumpLaw)


def without_check_valves(link: Link) -> tuple[bool, bool]:
    """As if check valves let water through both ways."""
    return (True, True) if isinstance(link.law, OneWay) else as_it_stands(link)


def all_open(link: Link) -> tuple[bool, bool]:
    """As if nothing but the pumps had a direction, and nothing were shut."""
    return True, not isinstance(link.law, PumpLaw)


def reached(links: Sequence[Link], start: int, way: Way) -> set[int]:
    """Nodes that water from a node can get to."""
    found, edge = {start}, [start]
    while edge:
        edge = [node for here in edge for node in _next(links, here, way) if node not in found]
        found |= set(edge)
    return found


def _next(links: Sequence[Link], here: int, way: Way) -> Iterator[int]:
    for link in links:
        forward, backward = way(link)
        if forward and link.start == here:
            yield link.end
        if backward and link.end == here:
            yield link.start


def _no_trapped_water(network: Network) -> None:
    """Every node hangs together with the tank by something that is not shut."""
    either = reached(network.links, TANK, lambda link: (not isinstance(link.law, Shut),) * 2)
    for number, node in enumerate(network.nodes):
        if number not in either:
            shut = ", ".join(link.name for link in network.links if isinstance(link.law, Shut))
            raise InputError(node, f"is closed off on all sides by {shut}", "Open one of them")


def _needs_way(network: Network, start: int, end: int, where: str, pump: int) -> None:
    links = [link for number, link in enumerate(network.links) if number != pump]
    if end in reached(links, start, as_it_stands):
        return
    if end in reached(links, start, without_check_valves):
        checked = ", ".join(link.name for link in links if isinstance(link.law, OneWay))
        raise InputError(where, f"a check valve in {checked} stands against the only way", "Turn it: swap from and to")
    if end in reached(links, start, all_open):
        shut = ", ".join(link.name for link in links if isinstance(link.law, Shut))
        raise InputError(where, f"the only way is shut by {shut}", "Open it, or lead another pipe there")
    raise InputError(where, "no water can get through", "Check from and to of the pipes between it and the tank")


def _needs_pump(network: Network, opening: Link) -> None:
    """Some pump can push water to an opening, or draw it from there."""
    node = opening.start if opening.end == TANK else opening.end
    inner = [link for link in network.links if TANK not in (link.start, link.end)]
    pumps = [link for link in inner if isinstance(link.law, PumpLaw)]
    drawn = reached(inner, node, as_it_stands)
    if not any(pump.start in drawn or node in reached(inner, pump.end, as_it_stands) for pump in pumps):
        raise InputError(
            opening.name, "no pump reaches it", "Check the valves, and from and to of the pipes on the way"
        )
