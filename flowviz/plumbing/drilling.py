"""Holes that are not to be drilled as the scene has them: those that break a rule, and those in tempered panels."""

from collections.abc import Iterator, Mapping

from flowviz.plumbing.holes import NEVER, NO_PROOF, Check, Hole, PanelSheet, What, panel_sheets
from flowviz.scene.model import Caution, Scene
from flowviz.units import System, shown

NAMES: Mapping[What, str] = {  # what a rule is about, in a table
    "edge": "edge",
    "corner": "corner",
    "between": "next hole",
    "diameter": "diameter",
}
LEAVES: Mapping[What, str] = {  # the same in a sentence
    "edge": "{found} from its rim to the panel's edge",
    "corner": "{found} from its rim to a corner of the panel",
    "between": "{found} from its rim to the next hole's",
    "diameter": "{found} across",
}
DIGITS = 3  # of a length in a sentence


def hole_cautions(scene: Scene) -> Iterator[Caution]:
    """Of each hole that breaks a rule, and of each tempered panel that holes are to be drilled in."""
    kinds = {each.name: kind for kind in ("outlet", "intake") for each in getattr(scene, f"{kind}s")}
    for sheet in panel_sheets(scene):
        if sheet.tempered:
            names = ", ".join(hole.opening for hole in sheet.holes)
            yield Caution(f"panel {sheet.panel}", f"it is tempered, and a hole is told for {names}", NEVER)
            continue
        for hole in sheet.holes:
            if hole.hardest_broken:
                where, what = f"{kinds[hole.opening]} {hole.opening}", _broken(hole, sheet, scene.show)
                yield Caution(where, what, f"Move it, or ask those who made the panel. {NO_PROOF}")


def _broken(hole: Hole, sheet: PanelSheet, system: System) -> str:
    """What a hole leaves, and what the rules ask."""
    told = "; ".join(_shortfall(check, system) for check in hole.hardest_broken)
    return f"its hole in the panel {sheet.panel} has {told}"


def _shortfall(check: Check, system: System) -> str:
    found, least = (shown(each, "length", system, DIGITS, beside=check.least) for each in (check.found, check.least))
    return f"{LEAVES[check.rule.what].format(found=found)}, where the rules ask for {least}"
