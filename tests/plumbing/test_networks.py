"""The balance of whole networks against a published one and against two independent programs on random layouts."""

import warnings
from dataclasses import dataclass
from math import log10, pi

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from flowviz.formulas.pipes import LAMINAR_END, TURBULENT_START, reynolds_number
from flowviz.plumbing.graph import TANK, Link, Network
from flowviz.plumbing.laws import SHUT, PipeLaw, PumpLaw, Quadratic
from flowviz.plumbing.newton import balance

VISCOSITY = 0.93e-6  # seawater of 25 °C [m²/s]
DENSITY = 1023.0  # [kg/m³]
GRAVITY = 9.80665  # [m/s²]
FOOT = 0.3048
SURELY_TURBULENT = 1.2 * TURBULENT_START  # by either formula
PUMP_BENDS = (0.0, 0.35, 0.7, 1.0)  # shares of a pump's last flow that its curve is printed at


@dataclass(frozen=True)
class Drawn:
    """A place where a given flow leaves the network."""

    flow: float

    def loss(self, flow):
        return SHUT * (flow - self.flow), SHUT


@dataclass(frozen=True)
class SwameeJain:
    """A pipe as EPANET reckons it: Swamee and Jain (1976) above Re 4000, and g = 32.2 ft/s²."""

    pipe: PipeLaw

    def loss(self, flow):
        weight = GRAVITY / (32.2 * FOOT)
        if reynolds_number(flow, self.pipe.diameter, VISCOSITY) < TURBULENT_START:
            return tuple(weight * value for value in self.pipe.loss(flow))
        step = 1e-6 * flow
        slope = (self._head(flow + step) - self._head(flow - step)) / (2 * step)
        return weight * self._head(flow), weight * slope

    def _head(self, flow):
        pipe = self.pipe
        inside = pipe.roughness / pipe.diameter / 3.7 + 5.74 / reynolds_number(flow, pipe.diameter, VISCOSITY) ** 0.9
        return (
            (0.25 / log10(inside) ** 2 * pipe.length / pipe.diameter + pipe.forward) * pipe.dynamic * flow * abs(flow)
        )


@st.composite
def layouts(draw, roughness):
    """Two to seven junctions in a tree with rings, one to three pumps side by side or in a row, one to four outlets."""
    places = range(draw(st.integers(2, 7)))
    pumps = range(draw(st.integers(1, 3)))
    nodes = ["tank", *(f"J{i}" for i in places), *(f"{side}{i}" for i in pumps for side in "SD")]
    links = []

    def pipe(start, end, diameter=None):
        bore = diameter or draw(st.floats(0.025, 0.06))
        loss = draw(st.floats(0.5, 6))
        law = PipeLaw(bore, draw(st.floats(0.5, 5)), roughness, VISCOSITY, loss, loss)
        links.append(Link(f"P{len(links)}", nodes.index(start), nodes.index(end), law))

    for i in places[1:]:
        pipe(f"J{draw(st.integers(0, i - 1))}", f"J{i}")
    for a, b in draw(st.lists(st.tuples(st.sampled_from(places), st.sampled_from(places)), max_size=4)):
        if a != b:
            pipe(f"J{a}", f"J{b}")
    for place in draw(st.lists(st.sampled_from(places), min_size=1, max_size=4)):
        pipe(f"J{place}", "tank")
    for i in pumps:
        head, flow = draw(st.floats(4, 9)), draw(st.floats(2e-3, 5e-3))
        pipe(f"D{i - 1}" if i and draw(st.booleans()) else "tank", f"S{i}", 0.06)
        curve = tuple((flow * share, head * (1 - share)) for share in PUMP_BENDS)
        links.append(Link(f"U{i}", nodes.index(f"S{i}"), nodes.index(f"D{i}"), PumpLaw(curve, 1.0)))
        pipe(f"D{i}", f"J{draw(st.sampled_from(places))}")
    return Network(tuple(nodes), tuple(links))


def solved(network):
    """Flows of all links [m³/s]."""
    guess = [getattr(link.law, "area", 0.0) or link.law.open_flow / 2 for link in network.links]
    return balance(network, np.array(guess)).flows


def pumps_of(network):
    return [number for number, link in enumerate(network.links) if isinstance(link.law, PumpLaw)]


def within_the_curves(network, flows):
    """Whether every pump works where all programs have the same curve."""
    return all(0 < flows[i] < network.links[i].law.flows[-1] for i in pumps_of(network))


