"""A comparison in numbers, ready for strict JSON: SI units, what is unknown is null."""

from collections.abc import Sequence
from dataclasses import asdict
from math import isfinite

from flowviz.comparison.choice import Choice
from flowviz.comparison.compare import Comparison
from flowviz.comparison.course import Course
from flowviz.comparison.curves import Curve
from flowviz.comparison.differences import Difference
from flowviz.comparison.pockets import PocketChange

UNITS = {"speed": "m/s", "flow": "m3/s", "head": "m", "power": "W", "time": "s", "area": "m2", "volume": "m3"}


def comparison_numbers(comparison: Comparison) -> dict[str, object]:
    """Everything that a comparison says."""
    return {
        "before": comparison.before.scene.title,
        "after": comparison.after.scene.title,
        "title": comparison.title,
        "changes": [str(change) for change in comparison.changes],
        "reasons": list(comparison.reasons),
        "differences": [difference_numbers(each) for each in comparison.differences],
        "phases": {name: [difference_numbers(each) for each in found] for name, found in comparison.phases.items()},
        "pockets": [pocket_numbers(each) for each in comparison.every_pocket],
        "cautions": [asdict(caution) for caution in comparison.cautions],
    }


def difference_numbers(each: Difference) -> dict[str, object]:
    """One figure of two studies."""
    values = ("before", "before_half_width", "after", "after_half_width", "change", "change_half_width")
    return {
        "name": each.name,
        "subject": each.subject,
        "label": each.label,
        "when": each.when or None,
        "unit": UNITS.get(each.quantity, "1"),
        "wanted": each.wanted,
        **{name: known(getattr(each, name)) for name in values},
        "by_each_march": each.by_each_march,
        "verdict": each.verdict,
    }


def pocket_numbers(each: PocketChange) -> dict[str, object]:
    """One pocket, and what becomes of it."""
    return {
        "fate": each.fate,
        "phase": each.phase or None,
        "kind": each.zone.kind,
        "place": each.zone.place,
        "volume_before_m3": each.before.volume if each.before else None,
        "volume_after_m3": each.after.volume if each.after else None,
        "speed_before_m_s": known(each.speed_before),
        "speed_after_m_s": known(each.speed_after),
        "change_half_width_m_s": known(each.change_half_width),
        "reason": each.reason,
    }


def course_numbers(course: Course) -> dict[str, object]:
    """Everything that a course says."""
    return {
        "scene": course.studies[0].scene.title,
        "opening": course.opening,
        "places_m": [list(place) for place in course.places],
        "moved_m": list(course.moved),
        "title": course.title,
        "reasons": list(course.reasons),
        "curves": [curve_numbers(curve) for curve in course.curves],
        "cautions": [asdict(caution) for caution in course.cautions],
    }


def choice_numbers(choice: Choice) -> dict[str, object]:
    """Everything that a choice among layouts says; places in its lists are the layouts', the first is 0."""
    return {
        "layouts": list(choice.names),
        "title": choice.title,
        "reasons": list(choice.reasons),
        "curves": [curve_numbers(curve) for curve in choice.curves],
        "cautions": [],  # each comparison of two has its own
    }


def curve_numbers(curve: Curve) -> dict[str, object]:
    """One measure of several studies."""
    return {
        "name": curve.name,
        "subject": curve.subject,
        "label": curve.label,
        "unit": UNITS.get(curve.quantity, "1"),
        "wanted": curve.wanted,
        "values": every(curve.values),
        "half_widths": every(curve.half_widths),
        "best": curve.best,
        "too_close_to_the_best": list(curve.close),
    }


def every(values: Sequence[float]) -> list[float | None]:
    """Numbers, null where they are none."""
    return [known(value) for value in values]


def known(value: float) -> float | None:
    """A number; None where it is none."""
    return value if isfinite(value) else None
