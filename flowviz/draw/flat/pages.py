"""The pages of a section and of the view from above: what is drawn, with its title, bar and key."""

from collections.abc import Iterator, Mapping, Sequence

from flowviz.draw.flat.plan import draw_plan
from flowviz.draw.flat.planes import Section, Subject
from flowviz.draw.flat.section import corals_cut, draw_section
from flowviz.draw.flat.slices import Plane, flat
from flowviz.draw.flat.solid import is_rock_cut
from flowviz.draw.flat.titles import plan_title, section_title, whereabouts
from flowviz.draw.sheets.bar import draw_bands, draw_bar
from flowviz.draw.sheets.key import BED, BELOW, CURRENT, FRAME, ROCKS, UNWANTED, Entry, dot, draw_key, hatched, screens
from flowviz.draw.sheets.lettering import short
from flowviz.draw.sheets.paragraphs import Text
from flowviz.draw.sheets.sheet import sheet
from flowviz.draw.sheets.theme import INK, PAPER, SMALL, speed_scale
from flowviz.draw.sheets.view import KEPT, View, foot, head, subject
from flowviz.draw.sheets.wording import badges, rough
from flowviz.scene.model import Scene, Tank
from flowviz.study import Study
from flowviz.units import System, shown

Band = tuple[float, float]  # slowest and fastest that corals want [m/s]

PEAKS = ("over", "fastest")  # subjects whose titles tell the fastest speed


def section_view(study: Study, section: Section) -> View:
    """The picture of a section."""
    scene = study.scene
    title, where = section_title(study, section.subject), whereabouts(section.plane, scene.tank, scene.show)
    above = head(title, f"{subject(study)}: {where}")
    below = (*foot(study), *mouth_words(study, section.subject), *band_words(scene, section.plane))
    page = sheet(face(scene.tank, section.plane), above, below)
    scale = speed_scale(scene.limits)
    draw_section(page.picture, study, section.plane, scale)
    draw_bar(page.bar, scene.limits, scene.show, scale)
    draw_bands(page.bar, list(bands(scene, section.plane)), scale)
    draw_key(page.key, section_entries(scene, section.plane))
    return View(page.figure, title, f"{title}. {where[0].upper()}{where[1:]}.")


def plan_view(study: Study) -> View:
    """The picture from above."""
    scene, title = study.scene, plan_title(study)
    over = head(title, f"{subject(study)}: seen from above, means over the depth")
    page = sheet(scene.tank.plan.size, over, foot(study))
    scale = speed_scale(scene.limits)
    draw_plan(page.picture, study, scale)
    draw_bar(page.bar, scene.limits, scene.show, scale)
    draw_key(page.key, plan_entries(study))
    return View(page.figure, title, f"{title}. The tank seen from above.")


def face(tank: Tank, cut: Plane) -> tuple[float, float]:
    """Width and height of a picture of a plane [m]."""
    return flat((*tank.plan.size, tank.height), cut.axis)


def section_entries(scene: Scene, cut: Plane) -> list[Entry]:
    """The marks of a section."""
    return [
        ((dot("o", INK), dot("s", INK)), "outlet, intake in this plane"),
        ((dot("o", PAPER), dot("s", PAPER)), "outlet, intake elsewhere"),
        *screens(scene, "strainer, dotted elsewhere"),
        CURRENT,
        *([ROCKS] if any(is_rock_cut(rock, cut) for rock in scene.rocks) else []),
        *([BED] if scene.sand and cut.axis != 2 else []),
        *([FRAME, UNWANTED] if corals_cut(scene, cut) else []),
    ]


def mouth_words(study: Study, told: Subject) -> Iterator[Text]:
    """Why the fastest water here is slower than at the mouths of the outlets, and how fast it is there."""
    if told.kind in PEAKS:
        scene, letters = study.scene, badges(study.scene)
        cell = rough(study.grid.cell_volume ** (1 / 3), "length", scene.show)
        speeds = {outlet.name: study.loop.rates[outlet.name] / outlet.aperture.area for outlet in scene.outlets}
        fast = {name: shown(speed, "speed", scene.show, beside=scene.limits.over) for name, speed in speeds.items()}
        told = [(letters[name], fast[name]) for name, speed in speeds.items() if speed]
        alike = {speed: [letter for letter, other in told if other == speed] for _, speed in told}
        mouths = ", ".join(f"{KEPT.join(outlets)}{KEPT}{speed}" for speed, outlets in alike.items())
        yield Text(f"Speeds here are means over time and over cells of {cell}; at the outlets' mouths: {mouths}", SMALL)


def band_words(scene: Scene, cut: Plane) -> Iterator[Text]:
    """What the lines on the bar are; of several groups in the order of these."""
    wants = [f"{', '.join(names)} {band_in_words(band, scene.show)}" for band, names in bands(scene, cut).items()]
    if wants:
        lines = "Line on the bar" if len(wants) == 1 else "Lines on the bar, from above"
        yield Text(f"{lines}, the current that corals want: {'; '.join(wants)}", SMALL)


def bands(scene: Scene, cut: Plane) -> Mapping[Band, Sequence[str]]:
    """The speeds [m/s] that corals want through which a plane runs, and which groups want each."""
    found: dict[Band, list[str]] = {}
    for coral in corals_cut(scene, cut):
        found.setdefault(coral.speed, []).append(short(coral.name))
    return found


def band_in_words(band: Band, system: System) -> str:
    """The speeds that corals want."""
    low, high = (shown(speed, "speed", system, beside=band[0]) for speed in band)
    return f"{low} to {high}"


def plan_entries(study: Study) -> list[Entry]:
    """The marks of the view from above."""
    scene = study.scene
    dead, over = hatched("dead through half the depth", "too strong at some depth")
    pockets = [BELOW] if any(zone.kind == "dead" for zone in study.measures.zones) else []
    openings = ((dot("o", INK), dot("s", INK)), "outlet, intake")
    standing = [*([ROCKS] if scene.rocks else []), *([FRAME] if scene.corals else [])]
    return [dead, *pockets, over, openings, *screens(scene), CURRENT, *standing]
