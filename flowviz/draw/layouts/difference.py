"""Where the water is faster or slower than before, on a plane through the tank."""

from collections.abc import Iterator
from dataclasses import replace
from math import floor, inf, log10

import numpy as np
from matplotlib import colormaps
from matplotlib.axes import Axes
from matplotlib.colors import Normalize
from matplotlib.patches import Patch, Rectangle

from flowviz.assess.speeds import mean
from flowviz.comparison import Comparison
from flowviz.comparison.noise import glimpsed
from flowviz.comparison.sentences import capital
from flowviz.comparison.speeds import BY_CHANCE, SpeedChange
from flowviz.draw.flat.openings import room_taken, shut
from flowviz.draw.flat.pages import face, section_entries
from flowviz.draw.flat.planes import best_plane
from flowviz.draw.flat.section import draw_foot, draw_openings, draw_standing, side_names
from flowviz.draw.flat.slices import Plane, flat, layer_at, layer_of, plane_at, refined
from flowviz.draw.flat.titles import whereabouts
from flowviz.draw.flat.water import draw_mark, zone_label
from flowviz.draw.layouts.moves import Move, Point, mark_moves, moves
from flowviz.draw.sheets.bar import NICE, label
from flowviz.draw.sheets.key import CURRENT, Entry, draw_key
from flowviz.draw.sheets.labels import Label, place
from flowviz.draw.sheets.lettering import short
from flowviz.draw.sheets.sheet import sheet
from flowviz.draw.sheets.theme import INK, SMALL, Mark
from flowviz.draw.sheets.view import View, foot, head
from flowviz.units import System, display_unit

CHANGES = colormaps["PuOr"]  # told apart by colour-blind eyes; grey print has the hatching
FASTER = Mark(INK, "++", "-")
SLOWER = Mark(INK, "--", "--")
TOP = 0.98  # quantile of the change in the plane that the colours reach to
STEPS = 256


def difference_view(comparison: Comparison, cut: Plane, change: SpeedChange) -> View:
    """The picture of the change on a plane."""
    scene = comparison.after.scene
    title = difference_title(comparison, change)
    where = capital(", ".join((*phases_told(comparison), whereabouts(cut, scene.tank, scene.show))))
    page = sheet(face(scene.tank, cut), head(title, where), foot(comparison.after))
    scale = change_scale(layer_of(change.speed, cut), scene.limits.dead)
    draw_difference(page.picture, comparison, cut, change, scale)
    draw_change_bar(page.bar, scale, scene.show)
    draw_key(page.key, [*ENTRIES, *(entry for entry in section_entries(scene, cut) if entry is not CURRENT)])
    return View(page.figure, title, f"{title}. {where}.")


def phases_told(comparison: Comparison) -> list[str]:
    """Which phases the two flows are of, once where they are one; nothing where there are no phases."""
    mains = [study.main_phase for study in (comparison.before, comparison.after)]
    told = " and ".join(dict.fromkeys(f"in the phase {short(phase.name)}" for phase in mains if phase))
    return [told] if told else []


def difference_title(comparison: Comparison, change: SpeedChange) -> str:
    """How much of the water is faster, how much slower, where that is more than chance makes."""
    if comparison.one_layout:
        return f"{comparison.title}, as in the marked spots"
    if glimpsed(comparison.before) or glimpsed(comparison.after):
        return "Too close to call: one short look at a layout cannot settle where the water is faster or slower"
    if not change.beyond_chance:
        most = f"up to {100 * BY_CHANCE:.0f} %"
        return f"Hardly any water moves otherwise: chance alone may mark as much as here, {most}"
    grid = comparison.after.grid
    volumes = grid.open_volume[grid.clear]
    faster, slower = (round(100 * mean(cells[grid.clear], volumes)) for cells in (change.faster, change.slower))
    return f"After the change {faster} % of the water is faster and {slower} % slower, beyond the noise"


def plane_of_change(comparison: Comparison, change: SpeedChange) -> Plane | None:
    """The plane that shows most of the pockets that went or came; else most of what is faster or slower."""
    went = [pocket.before for pocket in comparison.went]
    labels = comparison.before.measures.labels
    gone = np.isin(labels, [n + 1 for n, zone in enumerate(comparison.before.measures.zones) if zone in went])
    if gone.any():
        return best_plane(gone, comparison.before.grid, [])
    return best_plane(change.faster | change.slower, comparison.after.grid, [])


