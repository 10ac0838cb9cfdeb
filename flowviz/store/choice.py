"""The numbers of pumps set on a loop and of what its parts cost, as summary.json has those of the loop itself."""

from collections.abc import Sequence

from flowviz.plumbing.choice import Choice, Point
from flowviz.plumbing.energy import energy_of_a_year
from flowviz.plumbing.parts import Bill
from flowviz.scene.model import Scene
from flowviz.store.summary import plain, record


def choice_numbers(scene: Scene, system: Sequence[Point], now: Choice, tried: Sequence[Choice]) -> object:
    """What each pump would do in the place of one that is there now, and what that one does, ready for strict JSON;
    curves as pairs of m³/s and m.
    """
    pumps = {choice.pump: _choice(scene, choice) for choice in tried}
    return plain({"in_place_of": now.pump, "now": _choice(scene, now), "system_curve_m3_s_m": system, "pumps": pumps})


def _choice(scene: Scene, choice: Choice) -> dict[str, object]:
    power = choice.duty.power
    return {
        **record(choice.duty),
        "surviving_share": choice.duty.surviving_share,
        "rates_m3_s": choice.rates,
        "speeds_m_s": {each.name: choice.rates[each.name] / each.aperture.area for each in scene.outlets},
        "energy_of_a_year_j": None if power is None else energy_of_a_year(power),
        "cost_of_a_year": choice.cost,
        "place_on_curve": choice.along_curve,
        "kept_half_fouled": choice.kept_fouled,
        "kept_half_throttled": choice.kept_throttled,
        "curve_m3_s_m": choice.curve,
        "cautions": choice.cautions,
    }


def bill_numbers(bill: Bill) -> object:
    """What the parts cost in the money of the price file, ready for strict JSON."""
    without = [{"part": part.part, "size": part.size} for part in bill.unpriced]
    return plain({"total": bill.total, "by_branch": bill.by_branch, "by_part": bill.by_part, "without_price": without})
