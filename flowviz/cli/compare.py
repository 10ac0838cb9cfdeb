"""flowviz compare: two or more layouts, or one opening on its way, side by side."""

import json
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

import click
from rich.text import Text

from flowviz.cli.options import Count, cell_edge, cell_option, detail_option, faults_of, json_option, marches_option
from flowviz.cli.sources import WHAT, found_in, study_of
from flowviz.cli.waiting import progress_bar
from flowviz.cli.words import Command, Words, print_cautions, print_json, print_pictures, print_tables, with_pictures
from flowviz.errors import InputError, seen
from flowviz.progress import Stage
from flowviz.units import QuantityError, shown, to_si

if TYPE_CHECKING:
    from flowviz.comparison import Comparison
    from flowviz.comparison.choice import Choice
    from flowviz.comparison.course import Course
    from flowviz.draw.pictures import Album
    from flowviz.scene.model import Scene
    from flowviz.study import Settings, Study

STEPS, MOST_STEPS = 5, 25
ELSEWHERE = (
    "Choose another --to; onto another panel, or turned, it goes in a copy of the scene, which is then compared with it"
)
ON_THE_WAY = "Choose another --to, or fewer --steps: with --steps 2 only where it is and where it goes are looked at"
DIGITS = 3  # of a length in a sentence
BESIDE = 4  # layouts on one page


@click.command(cls=Command)
@click.argument("sources", metavar=f"{WHAT}...", nargs=-1, required=True)
@click.option("-o", "folder", metavar="DIR", required=True, help="Folder for figures and pictures.")
@detail_option
@cell_option
@marches_option
@click.option("--move", metavar="NAME", help="An outlet or intake of a single SCENE to move.")
@click.option("--to", "target", metavar="'X, Y, Z'", help="Where it goes, such as '1.6 m, 0.1 m, 0 m'.")
@click.option("--steps", type=Count(2, MOST_STEPS), help="Places on its way, both ends counted; default: 5.")
@json_option
def compare(
    sources: tuple[str, ...],
    folder: str,
    detail: str,
    cell: str | None,
    marches: int | None,
    move: str | None,
    target: str | None,
    steps: int | None,
    as_json: bool,
) -> None:
    """Hold layouts against the first one, or follow one opening on its way.

    --move, --to and --steps have one opening of a single SCENE go to another place. What a change brings, what it
    costs and why, as far as that is more than noise. A FOLDER that run has written is not computed anew. No scene file
    is changed.
    """
    from flowviz.looks import settings_of

    edge, way = cell_edge(cell), way_of(sources, move, target, steps)
    settings = settings_of(detail, edge, marches)
    if way is None:
        compare_layouts(sources, folder, settings, as_json)
    else:
        follow(sources[0], folder, settings, way, as_json)


def compare_layouts(sources: Sequence[str], folder: str, settings: "Settings", as_json: bool) -> None:
    """Each layout against the first."""
    from flowviz.comparison import compare
    from flowviz.comparison.choice import choice
    from flowviz.comparison.numbers import choice_numbers, comparison_numbers
    from flowviz.store import fresh_folder

    if len(sources) < 2:
        raise InputError("compare", "there is one layout only", "Name two or more, or one with --move and --to")
    with fresh_folder(folder) as fresh, progress_bar() as progress:
        found = found_in(sources, settings.cell, progress)
        studies = [study_of(*each, settings, progress) for each in zip(found, sources, strict=True)]
        keep(studies, sources, fresh)
        progress(Stage("comparing"))
        comparisons = [compare(studies[0], other) for other in studies[1:]]
        chosen = choice(studies) if len(studies) > 2 else None
        progress(Stage("drawing"))
        albums = draw(comparisons, fresh)
        together = draw_choice(chosen, fresh) if chosen else None
        pairs = zip(comparisons, albums, strict=True)
        each = [with_pictures(comparison_numbers(pair), album.pictures, album.cautions) for pair, album in pairs]
        whole = with_pictures(choice_numbers(chosen), together.pictures, together.cautions) if chosen else None
        numbers = {"choice": whole, "comparisons": each}
        write_json(numbers, fresh)
    if as_json:
        print_json(numbers)
        return
    words = Words()
    if chosen:
        print_choice(words, chosen)
        print_cautions(words, together.cautions)
        print_pictures(words, folder, together.pictures)
    for comparison, album in zip(comparisons, albums, strict=True):
        print_comparison(words, comparison)
        print_cautions(words, (*comparison.cautions, *album.cautions))
        print_pictures(words, folder, album.pictures)


def keep(studies: Sequence["Study"], sources: Sequence[str], fresh: Path) -> None:
    """Write the studies that were computed now into the folder."""
    from flowviz.store import write_study

    for number, (study, source) in enumerate(zip(studies, sources, strict=True), start=1):
        if not Path(source).is_dir():
            own = fresh / f"layout-{number}"
            own.mkdir()
            write_study(study, own)


def draw(comparisons: Sequence["Comparison"], fresh: Path) -> list["Album"]:
    """The pictures of each comparison; where there are several, in folders of their own."""
    from flowviz.draw.layouts.pictures import write_comparison

    if len(comparisons) == 1:
        return [write_comparison(comparisons[0], fresh)]
    albums = []
    for number, comparison in enumerate(comparisons, start=2):
        own = f"layout-{number}-against-1"
        albums.append(placed(write_comparison(comparison, fresh / own), f"{own}/"))
    return albums


def placed(album: "Album", folder: str) -> "Album":
    """An album whose pictures lie in a folder."""
    return replace(album, pictures=tuple(replace(each, file=f"{folder}{each.file}") for each in album.pictures))


