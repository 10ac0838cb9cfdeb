"""Whether water can come and go everywhere: what only the whole network shows, before anything is solved."""

from collections.abc import Callable, Iterable, Sequence

from flowviz.errors import InputError
from flowviz.plumbing.graph import TANK, Link, Network
from flowviz.plumbing.laws import OneWay, PumpLaw, Shut

Way = Callable[[Link], tuple[bool, bool]]  # whether water can go through a link forwards, and backwards


def check_ways(network: Network) -> None:
    """Raise InputError where no water can get to or away from a pump, an opening or any other place."""
    links = network.links
    connected = reached(links, [TANK], unless_shut)
    for number, node in enumerate(network.nodes):
        if number not in connected:
            shut = _names(links, Shut)
            raise InputError(node, f"is closed off on all sides by {shut}", "Open one of them")
    watered, drained = reached(links, [TANK], as_it_stands), reached(links, [TANK], against(as_it_stands))
    for pump in turning_pumps(links):
        if pump.start not in watered:
            raise _no_way(links, f"{pump.name}, way in", pump.start, along)
        if pump.end not in drained:
            raise _no_way(links, f"{pump.name}, way out", pump.end, against)
    _openings_are_pumped(links)


def cut_off_pumps(network: Network) -> tuple[str, ...]:
    """Pumps that have no way in or no way out, as messages call them."""
    watered = reached(network.links, [TANK], as_it_stands)
    drained = reached(network.links, [TANK], against(as_it_stands))
    turning = turning_pumps(network.links)
    return tuple(pump.name for pump in turning if not (pump.start in watered and pump.end in drained))


def turning_pumps(links: Iterable[Link]) -> list[Link]:
    """Those that are not at rest."""
    return [link for link in links if isinstance(link.law, PumpLaw) and link.law.speed]


def as_it_stands(link: Link) -> tuple[bool, bool]:
    """Pumps and check valves let water through forwards only, what is shut not at all."""
    return (False, False) if isinstance(link.law, Shut) else with_all_opened(link)


def with_all_opened(link: Link) -> tuple[bool, bool]:
    """As if nothing were shut: a valve may stand shut on purpose."""
    return True, not isinstance(link.law, OneWay | PumpLaw)


def without_check_valves(link: Link) -> tuple[bool, bool]:
    """As if check valves let water through both ways."""
    return (True, True) if isinstance(link.law, OneWay) else as_it_stands(link)


def all_open(link: Link) -> tuple[bool, bool]:
    """As if nothing but the pumps had a direction, and nothing were shut."""
    return True, not isinstance(link.law, PumpLaw)


def all_both_ways(link: Link) -> tuple[bool, bool]:
    """As if nothing had a direction, and nothing were shut."""
    return True, True


def unless_shut(link: Link) -> tuple[bool, bool]:
    """As if nothing had a direction."""
    return (not isinstance(link.law, Shut),) * 2


def along(way: Way) -> Way:
    """The ways themselves."""
    return way


def against(way: Way) -> Way:
    """The same ways walked from where the water goes to where it comes from."""
    return lambda link: way(link)[::-1]


def reached(links: Sequence[Link], starts: Iterable[int], way: Way) -> set[int]:
    """Nodes that water from some nodes can get to, those themselves among them."""
    following: dict[int, list[int]] = {}
    for link in links:
        forward, backward = way(link)
        if forward:
            following.setdefault(link.start, []).append(link.end)
        if backward:
            following.setdefault(link.end, []).append(link.start)
    found = set(starts)
    edge = list(found)
    while edge:
        new = {node for here in edge for node in following.get(here, ()) if node not in found}
        found |= new
        edge = list(new)
    return found


def _pumps(links: Sequence[Link]) -> list[Link]:
    return [link for link in links if isinstance(link.law, PumpLaw)]


def _names(links: Sequence[Link], kind: type) -> str:
    return ", ".join(link.name for link in links if isinstance(link.law, kind))


def _no_way(links: Sequence[Link], where: str, node: int, turned: Callable[[Way], Way]) -> InputError:
    """What stands between a place and the tank."""
    if node in reached(links, [TANK], turned(without_check_valves)):
        fault = f"a check valve in {_names(links, OneWay)} stands against the only way"
        return InputError(where, fault, "Turn it: swap from and to")
    if node in reached(links, [TANK], turned(all_open)):
        return InputError(
            where, f"the only way is shut by {_names(links, Shut)}", "Open it, or lead another pipe there"
        )
    return InputError(where, "no water can get through", "Check from and to of the pipes between it and the tank")


def _openings_are_pumped(links: Sequence[Link]) -> None:
    """Some pump, were it to turn, can push water to every opening once its valves are open, or draw it from there."""
    inner = [link for link in links if TANK not in (link.start, link.end)]
    pushed = reached(inner, [pump.end for pump in _pumps(inner)], with_all_opened)
    drawn = reached(inner, [pump.start for pump in _pumps(inner)], against(with_all_opened))
    for opening in links:
        outer = TANK in (opening.start, opening.end) and not isinstance(opening.law, Shut)
        if outer and max(opening.start, opening.end) not in pushed | drawn:  # the tank is node 0
            remedy = "Check the valves, and from and to of the pipes on the way"
            raise InputError(opening.name, "no pump reaches it", remedy)
