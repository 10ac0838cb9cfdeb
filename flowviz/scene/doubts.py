"""What can be, but is hardly meant: rock, corals and points that no water is at, bands that limits call bad, openings
too narrow, wide or close, a salinity, coarse or deep sand, boulders for rubble, pipes as wide as a barrel, panels too
thick, animals that outgrow the tank or outswim all others, a manifold without losses.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import combinations

import numpy as np

from flowviz.scene.model import Caution, Coral, Intake, Outlet, Rock, Scene, Vector
from flowviz.scene.neighbours import gap
from flowviz.scene.panels import SLACK, panel_size, skims
from flowviz.scene.schema.loop import tee_among
from flowviz.units import shown

NARROWEST = 3e-3  # of an opening [m]: a smaller one is a slip of the unit, or clogs within days (judgement)
RIM = 0.01  # of glass that is to be left at both sides of an opening together [m] (judgement)
FLANGES = 0.01  # of glass between openings: less leaves no room for two bulkheads (judgement) [m]
SLIP = 1e-3  # that a group may reach above the water without a word [m]
WIDEST = 0.25  # of a pipe, in least sides of the tank [-] (judgement)
LARGEST_STONE = 0.5  # of a heap, in its least side [-] (judgement)
GRAVITIES = (1.0, 1.04)  # that hydrometers for sea water show [-]
DEEPEST = 0.3  # of a bed of sand [m]: more is a slip of the unit (judgement)
GRAINS = (5e-5, 2e-2)  # of what is sold for beds, from sugar-fine to gravel (common practice, no source) [m]
PANES = (2e-3, 1.0)  # thickness of panels, from small tanks of glass to the largest of acrylic (judgement) [m]
FASTEST = 20.0  # that an animal keeps up swimming, in lengths of its body a second [-] (judgement)
POINTS = 9  # along each edge of a box that is looked at


def doubts(scene: Scene) -> Iterator[Caution]:
    """All that is doubtful about water, corals and openings."""
    yield from _specific_gravity(scene)
    yield from _grains(scene)
    yield from _deep_bed(scene)
    yield from _lossless(scene)
    yield from _wide_pipes(scene)
    yield from _large_stones(scene)
    yield from _dry_rocks(scene)
    yield from _copies(scene)
    yield from _thick_panels(scene)
    yield from _strange_animals(scene)
    yield from _opposed_bands(scene)
    for point in scene.measured:
        if not len(in_water(lattice(point.at, (2 * SLACK,) * 3), scene, scene.solid_rocks)):
            yield no_water_at(point.name)
    for coral in scene.corals:
        if not any_water(coral, scene):
            yield no_water(coral.name)
        else:
            yield from _in_the_air(coral, scene)
    for opening in scene.openings:
        yield from _narrow(opening, scene)
        yield from _as_wide_as_its_panel(opening, scene)
    for first, second in combinations(scene.openings, 2):
        yield from _close(first, second, scene)


def _specific_gravity(scene: Scene) -> Iterator[Caution]:
    if GRAVITIES[0] <= scene.water.salinity <= GRAVITIES[1]:
        what = f"its salinity of {scene.water.salinity:g} g/kg is nearly that of fresh water"
        remedy = "If that is a specific gravity: 1.026 is about 35 g/kg (common practice)."
        yield Caution("water", what, remedy)


def _grains(scene: Scene) -> Iterator[Caution]:
    if scene.sand and not GRAINS[0] <= scene.sand.grain <= GRAINS[1]:
        size, least, most = (shown(grain, "length", scene.show) for grain in (scene.sand.grain, *GRAINS))
        what = f"its grains of {size} are no sand or gravel, which have {least} to {most} (common practice)"
        yield Caution("sand", what, "Whether it is blown about is told of such grains. Check the unit of its grain.")


def _deep_bed(scene: Scene) -> Iterator[Caution]:
    if scene.sand and scene.sand.depth > DEEPEST:
        what = f"its bed is {shown(scene.sand.depth, 'length', scene.show)} deep, more than beds are (judgement)"
        yield Caution("sand", what, "It buries what lies lower. Check the unit of its depth.")


def _lossless(scene: Scene) -> Iterator[Caution]:
    """Where three pipes or more meet, as at a manifold, and no tee is described."""
    ends = Counter(end for pipe in scene.pipes for end in (pipe.start, pipe.end))
    known = {part.name for part in (*scene.pumps, *scene.junctions, *scene.openings)}
    names = [name for name, count in ends.items() if count > 2 and name not in known]
    if names:
        where = f"junction{'s' if len(names) > 1 else ''} {', '.join(names)}"
        what = "no loss is reckoned of water that parts or meets there, as in a wide manifold"
        yield Caution(
            where, what, f"A tee parts it unevenly: {_as_tees(names, scene)}, or add to the loss of a pipe there."
        )


def _as_tees(names: Sequence[str], scene: Scene) -> str:
    """What to write for junctions that are none yet: all of it for the first that three pipes meet at."""
    for name in names:
        around = [
            pipe.end if pipe.start == name else pipe.start for pipe in scene.pipes if name in (pipe.start, pipe.end)
        ]
        if len(around) == 3:
            return f'write [[junction]] with name = "{name}", {tee_among(around)}{", and so on" * (len(names) > 1)}'
    return (
        "lead the pipes off by several, each a [[junction]] with name, kind and in_line, its two neighbours straight on"
    )


def _wide_pipes(scene: Scene) -> Iterator[Caution]:
    least = min(*scene.tank.plan.size, scene.tank.depth)
    for pipe in scene.pipes:
        if pipe.inside is not None and pipe.inside > WIDEST * least:
            wide, tank = (shown(each, "length", scene.show) for each in (pipe.inside, least))
            what = f"it is {wide} wide inside, in a tank of which the least side is {tank}"
            yield Caution(f'pipe "{pipe.start}" to "{pipe.end}"', what, "Check the unit of its inside.")


def _large_stones(scene: Scene) -> Iterator[Caution]:
    for rock in scene.rocks:
        low, high = rock.solid.bounds
        least = min(b - a for a, b in zip(low, high, strict=True))
        if rock.heap is not None and rock.heap.stone > LARGEST_STONE * least:
            stone, heap = (shown(each, "length", scene.show) for each in (rock.heap.stone, least))
            what = f"its stones of {stone} are no rubble in a heap that measures {heap} at the least"
            yield Caution(
                f"rock {rock.name}", what, "Ergun's law holds for many small ones. Check the unit of its stone."
            )


def _dry_rocks(scene: Scene) -> Iterator[Caution]:
    """Rocks of which nothing stands in the water."""
    bed = scene.sand.depth if scene.sand else 0.0
    for rock in scene.rocks:
        low, high = rock.solid.bounds
        where = "above the water" if low[2] >= scene.tank.depth else "under the sand" if high[2] <= bed else ""
        if where:
            yield Caution(f"rock {rock.name}", f"it lies wholly {where}", "It does nothing there. Check its place.")


def _copies(scene: Scene) -> Iterator[Caution]:
    """Rocks, and groups of corals that want the same, in one and the same box: copied, and not yet moved."""
    boxes = (
        ("rock", {rock.name: rock.solid.bounds for rock in scene.rocks}),
        ("coral", {coral.name: (coral.centre, coral.size, coral.speed) for coral in scene.corals}),
    )
    for kind, found in boxes:
        first: dict[object, str] = {}
        for name, box in found.items():
            if first.setdefault(box, name) != name:
                yield Caution(f"{kind} {name}", f"it stands just where {first[box]} does", "Move it, or leave it out.")


def _thick_panels(scene: Scene) -> Iterator[Caution]:
    for name, panel in scene.tank.panels.items():
        if not PANES[0] <= panel.thickness <= PANES[1]:
            thick, least, most = (shown(each, "length", scene.show, 2) for each in (panel.thickness, *PANES))
            what = f"it is {thick} thick, and panels of tanks are {least} to {most} (judgement)"
            yield Caution(f"panel {name}", what, "Rules for its holes go by that. Check the unit of its thickness.")


def _strange_animals(scene: Scene) -> Iterator[Caution]:
    """Sizes and speeds by which an animal would pass for safe, or for in peril, by a slip of the unit alone."""
    room = max(*scene.tank.plan.size, scene.tank.depth)
    for animal in scene.animals:
        if animal.length > room:
            long, tank = (shown(each, "length", scene.show) for each in (animal.length, room))
            what = f"at {long} it is longer than the tank, {tank}"
            yield Caution(f"animal {animal.name}", what, "Check the unit of its length.")
        if animal.speed > FASTEST * animal.length:
            lengths = f"{animal.speed / animal.length:.3g} lengths of its body a second"
            what = f"it is said to swim {lengths} for minutes on end; over {FASTEST:g} is hardly known (judgement)"
            yield Caution(f"animal {animal.name}", what, "It would pass for safe. Check the unit of its speed.")


def _opposed_bands(scene: Scene) -> Iterator[Caution]:
    """Groups whose whole band the scene calls dead, or too strong."""
    dead, over = scene.limits.dead, scene.limits.over
    for coral in scene.corals:
        low, high = coral.speed
        if high <= dead or low >= over:
            way, end, word, limit = ("up to", high, "dead", dead) if high <= dead else ("from", low, "too strong", over)
            wanted, bound = (shown(speed, "speed", scene.show) for speed in (end, limit))
            what = f"it wants {way} {wanted}, all of which is {word} by the limit of {bound}"
            yield Caution(
                f"coral {coral.name}", what, "Water is called good and bad there. Mend the band or the limit."
            )


def no_water_at(point: str) -> Caution:
    """Of a measured point that lies in no water."""
    return Caution(f"measured {point}", "it lies in rock or sand", "Nothing can be compared there. Mend its place.")


def no_water(coral: str) -> Caution:
    """Of a group that stands in no water at all."""
    return Caution(
        f"coral {coral}",
        "it stands where there is no water: in rock, rubble or sand, above the water or outside the tank",
        "Nothing can be said about its current. Move its centre into the water or give it a larger size.",
    )


def _in_the_air(coral: Coral, scene: Scene) -> Iterator[Caution]:
    over = coral.centre[2] + coral.size[2] / 2 - scene.tank.depth
    if over > SLIP:
        what = f"its upper {shown(over, 'length', scene.show)} stand above the water"
        yield Caution(f"coral {coral.name}", what, "They are left out of all figures. Check its centre and its size.")


def any_water(coral: Coral, scene: Scene) -> bool:
    """Whether some of a group stands in water, as far as a lattice of points tells."""
    return len(in_water(lattice(coral.centre, coral.size), scene, scene.rocks)) > 0


def lattice(middle: Vector, size: Vector) -> np.ndarray:
    """Places all through a box (n, 3) [m], its corners among them."""
    rows = [np.linspace(at - edge / 2, at + edge / 2, POINTS) for at, edge in zip(middle, size, strict=True)]
    return np.stack(np.meshgrid(*rows, indexing="ij"), axis=-1).reshape(-1, 3)


def in_water(points: np.ndarray, scene: Scene, rocks: Sequence[Rock]) -> np.ndarray:
    """Those of some places (n, 3) [m] that lie in the tank's water, over its sand, and in none of some rocks."""
    bed = scene.sand.depth if scene.sand else 0.0
    points = points[(points[:, 2] > bed) & (points[:, 2] < scene.tank.depth)]
    points = points[scene.tank.plan.distance(points[:, :2]) < 0]
    for rock in rocks:
        low, high = rock.solid.bounds
        near = ((points > low) & (points < high)).all(axis=1)
        points = np.vstack((points[~near], points[near][rock.solid.distance(points[near]) > 0]))
    return points


