"""What a solved network means for the pipes, and all figures together."""

from collections.abc import Mapping, Sequence
from math import copysign

from flowviz.formulas.pipes import reynolds_number
from flowviz.plumbing.circuits import circuits
from flowviz.plumbing.duty import pump_duties
from flowviz.plumbing.graph import Tee
from flowviz.plumbing.laws import velocity_head
from flowviz.plumbing.loop import Loop, PipeFlow
from flowviz.plumbing.network import Layout
from flowviz.plumbing.newton import Balance
from flowviz.plumbing.openings import intake_figures, outlet_figures
from flowviz.plumbing.rest import resting
from flowviz.plumbing.tees import leg_heads


def figures(layout: Layout, balance: Balance) -> Loop:
    """Everything that is told about a solved network."""
    scene, network = layout.scene, layout.network
    still = resting(network, balance.flows.tolist())
    flows = [0.0 if number in still else flow for number, flow in enumerate(balance.flows.tolist())]
    rates = dict(zip(layout.mouths, flows[layout.opening_link(0) :], strict=True))
    in_tees = {tee.name: leg_heads(tee.inflows(flows), tee.areas) for tee in network.tees}
    by_pipe = _tee_losses(network.tees, in_tees)
    heads = dict(zip(network.nodes, balance.heads.tolist(), strict=True))
    heads |= {name: heads[name] - legs[0] for name, legs in in_tees.items()}
    return Loop(
        rates,
        pump_duties(layout, flows, heads),
        tuple(_pipe_flow(layout, i, flows[i], by_pipe.get(i, {})) for i in range(len(scene.pipes))),
        outlet_figures(scene, rates, layout.mouths),
        intake_figures(scene, rates, layout.mouths, layout.state.fouled),
        heads,
        circuits(layout),
    )


def _tee_losses(tees: Sequence[Tee], heads: Mapping[str, Sequence[float]]) -> Mapping[int, Mapping[str, float]]:
    """Head lost in the tees at the ends of each pipe [m], from its start to its end, by pipe and tee."""
    losses: dict[int, dict[str, float]] = {}
    for tee in tees:
        for leg, head in zip(tee.legs, heads[tee.name], strict=True):
            losses.setdefault(leg.link, {})[tee.name] = leg.inward * head
    return losses


def _pipe_flow(layout: Layout, number: int, flow: float, tees: Mapping[str, float]) -> PipeFlow:
    pipe, law = layout.scene.pipes[number], layout.pipes[number]
    dynamic = copysign(velocity_head(flow, law.area), flow)
    ways = {name: way.forward if flow >= 0 else way.backward for name, way in layout.losses[number].items()}
    if layout.state.throttled.get(number):
        ways["throttle"] = layout.state.throttled[number]
    losses = {name: coefficient * dynamic if flow else 0.0 for name, coefficient in ways.items()}
    reynolds = reynolds_number(flow, law.diameter, law.viscosity)
    friction = law.friction(flow)[0]
    return PipeFlow(pipe.start, pipe.end, law.diameter, flow, flow / law.area, reynolds, friction, losses, tees)
