"""The sentences over the pictures of a loop, and what is told to those who cannot see them."""

from flowviz.draw.lettering import short
from flowviz.draw.loop.words import even_shares
from flowviz.draw.wording import percent
from flowviz.plumbing.cautions import FLOOD, TRICKLE
from flowviz.plumbing.loop import Loop
from flowviz.scene.model import Scene
from flowviz.units import shown


def loop_title(scene: Scene, loop: Loop) -> str:
    """What comes out of the outlets, in one sentence."""
    shares = even_shares(scene, loop)
    flows = {name: figures.flow for name, figures in loop.outlets.items()}
    if not loop.total:
        return "No water moves: no pump turns"
    wrong = [name for name, flow in flows.items() if flow <= 0]
    if wrong:
        return f"{_named(wrong)} {'gives' if len(wrong) == 1 else 'give'} no water"
    least, most = (pick(shares, key=shares.__getitem__) for pick in (min, max))
    if shares[least] < TRICKLE:
        return f"{_named([least])} gets a trickle: {_of_share(scene, least, flows[least], shares[least])}"
    if shares[most] > FLOOD:
        return f"{_named([most])} gets far more than its share: {_of_share(scene, most, flows[most], shares[most])}"
    return _even(scene, loop, least, most)


def _even(scene: Scene, loop: Loop, least: str, most: str) -> str:
    total, shares = shown(loop.total, "flow", scene.show), even_shares(scene, loop)
    if len(scene.outlets) == 1:
        return f"{total} come out of the one outlet"
    span = f"{percent(shares[least])} to {percent(shares[most])} of its share"
    return f"No outlet gets a trickle: each of the {len(shares)} has {span}"


def loop_description(scene: Scene, loop: Loop) -> str:
    """The diagram in words."""
    outlets = (f"{short(name)} {shown(each.flow, 'flow', scene.show)}" for name, each in loop.outlets.items())
    pumps = (
        f"{short(name)} gives {shown(duty.flow, 'flow', scene.show)} against {shown(duty.head, 'head', scene.show)}"
        for name, duty in loop.pumps.items()
    )
    return f"Diagram of the loop. Outlets: {'; '.join(outlets)}. Pumps: {'; '.join(pumps) or 'none described'}."


def _named(names: list[str]) -> str:
    return " and ".join(f"\N{LEFT DOUBLE QUOTATION MARK}{short(name)}\N{RIGHT DOUBLE QUOTATION MARK}" for name in names)


def _of_share(scene: Scene, name: str, flow: float, share: float) -> str:
    return f"{shown(flow, 'flow', scene.show)}, {percent(share)} of what an even split would give it"