def _narrow(opening: Outlet | Intake, scene: Scene) -> Iterator[Caution]:
    bar = getattr(opening, "bar", None)
    least, parts = (bar.hole, "each hole of its bar") if bar else (min(opening.aperture.extent), "it")
    if least < NARROWEST:
        what = f"{parts} is only {shown(least, 'length', scene.show)} wide"
        yield Caution(_named(opening, scene), what, "It would clog at once. Check the unit of its size.")


def _as_wide_as_its_panel(opening: Outlet | Intake, scene: Scene) -> Iterator[Caution]:
    if opening.panel is None or skims(scene.tank, opening):  # a weir may be as wide
        return
    sides = zip(("wide", "high"), opening.aperture.extent, panel_size(scene.tank, opening.panel), strict=True)
    for way, own, whole in sides:
        if whole - own < RIM:
            what = f"at {shown(own, 'length', scene.show)} it is as {way} as its panel {opening.panel}"
            yield Caution(_named(opening, scene), what, "It would leave no glass beside it. Check its size.")


def _close(first: Outlet | Intake, second: Outlet | Intake, scene: Scene) -> Iterator[Caution]:
    between = gap(first, second)
    if between < FLANGES:
        left = "touches it" if between < 5e-4 else f"has {shown(between, 'length', scene.show)} of glass to it"
        what = f"{_named(second, scene)} {left}"
        yield Caution(_named(first, scene), what, "Two bulkheads need room for their flanges. Move one of them.")


def _named(opening: Outlet | Intake, scene: Scene) -> str:
    return f"{'outlet' if opening in scene.outlets else 'intake'} {opening.name}"
