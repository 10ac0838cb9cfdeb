"""Numbers and names in plain words."""

from math import isnan


def named(name: str) -> str:
    """A thing of the scene in the middle of a sentence: "the scanned arch", but "Rock 3" as it is."""
    return f"the {name}" if name[:1].islower() and not name.startswith("the ") else name


def percent(share: float) -> str:
    """A share of a whole, no finer than it matters: "4.2 %", "37 %"."""
    if isnan(share):
        return "an unknown share"
    return f"{100 * share:.1f} %" if share < 0.1 else f"{100 * share:.0f} %"
