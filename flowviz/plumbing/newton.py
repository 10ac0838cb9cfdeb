"""Flows and heads of a network by Newton's method on all loop and node equations at once.

The global gradient method: for each link the head lost equals the difference of the heads at its ends; at each node but
the tank as much water comes as goes. E. Todini, S. Pilati, A gradient algorithm for the analysis of pipe networks, in
Computer Applications in Water Supply 1 (1988) 1-20. Flows and heads stay together in one sparse system, because the
losses of a tee tie three links to each other.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from scipy.sparse import csc_array
from scipy.sparse.linalg import splu

from flowviz.errors import ConvergenceError
from flowviz.plumbing.graph import TANK, Network
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
    stalls. Then the water columns are given inertia and let to settle for a while, as they would in the pipes, before
    the next round.
    """
    system = _System(network)
    state = np.concatenate([guess, np.zeros(len(network.nodes) - 1)])
    for number in range(ROUNDS):
        state, change = system.solve(state)
        if change.max() <= TOLERANCE * np.abs(state[: system.links]).max():
            return Balance(state[: system.links], np.concatenate([[0.0], state[system.links :]]))
        state = system.settle(state, SETTLING * 2**number)
    worst = network.links[int(change.argmax())].name
    raise ConvergenceError(
        "loop",
        f"the flows were not found in {ROUNDS * STEPS} steps; {worst} still changes by {change.max():.1e} m³/s",
        "Check the pump curve and the pipes there, or describe the loop more simply",
    )


class _System:
    """The equations of a network: links first, then nodes; unknown flows first, then heads."""

    def __init__(self, network: Network) -> None:
        self.network = network
        self.links = len(network.links)
        self.start = np.array([link.start for link in network.links])
        self.end = np.array([link.end for link in network.links])
        self.rows, self.columns, self.signs = self._incidence()

    def solve(self, state: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """The state after Newton's method, and the last change of the flows [m³/s]."""
        defect, slopes = self.defect(state)
        for number in range(STEPS):
            step = self.step(state, defect, slopes)
            state, defect, slopes = self.advance(state, step, defect, HALVINGS if number else 0)
            change = np.abs(step[: self.links])
            if change.max() <= TOLERANCE * np.abs(state[: self.links]).max():
                break
        return state, change

    def settle(self, state: np.ndarray, steps: int) -> np.ndarray:
        """The state after implicit steps in time, with so much inertia that a flow takes about one step to change."""
        for _ in range(steps):
            defect, slopes = self.defect(state)
            state = state + self.step(state, defect, slopes + slopes.mean())
        return state

    def _incidence(self) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Where heads enter the link equations and flows the node equations, and with which sign."""
        link = np.arange(self.links)
        leave, arrive = self.start != TANK, self.end != TANK
        links = np.concatenate([link[leave], link[arrive]])
        nodes = self.links - 1 + np.concatenate([self.start[leave], self.end[arrive]])
        signs = np.concatenate([np.full(leave.sum(), -1.0), np.full(arrive.sum(), 1.0)])
        return np.concatenate([links, nodes]), np.concatenate([nodes, links]), np.concatenate([signs, signs])

    def defect(self, state: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """What each equation is out by [m, m³/s], and the slopes of the links' losses [m/(m³/s)]."""
        flows, heads = state[: self.links], np.concatenate([[0.0], state[self.links :]])
        pairs = [link.law.loss(flow) for link, flow in zip(self.network.links, flows.tolist(), strict=True)]
        losses, slopes = np.array(pairs).T
        unbalanced = losses - heads[self.start] + heads[self.end]
        for tee in self.network.tees:
            for leg, drop in zip(tee.legs[1:], drops(*tee.inflows(flows)[1:], tee.areas), strict=True):
                unbalanced[leg.link] -= leg.inward * drop
        gain = np.bincount(self.end, flows, len(heads)) - np.bincount(self.start, flows, len(heads))
        return np.concatenate([unbalanced, gain[1:]]), np.maximum(slopes, LEAST_SLOPE)

    def step(self, state: np.ndarray, defect: np.ndarray, slopes: np.ndarray) -> np.ndarray:
        """Newton's correction of flows and heads."""
        diagonal = np.arange(self.links)
        ties = np.array([*self._ties(state[: self.links])]).reshape(-1, 3)
        rows = np.concatenate([diagonal, self.rows, ties[:, 0].astype(int)])
        columns = np.concatenate([diagonal, self.columns, ties[:, 1].astype(int)])
        values = np.concatenate([slopes, self.signs, ties[:, 2]])
        matrix = csc_array((values, (rows, columns)), shape=(len(defect), len(defect)))
        return splu(matrix, permc_spec="MMD_AT_PLUS_A").solve(-defect)

    def _ties(self, flows: np.ndarray) -> Iterator[tuple[int, int, float]]:
        """Link, other link and slope: how the tees tie the loss of one to the flow of another [m/(m³/s)]."""
        for tee in self.network.tees:
            outer = tee.legs[1:]
            for cause, slopes in zip(outer, drop_slopes(*tee.inflows(flows)[1:], tee.areas), strict=True):
                for leg, slope in zip(outer, slopes, strict=True):
                    yield leg.link, cause.link, -leg.inward * slope * cause.inward

    def advance(
        self, state: np.ndarray, step: np.ndarray, defect: np.ndarray, halvings: int
    ) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """The state after as much of a step as makes the link equations better, its defect and slopes."""
        share = 1.0
        after, (after_defect, slopes) = state + step, self.defect(state + step)
        for _ in range(halvings):
            if np.abs(after_defect[: self.links]).sum() <= np.abs(defect[: self.links]).sum():
                break
            share /= 2
            after = state + share * step
            after_defect, slopes = self.defect(after)
        return after, after_defect, slopes
