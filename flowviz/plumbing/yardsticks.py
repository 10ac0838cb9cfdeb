"""Published rules for the speed of water at a screen.

All are for rivers and power stations; none is for an aquarium, and none protects poor swimmers of a few centimetres.
"""

from dataclasses import dataclass

FOOT = 0.3048  # [m]


@dataclass(frozen=True, slots=True)
class Yardstick:
    """A rule for the speed at a screen."""

    name: str
    speed: float  # [m/s]
    through_slots: bool  # else at the screen's skin
    short: str  # for where there is no room


THROUGH_SCREEN = Yardstick(
    "40 CFR 125.84(b)(2): through the screen of a power station's intake", 0.5 * FOOT, True, "the 0.5 ft/s rule"
)
ACTIVE_SCREEN = Yardstick(
    "NMFS pump intakes: before a screen that cleans itself", 0.4 * FOOT, False, "the 0.4 ft/s rule"
)
PASSIVE_SCREEN = Yardstick("NMFS pump intakes: before a screen that does not", 0.2 * FOOT, False, "the 0.2 ft/s rule")
YARDSTICKS = (THROUGH_SCREEN, ACTIVE_SCREEN, PASSIVE_SCREEN)