def draw_choice(chosen: "Choice", fresh: Path) -> "Album":
    """What all layouts come to, and the first few of them side by side."""
    from flowviz.draw.layouts.choice import choice_view
    from flowviz.draw.layouts.pictures import write_layouts
    from flowviz.draw.pictures import write

    first = write(choice_view(chosen), "layouts", fresh, "png")
    beside = {f"{n}. {study.scene.title}": study for n, study in enumerate(chosen.studies[:BESIDE], start=1)}
    album = write_layouts(beside, fresh)
    return replace(album, pictures=(first, *album.pictures))


def print_choice(words: Words, chosen: "Choice") -> None:
    """Which layout is the best, which is which, and the measures of all."""
    from flowviz.tables.comparison import choice_table

    words.print(Text(chosen.title, style="bold"))
    for each in chosen.names:
        words.print(Text(f"  {each}"))
    print_tables(words, [choice_table(chosen)])


def print_comparison(words: Words, comparison: "Comparison") -> None:
    """What it comes to, the reasons, and the figures."""
    from flowviz.tables import comparison_tables

    words.print(Text(both(comparison.before.scene.title, comparison.after.scene.title), style="bold"))
    words.print(Text(comparison.title, style="bold"))
    for reason in comparison.reasons:
        words.print(Text(f"  {reason}"))
    print_tables(words, comparison_tables(comparison))


def both(before: str, after: str) -> str:
    """Which layouts are compared, by their titles: a changed copy mostly keeps that of its model."""
    return f"{before}, before  →  after" if before == after else f"{before}  →  {after}"


def follow(source: str, folder: str, settings: "Settings", way: "Way", as_json: bool) -> None:
    """One opening on its way to another place."""
    from flowviz.comparison.course import course
    from flowviz.comparison.numbers import course_numbers
    from flowviz.draw.layouts.course import course_view
    from flowviz.draw.pictures import write
    from flowviz.store import fresh_folder
    from flowviz.study import run

    scenes = places_on(way, source)
    with fresh_folder(folder) as fresh, progress_bar() as progress, faults_of(source):
        studies = [run(scene, settings, progress) for scene in scenes]
        found = course(studies, way.opening)
        progress(Stage("drawing"))
        picture = write(course_view(found), "course", fresh, "png")
        numbers = with_pictures(course_numbers(found), [picture])
        write_json(numbers, fresh)
    if as_json:
        print_json(numbers)
        return
    words = Words()
    print_course(words, found)
    print_pictures(words, folder, [picture])


def print_course(words: Words, found: "Course") -> None:
    """What it comes to, the figures, and what must be known."""
    from flowviz.tables.comparison import course_table

    words.print(Text(found.title, style="bold"))
    for reason in found.reasons:
        words.print(Text(reason))
    print_tables(words, [course_table(found)])
    print_cautions(words, found.cautions)


@dataclass(frozen=True, slots=True)
class Way:
    """Which opening goes where, and in how many places it is looked at."""

    opening: str
    target: tuple[float, float, float]  # [m]
    steps: int


def places_on(way: Way, source: str) -> list["Scene"]:
    """The scene with the opening in each place; whether it can be where it goes is looked at first."""
    from flowviz.scene.file import read_moved

    scenes = [read_moved(source, way.opening, way.target, 0.0)]
    for step in range(way.steps - 1, 0, -1):
        share = step / (way.steps - 1)
        try:
            scenes.insert(1, read_moved(source, way.opening, way.target, share))
        except InputError as fault:
            middle = share < 1
            at = f" ({between(scenes[0], scenes[-1], way.opening, share)})" if middle else ""
            where = f"--to, place {step + 1} of {way.steps}{at}: {fault.where}"
            raise InputError(where, fault.fault, ON_THE_WAY if middle else ELSEWHERE) from fault
    return scenes


def between(first: "Scene", last: "Scene", opening: str, share: float) -> str:
    """Where an opening is that has gone a share of its way from one scene to another, in words."""
    start, end = (next(each.centre for each in scene.openings if each.name == opening) for scene in (first, last))
    at = (a + share * (b - a) for a, b in zip(start, end, strict=True))
    return ", ".join(shown(part, "length", first.show, DIGITS) for part in at)


def way_of(sources: Sequence[str], opening: str | None, target: str | None, steps: int | None) -> Way | None:
    """What --move, --to and --steps ask for together; None: nothing."""
    if opening is None and target is None and steps is None:
        return None
    if opening is None or target is None:
        missing = "--move" if opening is None else "--to"
        remedy = "Write them together: --move 'floor riser' --to '1.6 m, 0.1 m, 0 m'"
        raise InputError(missing, "is missing", remedy)
    if len(sources) != 1 or Path(sources[0]).is_dir():
        raise InputError("--move", f"stands beside {len(sources)} layouts or a folder", "Name one scene file with it")
    return Way(opening, point(target), steps or STEPS)


def point(written: str) -> tuple[float, float, float]:
    """Where an opening is to go, as the user wrote it [m]."""
    parts = written.split(",")
    if len(parts) != 3:
        fault = f"{seen(written)} has no three lengths with commas between them"
        raise InputError("--to", fault, "Write three, along x, y and z, as '1.6 m, 0.1 m, 0 m'")
    try:
        x, y, z = (to_si(part.strip(), "length") for part in parts)
    except QuantityError as fault:
        raise InputError("--to", f"{fault.where} {fault.fault}", fault.remedy) from None
    return x, y, z


def write_json(numbers: object, fresh: Path) -> None:
    """What is printed with --json, as a file."""
    text = json.dumps(numbers, indent=2, ensure_ascii=False, allow_nan=False)
    (fresh / "comparison.json").write_text(f"{text}\n", encoding="utf-8")