def some_pipe_between_laws(network, flows):
    """Whether some pipe flows at a Reynolds number where no law of friction holds and each program bridges as it
    likes, or so little above it that under the other formula it might: Swamee and Jain's jumps up by 1.6 % there.
    """
    pipes = [(link.law, flow) for link, flow in zip(network.links, flows, strict=True) if isinstance(link.law, PipeLaw)]
    return any(LAMINAR_END < reynolds_number(flow, law.diameter, VISCOSITY) < SURELY_TURBULENT for law, flow in pipes)


def by_wntr(network, folder):
    """Flows by EPANET [m³/s]: Darcy-Weisbach, 1e-8."""
    import wntr

    with warnings.catch_warnings():
        warnings.filterwarnings("ignore", "Changing the headloss formula", UserWarning)
        model = wntr.network.WaterNetworkModel()
        model.options.hydraulic.headloss = "D-W"
    model.options.hydraulic.viscosity = VISCOSITY / (1.1e-5 * FOOT**2)  # relative to EPANET's water
    model.options.hydraulic.accuracy = 1e-8
    model.options.hydraulic.trials = 500
    model.options.hydraulic.inpfile_units = "LPS"
    model.options.time.duration = 0
    model.add_reservoir("tank", base_head=100.0)
    for name in network.nodes[1:]:
        model.add_junction(name, base_demand=0.0, elevation=0.0)
    for link in network.links:
        ends = network.nodes[link.start], network.nodes[link.end]
        if isinstance(link.law, PumpLaw):
            model.add_curve(link.name + "c", "HEAD", list(link.law.curve))
            model.add_pump(link.name, *ends, "HEAD", link.name + "c")
        else:
            law = link.law
            model.add_pipe(link.name, *ends, law.length, law.diameter, law.roughness, law.forward)
    flows = wntr.sim.EpanetSimulator(model).run_sim(file_prefix=str(folder / "network")).link["flowrate"].iloc[0]
    return flows[[link.name for link in network.links]].to_numpy()


def by_pandapipes(network):
    """Flows by pandapipes with Colebrook [m³/s]."""
    import pandapipes
    from pandapipes.properties.fluids import create_constant_fluid

    net = pandapipes.create_empty_network()
    net.fluid = create_constant_fluid(
        "water", "liquid", density=DENSITY, viscosity=VISCOSITY * DENSITY, heat_capacity=4000.0
    )
    junctions = [pandapipes.create_junction(net, pn_bar=10.0, tfluid_k=293.15) for _ in network.nodes]
    pandapipes.create_ext_grid(net, junctions[TANK], p_bar=10.0, t_k=293.15)
    places = []
    for link in network.links:
        ends, law = (junctions[link.start], junctions[link.end]), link.law
        if isinstance(law, PumpLaw):
            pressures = [head * DENSITY * GRAVITY / 1e5 for head in law.heads]
            hourly = [flow * 3600 for flow in law.flows]
            index = pandapipes.create_pump_from_parameters(net, *ends, link.name, pressures, hourly, 1)
        else:
            index = pandapipes.create_pipe_from_parameters(
                net,
                *ends,
                law.length / 1000,
                law.diameter * 1000,
                k_mm=law.roughness * 1000,
                loss_coefficient=law.forward,
            )
        places.append(("res_pump" if isinstance(law, PumpLaw) else "res_pipe", index))
    fine = {"tol_p": 1e-9, "tol_m": 1e-9, "tol_res": 1e-9, "max_iter_hyd": 200, "max_iter_colebrook": 100}
    pandapipes.pipeflow(net, friction_model="colebrook", **fine)
    return np.array([net[table].mdot_from_kg_per_s[index] for table, index in places]) / DENSITY


def looped(rows, law):
    """The published network of ten pipes with a law for each row."""
    nodes = ("tank", *"ABCEFGHI")
    links = [Link(row["pipe"], *(nodes.index(end) for end in row["pipe"]), law(row)) for row in rows]
    links.append(Link("in", TANK, nodes.index("A"), Quadratic(0.0, 0.0)))
    links += [Link(end, nodes.index(end), TANK, Drawn(flow)) for end, flow in (("E", 0.04), ("G", 0.02), ("I", 0.02))]
    return Network(nodes, tuple(links))


def with_fixed_friction(row):
    diameter, length, factor = (float(row[key]) for key in ("diameter", "length", "friction"))
    resistance = 8 * factor * length / (pi**2 * GRAVITY * diameter**5)
    return Quadratic(resistance, resistance)


