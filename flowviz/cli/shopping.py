"""Files of the user's own beside a scene: pumps to choose from, and prices."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING

from flowviz.errors import InputError

if TYPE_CHECKING:
    from flowviz.draw.pictures import Picture
    from flowviz.scene.model import Caution, Scene


@dataclass(frozen=True, slots=True)
class Answer:
    """What such a file adds to the account of a loop, as both forms of the output have it."""

    name: str  # of the numbers in the machine's form
    numbers: object
    tables: tuple
    cautions: tuple["Caution", ...] = ()
    draw: Callable[[Path], "Picture"] | None = None  # its picture into a folder
    files: Mapping[str, str] = field(default_factory=dict)  # text by name, for the folder


def tried_pumps(scene: "Scene", file: str, place: str | None) -> Answer:
    """What the pumps of a file would do in the place of one of the scene's."""
    from flowviz.plumbing.choice import curve_through, present, try_pumps
    from flowviz.scene.pumps import read_pumps
    from flowviz.store import choice_numbers
    from flowviz.tables import choice_tables

    candidates, place = read_pumps(file, scene.show), place_of(scene, place)
    tried, now = try_pumps(scene, place, candidates), present(scene, place)
    cautions = tuple(replace(caution, where=f"pump {choice.pump}") for choice in tried for caution in choice.cautions)
    asked = curve_through(scene, place, (*tried, now))

    def draw(folder: Path) -> "Picture":
        from flowviz.draw.loop.pictures import write_choice_picture

        return write_choice_picture(scene, now, tried, asked, folder)

    return Answer("choice", choice_numbers(scene, asked, now, tried), choice_tables(scene, now, tried), cautions, draw)


def place_of(scene: "Scene", named: str | None) -> str:
    """The name of the scene's pump that is meant: the only one, if none is named."""
    names = [pump.name for pump in scene.pumps]
    if not names:
        raise InputError("--pumps", "this scene has no pump, its flows are fixed", "Describe its pump and pipes")
    if named is not None and named not in names:
        raise InputError("--place", f"no pump is called {named!r}", f"Write one of: {', '.join(names)}")
    if named is None and len(names) > 1:
        raise InputError("--place", "is missing", f"Name the pump to replace: {', '.join(names)}")
    return named or names[0]


def priced_parts(scene: "Scene", parts: Sequence, file: str) -> Answer:
    """What the parts of a loop cost by a file of prices."""
    from flowviz.plumbing.parts import bill, bill_csv, missing_prices, prices_in
    from flowviz.scene.text import text_of
    from flowviz.store import bill_numbers
    from flowviz.tables import bill_tables

    costs = bill(parts, prices_in(text_of(Path(file)), file), file, scene.show)
    files = {"bill.csv": bill_csv(costs, scene.show)}
    return Answer("bill", bill_numbers(costs), bill_tables(costs), missing_prices(costs, file), files=files)
