"""The name of a group of corals in a picture, with what is wrong with its current."""

from flowviz.assess.corals import CoralFigures
from flowviz.assess.needs import coral_verdict
from flowviz.draw.sheets.labels import Label
from flowviz.draw.sheets.lettering import short

CONTENT = ("good", "unknown")  # verdicts on a group of corals that leave nothing to be told
BOLD_RIM = 2.0  # width of the frame round the name of corals that have not the current they want [pt]


def coral_label(name: str, found: CoralFigures | None, at: tuple[float, float]) -> Label:
    """A group's name; bold, with what is wrong, where it has not the current it wants, if what was found is given."""
    if found is None or (found.cells and found.verdict in CONTENT):
        return Label(short(name), at, nearest=4.0)
    return Label(f"{short(name)}: {coral_verdict(found)}", at, weight="bold", rim=BOLD_RIM, nearest=4.0)
