"""Flows and heads of a network by Newton's method on all loop and node equations at once.

The global gradient method: for each link the head lost equals the difference of the heads at its ends; at each node but
the tank as much water comes as goes. E. Todini, S. Pilati, A gradient algorithm for the analysis of pipe networks, in
Computer Applications in Water Supply 1 (1988) 1-20. Flows and heads stay together in one sparse system, because the
losses of a tee tie three links to each other.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.sparse import csc_array
from scipy.sparse.linalg import splu

from flowviz.errors import ConvergenceError
from flowviz.plumbing.graph import TANK, Network
from flowviz.plumbing.laws import SHUT
from flowviz.plumbing.tees import drop_slopes, drops

TOLERANCE = 1e-8  # of the largest flow: the last change of any flow, after which its error is far smaller
STEPS = 30  # of Newton's method, in each of
ROUNDS = 8
SETTLING = 20  # steps in time after the first round, and twice as many after each further one
HALVINGS = 5
LEAST_SLOPE = 1e-3  # [m/(m³/s)]: keeps a link at rest, whose loss is quadratic, from making the system singular


@dataclass(frozen=True, slots=True, eq=False)
class Balance:
    """Flows and heads that satisfy a network."""

    flows: np.ndarray  # of the links, from start to end [m³/s]
    heads: np.ndarray  # total heads of the nodes above the tank's water surface [m]; at a tee, of its first leg


def balance(network: Network, guess: np.ndarray) -> Balance:
    """Flows and heads of a network, found from a guess of the flows (links,) [m³/s].

    Where a tee's loss falls with its flow, the defect can have a minimum that is no solution, and Newton's method
    stalls. Then the water columns are given inertia, much and little in turn, and let to settle for a while, as they
    would in the pipes, before the next round.
    """
    system = _System(network)
    point = system.point(np.concatenate([guess, np.zeros(len(network.nodes) - 1)]))
    for number in range(ROUNDS):
        point, change = system.solve(point)
        if change.max() <= TOLERANCE * np.abs(system.flows(point)).max():
            return Balance(system.flows(point), np.concatenate([[0.0], point.state[system.links :]]))
        point = system.settle(point, SETTLING * 2**number, system.light if number % 2 else system.heavy)
    worst = network.links[int(change.argmax())].name
    raise ConvergenceError(
        "loop",
        f"the flows were not found in {ROUNDS * STEPS} steps; {worst} still changes by {change.max():.1e} m³/s",
        "Check the pump curve and the pipes there, or describe the loop more simply",
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Point:
    """Flows and heads, and how far they are from a solution."""

    state: np.ndarray  # flows of the links [m³/s], then heads of all nodes but the tank [m]
    defect: np.ndarray  # what each equation is out by: links [m], then nodes [m³/s]
    slopes: np.ndarray  # of the links' losses [m/(m³/s)]
    inflows: Sequence[Sequence[float]]  # of each tee [m³/s]
    drops: Sequence[tuple[float, float]]  # of each tee [m]


class _System:
    """The equations of a network: links first, then nodes; unknown flows first, then heads."""

    def __init__(self, network: Network) -> None:
        self.network = network
        self.links = len(network.links)
        self.start = np.array([link.start for link in network.links])
        self.end = np.array([link.end for link in network.links])
        self.rows, self.columns, self.signs = self._incidence()
        self.areas = [tee.areas for tee in network.tees]

    def flows(self, point: _Point) -> np.ndarray:
        """Of the links [m³/s]."""
        return point.state[: self.links]

    def solve(self, point: _Point) -> tuple[_Point, np.ndarray]:
        """Where Newton's method ends, and the last change of the flows [m³/s]."""
        for number in range(STEPS):
            step = self.step(point, point.slopes)
            point = self.advance(point, step, HALVINGS if number else 0)
            change = np.abs(step[: self.links])
            if change.max() <= TOLERANCE * np.abs(self.flows(point)).max():
                break
        return point, change

    def settle(self, point: _Point, steps: int, inertia: Callable[[_Point], float]) -> _Point:
        """Where implicit steps in time end."""
        for _ in range(steps):
            point = self.point(point.state + self.step(point, point.slopes + inertia(point)))
        return point

    def light(self, point: _Point) -> float:
        """Inertia with which a flow takes about one step to change, and longer where a tee's loss falls with its flow
        [m/(m³/s)].

        Slopes differ by decades, so their geometric mean counts, and nothing that is shut, for with its slope in the
        mean no water would move any more.
        """
        fall = max((-slope for link, cause, slope in self._ties(point) if link == cause), default=0.0)
        return self._mean_slope(point) + max(fall, 0.0)

    def heavy(self, point: _Point) -> float:
        """Inertia with which it takes as long as the steepest tie of any tee asks for [m/(m³/s)]."""
        return self._mean_slope(point) + max((abs(slope) for _, _, slope in self._ties(point)), default=0.0)

    def _mean_slope(self, point: _Point) -> float:
        return float(np.exp(np.log(point.slopes).mean(where=point.slopes < SHUT)))

    def _incidence(self) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Where heads enter the link equations and flows the node equations, and with which sign."""
        link = np.arange(self.links)
        leave, arrive = self.start != TANK, self.end != TANK
        links = np.concatenate([link[leave], link[arrive]])
        nodes = self.links - 1 + np.concatenate([self.start[leave], self.end[arrive]])
        signs = np.concatenate([np.full(leave.sum(), -1.0), np.full(arrive.sum(), 1.0)])
        return np.concatenate([links, nodes]), np.concatenate([nodes, links]), np.concatenate([signs, signs])

    def point(self, state: np.ndarray) -> _Point:
        """How far flows and heads are from a solution."""
        flows, heads = state[: self.links], np.concatenate([[0.0], state[self.links :]])
        plain = flows.tolist()
        losses, slopes = np.array([link.law.loss(flow) for link, flow in zip(self.network.links, plain, strict=True)]).T
        unbalanced = losses - heads[self.start] + heads[self.end]
        inflows = [tee.inflows(plain) for tee in self.network.tees]
        found = [drops(legs[1], legs[2], areas) for legs, areas in zip(inflows, self.areas, strict=True)]
        for tee, pair in zip(self.network.tees, found, strict=True):
            for leg, drop in zip(tee.outer, pair, strict=True):
                unbalanced[leg.link] -= leg.inward * drop
        gain = np.bincount(self.end, flows, len(heads)) - np.bincount(self.start, flows, len(heads))
        defect = np.concatenate([unbalanced, gain[1:]])
        return _Point(state, defect, np.maximum(slopes, LEAST_SLOPE), inflows, found)

    def step(self, point: _Point, slopes: np.ndarray) -> np.ndarray:
        """Newton's correction of flows and heads."""
        diagonal = np.arange(self.links)
        ties = np.array([*self._ties(point)]).reshape(-1, 3)
        rows = np.concatenate([diagonal, self.rows, ties[:, 0].astype(int)])
        columns = np.concatenate([diagonal, self.columns, ties[:, 1].astype(int)])
        values = np.concatenate([slopes, self.signs, ties[:, 2]])
        size = len(point.defect)
        matrix = csc_array((values, (rows, columns)), shape=(size, size))
        return splu(matrix, permc_spec="MMD_AT_PLUS_A").solve(-point.defect)

    def _ties(self, point: _Point) -> Iterator[tuple[int, int, float]]:
        """Link, other link and slope: how the tees tie the loss of one to the flow of another [m/(m³/s)]."""
        for tee, legs, here, areas in zip(self.network.tees, point.inflows, point.drops, self.areas, strict=True):
            for cause, slopes in zip(tee.outer, drop_slopes(legs[1], legs[2], areas, here), strict=True):
                for leg, slope in zip(tee.outer, slopes, strict=True):
                    yield leg.link, cause.link, -leg.inward * slope * cause.inward

    def advance(self, point: _Point, step: np.ndarray, halvings: int) -> _Point:
        """Where as much of a step ends as makes the link equations better."""
        share, after = 1.0, self.point(point.state + step)
        for _ in range(halvings):
            if np.abs(after.defect[: self.links]).sum() <= np.abs(point.defect[: self.links]).sum():
                break
            share /= 2
            after = self.point(point.state + share * step)
        return after