def with_colebrook(row):
    return PipeLaw(float(row["diameter"]), float(row["length"]), 0.25e-3, 1e-6, 0.0, 0.0)


@pytest.mark.parametrize(
    ("column", "law"), [("converged_fixed", with_fixed_friction), ("converged_colebrook", with_colebrook)]
)
def test_published_looped_network(published, column, law):
    """tests/published/looped_network.csv, solved to the end there; printed to 1e-6 m³/s."""
    rows = published("looped_network.csv")
    network = looped(rows, law)
    flows = balance(network, np.full(len(network.links), 0.02)).flows
    assert flows[: len(rows)] == pytest.approx([float(row[column]) for row in rows], abs=1e-5)


@settings(max_examples=60, deadline=None, derandomize=True)
@given(layouts(roughness=1.5e-6))
def test_random_networks_as_epanet_reckons_them(tmp_path_factory, network):
    """With EPANET's own friction formula only the balance differs, by its accuracy: 0.1 % of the pump's flow."""
    flows = solved(network)
    assume(within_the_curves(network, flows) and not some_pipe_between_laws(network, flows))
    same = Network(
        network.nodes,
        tuple(
            link if isinstance(link.law, PumpLaw) else Link(link.name, link.start, link.end, SwameeJain(link.law))
            for link in network.links
        ),
    )
    ours, theirs = balance(same, flows).flows, by_wntr(network, tmp_path_factory.mktemp("epanet"))
    assert np.abs(ours - theirs).max() <= 1e-3 * np.abs(ours[pumps_of(network)]).max()


@settings(max_examples=30, deadline=None, derandomize=True)
@given(layouts(roughness=1.5e-6))
def test_random_networks_against_epanet(tmp_path_factory, network):
    """Swamee and Jain's friction is 1 % off Colebrook, 3 % near Re 4000, so flows that split by it are 1 % off."""
    flows = solved(network)
    assume(within_the_curves(network, flows) and not some_pipe_between_laws(network, flows))
    theirs = by_wntr(network, tmp_path_factory.mktemp("epanet"))
    assert np.abs(flows - theirs).max() <= 1e-2 * np.abs(flows[pumps_of(network)]).max()


@pytest.mark.slow
@settings(max_examples=12, deadline=None, derandomize=True)
@given(layouts(roughness=1e-9))
def test_random_networks_against_pandapipes(network):
    """The same equation of Colebrook, smooth and turbulent throughout: only the balance differs."""
    flows = solved(network)
    pipes = [(link.law, flow) for link, flow in zip(network.links, flows, strict=True) if isinstance(link.law, PipeLaw)]
    assume(min(reynolds_number(flow, law.diameter, VISCOSITY) for law, flow in pipes) > TURBULENT_START)
    assume(within_the_curves(network, flows))
    assert np.abs(flows - by_pandapipes(network)).max() <= 1e-4 * np.abs(flows[pumps_of(network)]).max()


@settings(max_examples=100, deadline=None)
@given(layouts(roughness=1.5e-6))
def test_what_the_pumps_give_is_lost_and_nothing_else(network):
    """Power in equals power out, and every node but the tank gets as much as it gives; rounding only."""
    state = balance(network, np.full(len(network.links), 1e-3))
    losses = np.array([link.law.loss(flow)[0] for link, flow in zip(network.links, state.flows.tolist(), strict=True)])
    power = losses * state.flows
    given_by_pumps = -power[pumps_of(network)].sum()
    assert abs(power.sum()) <= 1e-9 * given_by_pumps
    ends = np.array([(link.start, link.end) for link in network.links])
    gains = np.bincount(ends[:, 1], state.flows, len(network.nodes)) - np.bincount(
        ends[:, 0], state.flows, len(network.nodes)
    )
    assert np.abs(gains).max() <= 1e-12 * np.abs(state.flows).max() * len(network.links)


@settings(max_examples=50, deadline=None)
@given(layouts(roughness=1.5e-6), st.integers(0, 2**32 - 1))
def test_the_balance_does_not_depend_on_the_guess(network, seed):
    """Without tees there is one solution only; it is found to 1e-8 of the flow."""
    guess = np.random.default_rng(seed).uniform(-5e-3, 5e-3, len(network.links))
    flows = solved(network)
    assert balance(network, guess).flows == pytest.approx(flows, abs=1e-8 * np.abs(flows).max())
