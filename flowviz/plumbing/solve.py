"""The door of the plumbing floor: from a scene to the flow at every opening."""

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from flowviz.errors import InputError
from flowviz.plumbing.cautions import intake_cautions, loop_cautions
from flowviz.plumbing.drilling import hole_cautions
from flowviz.plumbing.figures import figures
from flowviz.plumbing.loop import Circuit, Loop
from flowviz.plumbing.network import Layout, network
from flowviz.plumbing.newton import balance
from flowviz.plumbing.openings import intake_figures, outlet_figures
from flowviz.plumbing.rest import at_rest
from flowviz.plumbing.state import AS_BUILT, State
from flowviz.scene.circuit import impossible_speed
from flowviz.scene.model import Outlet, Scene
from flowviz.units import System, shown

FIRST_SPEED = 1.0  # in every pipe, from which the search starts [m/s]
BALANCE = 1e-9  # of the total: how far fixed flows may be from adding up [-]


def solve_loop(scene: Scene, state: State = AS_BUILT, near: Loop | None = None) -> Loop:
    """The flow at every opening of a scene and what it costs; where no pump turns, none.

    near    a solved loop of the same pipes that is much like it, from which the search is shorter

    Raises InputError where the loop cannot work as it is described and ConvergenceError where its flows were not found.
    """
    if not scene.pipes:
        return fixed_loop(scene, state)
    layout = network(scene, state)
    turning = any(law.speed for law in layout.pumps)
    guess = first_guess(layout) if near is None else flows_of(near)
    found = balance(layout.network, guess) if turning else at_rest(layout.network)
    loop = figures(layout, found)
    if not (state.fouled or state.blocked):
        _speeds_are_possible(scene, loop)
    return replace(loop, cautions=(*loop_cautions(layout, loop), *hole_cautions(scene)))


def _speeds_are_possible(scene: Scene, loop: Loop) -> None:
    """Refuse flows that no tank's loop gives, as the reader does where a scene fixes them."""
    for opening in scene.openings:
        fault = impossible_speed(opening, loop.rates[opening.name], scene.show)
        if fault is not None:
            kind = "outlet" if isinstance(opening, Outlet) else "intake"
            remedy = "Check the unit of its size, and those of the pump's curve"
            raise InputError(f'{kind} "{opening.name}"', fault, remedy)


def fixed_loop(scene: Scene, state: State) -> Loop:
    """The flows that the scene fixes; one opening may be left to take the difference."""
    signed = {outlet.name: outlet.flow for outlet in scene.outlets}
    signed |= {intake.name: None if intake.flow is None else -intake.flow for intake in scene.intakes}
    rates = _completed(signed, scene.show)
    intakes = intake_figures(scene, rates, {}, state.fouled)
    whole = (Circuit((), tuple(rates)),)
    loop = Loop(rates, outlets=outlet_figures(scene, rates, {}), intakes=intakes, circuits=whole)
    return replace(loop, cautions=(*intake_cautions(scene, loop), *hole_cautions(scene)))


def _completed(flows: Mapping[str, float | None], system: System) -> Mapping[str, float]:
    """Flows into the tank [m³/s] with the one that is left open."""
    left = [name for name, flow in flows.items() if flow is None]
    known = {name: flow for name, flow in flows.items() if flow is not None}
    if len(left) > 1:
        raise InputError(
            f'opening "{left[1]}"',
            "it has no flow, and no pipe says where its water comes from or goes",
            'Write its flow, or describe the loop with "pipe" and "pump"',
        )
    surplus = sum(known.values())
    if left:
        return {name: -surplus if flow is None else flow for name, flow in flows.items()}
    total = sum(flow for flow in known.values() if flow > 0)
    if abs(surplus) > BALANCE * total:
        into, out = (shown(flow, "flow", system, 5) for flow in (total, total - surplus))
        raise InputError(
            "flow of the openings",
            f"{into} come into the tank and {out} leave it",
            "Leave one opening without a flow; it takes the difference",
        )
    return known


def first_guess(layout: Layout) -> np.ndarray:
    """Flows of all links [m³/s] to start from: an ordinary speed in every pipe, pumps in the middle of their curves."""
    pipes = [law.area * FIRST_SPEED for law in layout.pipes]
    pumps = [law.open_flow / 2 for law in layout.pumps]
    openings = [pipes[0] if isinstance(opening, Outlet) else -pipes[0] for opening in layout.scene.openings]
    return np.array([*pipes, *pumps, *openings])


def flows_of(loop: Loop) -> np.ndarray:
    """Flows of all links of a solved loop [m³/s], in the order of its layout."""
    pipes, pumps = (tuple(each.flow for each in part) for part in (loop.pipes, loop.pumps.values()))
    return np.array([*pipes, *pumps, *loop.rates.values()])
