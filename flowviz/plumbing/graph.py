"""The loop as nodes and links.

Node 0 is the tank: all openings lie under one water surface, so between them no head is given or taken by height, and
total heads count from that surface. Every opening is a link between the tank and the pipe end that it closes.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from flowviz.plumbing.laws import Law

TANK = 0


@dataclass(frozen=True, slots=True)
class Link:
    """A way for water from one node to another."""

    name: str  # as messages call it
    start: int  # node
    end: int  # node
    law: Law


@dataclass(frozen=True, slots=True)
class Leg:
    """One of the three pipes at a tee."""

    link: int
    inward: float  # 1 where the link's flow is counted towards the tee, -1 where away from it
    area: float  # of the pipe, or of what a reducer at that end of it leads to [m²]


@dataclass(frozen=True, slots=True)
class Tee:
    """A junction of three pipes at right angles, whose losses follow the split."""

    name: str
    run: tuple[Leg, Leg]  # the straight way through
    branch: Leg

    @property
    def legs(self) -> tuple[Leg, Leg, Leg]:
        """The run, then the branch."""
        return (*self.run, self.branch)

    @property
    def outer(self) -> tuple[Leg, Leg]:
        """All but the first of the run, from which the heads of the others are counted."""
        return self.run[1], self.branch

    @property
    def areas(self) -> tuple[float, ...]:
        """Of the legs [m²]."""
        return tuple(leg.area for leg in self.legs)

    def inflows(self, flows: Sequence[float]) -> tuple[float, ...]:
        """Flows into the tee along its legs [m³/s] from those of all links."""
        first, second = self.run
        return (
            first.inward * flows[first.link],
            second.inward * flows[second.link],
            self.branch.inward * flows[self.branch.link],
        )


@dataclass(frozen=True, slots=True)
class Network:
    """Nodes and links of a loop."""

    nodes: tuple[str, ...]  # names; the first is the tank
    links: tuple[Link, ...]
    tees: tuple[Tee, ...] = ()
