"""The designer's pages: each chapter a lead, tables and pictures; one that has nothing to tell is left out."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from flowviz.comparison import Comparison
from flowviz.draw.pictures import Picture
from flowviz.plumbing.dossier import Dossier
from flowviz.report.pictures import Drawn
from flowviz.report.words import ASSUMPTIONS, LEADS, quality
from flowviz.store import study_cautions
from flowviz.study import Study
from flowviz.tables import Table, comparison_tables, definition_table, study_tables
from flowviz.tables import dossier as loop_asks
from flowviz.tables import loop as openings
from flowviz.tables import study as water
from flowviz.tables import water as rest
from flowviz.tables.cycle import cycle_tables


@dataclass(frozen=True, slots=True)
class Chapter:
    """A part of the designer's pages."""

    key: str  # its address in the page
    title: str
    lead: str
    tables: tuple[Table, ...] = ()
    pictures: tuple[Picture, ...] = ()
    points: tuple[str, ...] = ()

    @property
    def empty(self) -> bool:
        """Whether it has nothing to tell."""
        return not (any(table.rows for table in self.tables) or self.pictures or self.points)


def chapters(study: Study, told: Dossier, drawn: Drawn, held: Comparison | None) -> tuple[Chapter, ...]:
    """All that have something to tell; every table of the study and of its loop stands in one of them."""
    first = (*two_layouts(held, drawn), *in_the_tank(study, drawn), *about_the_loop(study, told, drawn))
    last = tuple(to_know(study, told, drawn, held))
    placed = [table for chapter in (*first, *last) for table in chapter.tables]
    tables = (*study_tables(study), *loop_asks.dossier_tables(study.scene, told))
    further = chapter("further", "Further figures", *(table for table in tables if table not in placed))
    ordered = (*first, further, *last)
    return tuple(chapter for chapter in ordered if not chapter.empty)


def two_layouts(held: Comparison | None, drawn: Drawn) -> Iterator[Chapter]:
    """What a change of plan brings."""
    if held is not None:
        tables = comparison_tables(held)
        yield Chapter("change", "What the change brings, and why", LEADS["change"], tables, drawn.change, held.reasons)


def in_the_tank(study: Study, drawn: Drawn) -> Iterator[Chapter]:
    """What the water does; of a cycle which phase that is of."""
    phase = study.main_phase
    only = f" All of it is of the phase {phase.name}; the chapter on the cycle tells of the others." if phase else ""
    for each in about_the_water(study, drawn):
        yield replace(each, lead=f"{each.lead}{only}") if each.key != "cycle" else each


def about_the_water(study: Study, drawn: Drawn) -> Iterator[Chapter]:
    """Pockets, cuts, the cycle, corals, bed, rock and surface, age, what was measured."""
    yield chapter("zones", "Dead and too-strong water", water.speed_table(study), water.zone_table(study))
    yield chapter("sections", "Sections", pictures=pick(drawn.flat, "plan", "section"))
    yield chapter("cycle", "The cycle", *cycle_tables(study), pictures=pick(drawn.flat, "cycle"))
    yield chapter("corals", "Corals", water.coral_table(study), water.need_table(study))
    yield chapter("bed", "The bed", rest.bed_table(study))
    yield chapter("surface", "Rock and surface", rest.surface_table(study))
    yield chapter("age", "Age and renewal of the water", rest.renewal_table(study))
    yield chapter("measured", "Measured points", rest.measured_table(study), pictures=pick(drawn.flat, "measured"))


def about_the_loop(study: Study, told: Dossier, drawn: Drawn) -> Iterator[Chapter]:
    """What the loop does, and what it asks of builder and keeper; of a cycle in which phase."""
    phase = study.main_phase
    rest = f" What is not said to be of everything running is of the phase {phase.name}." if phase else ""
    for each in of_the_loop(study, told, drawn):
        yield replace(each, lead=f"{each.lead}{rest}") if each.key in ("intakes", "plumbing") else each


def of_the_loop(study: Study, told: Dossier, drawn: Drawn) -> Iterator[Chapter]:
    """Intakes, pumps and pipes, holes, parts, service."""
    scene, system = study.scene, study.scene.show
    yield chapter(
        "intakes",
        "Intakes and animals",
        openings.intake_table(scene, study.loop),
        rest.reach_table(study),
        *loop_asks.as_built(
            scene,
            loop_asks.peril_table(told, system),
            loop_asks.yardstick_table(told),
            loop_asks.fouling_table(told, system),
            loop_asks.swap_table(told),
            loop_asks.size_table(told, system),
            loop_asks.blocked_table(told, system),
        ),
        pictures=pick(drawn.loop, "strainer"),
    )
    yield chapter(
        "plumbing",
        "Pump and pipes",
        openings.pump_table(scene, study.loop),
        openings.outlet_table(scene, study.loop),
        *loop_asks.as_built(
            scene,
            loop_asks.loss_table(told, system),
            loop_asks.upsize_table(told, system),
            loop_asks.heat_table(scene, told),
        ),
        pictures=pick(drawn.loop, "loop", "head", "pump"),
    )
    holes, sheets = loop_asks.hole_table(told, system), loop_asks.sheet_table(told)
    yield chapter("holes", "Holes", holes, sheets, pictures=pick(drawn.loop, "hole"))
    yield chapter("parts", "Parts", loop_asks.part_table(told, system))
    yield chapter(
        "service",
        "Service and leaks",
        loop_asks.service_table(told, system),
        loop_asks.inspection_table(told, system),
        *loop_asks.as_built(scene, loop_asks.leak_table(scene, told), loop_asks.stop_table(scene, told)),
    )


def to_know(study: Study, told: Dossier, drawn: Drawn, held: Comparison | None) -> Iterator[Chapter]:
    """What the figures rest on, and what must be known before acting on them."""
    yield Chapter("assumptions", "What is assumed", LEADS["assumptions"], points=ASSUMPTIONS)
    yield chapter(
        "limits", "Limits and definitions", water.limit_table(study.scene), definition_table(study.scene.show)
    )
    yield Chapter("trust", "How far to trust it", LEADS["trust"], points=quality(study))
    compared = held.cautions if held else ()
    cautions = dict.fromkeys((*study_cautions(study), *compared, *told.cautions, *drawn.cautions))
    yield Chapter("cautions", "Cautions", LEADS["cautions"], points=tuple(map(str, cautions)))


def chapter(key: str, title: str, *tables: Table, pictures: tuple[Picture, ...] = ()) -> Chapter:
    """A chapter of tables, and perhaps of pictures."""
    return Chapter(key, title, LEADS[key], tuple(table for table in tables if table.rows), pictures)


def pick(pictures: Iterable[Picture], *beginnings: str) -> tuple[Picture, ...]:
    """The pictures whose files' names begin so."""
    return tuple(picture for picture in pictures if picture.file.startswith(beginnings))