def change_scale(change: np.ndarray, least: float) -> Normalize:
    """Change of speed [m/s] to its place in the colours, alike on both sides; never finer than the limit of dead."""
    top = max(float(np.quantile(abs(change), TOP)), least)
    return Normalize(-top, top, clip=True)


def round_below(value: float) -> float:
    """The largest of 1, 2, 5, 10 ... that is no larger."""
    power = 10.0 ** floor(log10(value))
    return max(figure * power for figure in NICE if figure * power <= value * (1 + 1e-9))


def draw_difference(axes: Axes, comparison: Comparison, cut: Plane, change: SpeedChange, scale: Normalize) -> None:
    """All that is to be seen on the plane."""
    study = comparison.after
    scene, layer = study.scene, layer_at(cut, study.grid, study.field)
    beyond = change.faster | change.slower
    raster = refined(layer_of(np.where(beyond, change.speed, 0.0), cut), layer)
    look = {"cmap": CHANGES, "norm": scale, "interpolation": "bilinear", "aspect": "auto"}
    axes.imshow(raster.values.T, extent=raster.extent, origin="lower", **look)
    for cells, mark in ((change.faster, FASTER), (change.slower, SLOWER)):
        draw_mark(axes, refined(layer_of(cells, cut).astype(float), layer), 0.5, inf, mark)
    names = draw_standing(axes, scene, cut, {})
    below = draw_foot(axes, scene, cut)
    labels = [
        *draw_openings(axes, scene, cut, shut(study)),
        *mark_moves(axes, flat_moves(comparison, cut.axis)),
        *gone_labels(comparison, cut),
        *names,
        *side_names(scene.tank, cut),
    ]
    place(axes, labels, axes.get_window_extent(), room_taken(axes), below)


def flat_moves(comparison: Comparison, axis: int) -> list[tuple[Move, Point | None, Point | None]]:
    """What was moved, as seen square to an axis."""
    return [
        (move, *(flat(at, axis) if at else None for at in (move.start, move.end)))
        for move in moves(comparison.before.scene, comparison.after.scene)
    ]


def gone_labels(comparison: Comparison, cut: Plane) -> Iterator[Label]:
    """Pockets that went or came, where the plane cuts them."""
    for word, study, found in (
        ("gone", comparison.before, [pocket.before for pocket in comparison.went]),
        ("new", comparison.after, [pocket.after for pocket in comparison.came]),
    ):
        labels = layer_of(study.measures.labels, plane_at(cut.axis, cut.at, study.grid))
        for zone in found:
            cells = labels == study.measures.zones.index(zone) + 1
            for found_label in zone_label(zone, cells, cut.axis, study):
                yield replace(found_label, text=f"{word}: {found_label.text}")


def draw_change_bar(axes: Axes, scale: Normalize, system: System) -> None:
    """Change of speed to colour, with the hatching of what is beyond the noise."""
    axes.imshow(np.linspace(0, 1, STEPS)[None], extent=(0, 1, 0, 1), aspect="auto", cmap=CHANGES)
    for start, mark in ((0.0, SLOWER), (0.6, FASTER)):
        axes.add_patch(Rectangle((start, 0), 0.4, 1, fill=False, hatch=mark.hatch, edgecolor=mark.colour, lw=0))
    unit, per_si = display_unit("speed", system)
    label(axes, "slower", 0.0, "left")
    label(axes, "faster", 1.0, "right")
    label(axes, f"change of time-mean speed, {unit}", 0.5, "center")
    top = round_below(scale.vmax * per_si)
    marks = (-top, -top / 2, 0.0, top / 2, top)
    axes.set_xticks(
        [float(scale(mark / per_si)) for mark in marks], [f"{mark:+.3g}" if mark else "0" for mark in marks]
    )
    axes.set_yticks([])
    axes.tick_params(length=3, labelsize=SMALL, labelcolor=INK, color=INK)


ENTRIES: tuple[Entry, ...] = tuple(
    (Patch(facecolor=CHANGES(at), edgecolor=mark.colour, hatch=mark.hatch, linewidth=0), words)
    for at, mark, words in ((0.85, FASTER, "faster than before"), (0.15, SLOWER, "slower than before"))
)
