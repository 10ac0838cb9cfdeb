"""How long a large loop takes: pytest tests/bench --benchmark-only."""

from math import pi

import numpy as np
import pytest
from scipy.sparse import eye_array, random_array
from scipy.sparse.linalg import splu

from flowviz.plumbing.graph import Leg, Link, Network, Tee
from flowviz.plumbing.laws import PipeLaw, PumpLaw
from flowviz.plumbing.newton import balance

SIDE = 16
MAIN, BRANCH = 0.15, 0.04  # [m]


def lattice() -> Network:
    """503 links: a square lattice of pipes with twenty outlets, fed by one pump at a corner; the same every time."""
    rng = np.random.default_rng(1)
    nodes = ["tank", *(f"{i},{j}" for i in range(SIDE) for j in range(SIDE)), "suction", "delivery"]
    place = {name: number for number, name in enumerate(nodes)}

    def pipe(start: str, end: str) -> Link:
        law = PipeLaw(rng.uniform(0.03, 0.06), rng.uniform(0.5, 3.0), 1.5e-6, 0.93e-6, 1.0, 1.0)
        return Link("pipe", place[start], place[end], law)

    links = [pipe(f"{i},{j}", f"{i + 1},{j}") for i in range(SIDE - 1) for j in range(SIDE)]
    links += [pipe(f"{i},{j}", f"{i},{j + 1}") for i in range(SIDE) for j in range(SIDE - 1)]
    links += [pipe(f"{rng.integers(SIDE)},{rng.integers(SIDE)}", "tank") for _ in range(20)]
    pump = PumpLaw(((0.0, 8.0), (0.01, 6.0), (0.02, 0.0)), 1.0)
    links += [pipe("tank", "suction"), Link("pump", place["suction"], place["delivery"], pump), pipe("delivery", "0,0")]
    return Network(tuple(nodes), tuple(links))


def comb(tees: bool) -> Network:
    """484 links: a main with 160 branches of two pipes each and a pump; the branches by tees or not."""
    nodes = [
        "tank",
        "suction",
        "delivery",
        "0",
        *(f"{i + 1}" for i in range(160)),
        *(f"branch {i}" for i in range(160)),
    ]
    place = {name: number for number, name in enumerate(nodes)}
    links, joined = [], []

    def pipe(start: str, end: str, bore: float) -> int:
        law = PipeLaw(bore, 0.5, 1.5e-6, 0.93e-6, 0.5, 0.5)
        links.append(Link("pipe", place[start], place[end], law))
        return len(links) - 1

    before = pipe("delivery", "0", MAIN)
    for i in range(160):
        main, branch = pipe(f"{i}", f"{i + 1}", MAIN), pipe(f"{i}", f"branch {i}", BRANCH)
        pipe(f"branch {i}", "tank", BRANCH)
        run = Leg(before, 1.0, pi / 4 * MAIN**2), Leg(main, -1.0, pi / 4 * MAIN**2)
        joined.append(Tee(f"{i}", run, Leg(branch, -1.0, pi / 4 * BRANCH**2)))
        before = main
    pipe("160", "tank", BRANCH)
    pump = PumpLaw(((0.0, 9.0), (0.04, 7.0), (0.08, 0.0)), 1.0)
    pipe("tank", "suction", MAIN)
    links.append(Link("pump", place["suction"], place["delivery"], pump))
    return Network(tuple(nodes), tuple(links), tuple(joined) if tees else ())


@pytest.mark.benchmark(group="500 pipes")
@pytest.mark.parametrize("tees", [False, True])
def test_branches(benchmark, tees):
    """To be under 50 ms on an idle machine, with 160 tees too."""
    network = comb(tees)
    guess = np.full(len(network.links), 1e-3)
    assert benchmark(balance, network, guess).flows[-1] > 0


@pytest.mark.benchmark(group="500 pipes")
def test_loop(benchmark):
    """To be under 50 ms on an idle machine."""
    network = lattice()
    guess = np.full(len(network.links), 1e-3)
    assert benchmark(balance, network, guess).flows[-1] > 0


@pytest.mark.benchmark(group="500 pipes")
def test_sparse_solution_for_scale(benchmark):
    """One sparse system of that size by the same library: what the machine does at the moment."""
    links, rng = 503, np.random.default_rng(1)
    matrix = random_array((links, links), density=4 / links, rng=rng, format="csc") + eye_array(links, format="csc")
    right = np.ones(links)
    benchmark(lambda: splu(matrix).solve(right))
