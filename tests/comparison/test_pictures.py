"""The pictures of a comparison: they are there, they say what is in them, and names of any kind survive."""

from dataclasses import replace

import numpy as np
import pytest
from matplotlib.image import imread
from matplotlib.patches import FancyArrowPatch

from flowviz import compare
from flowviz.comparison.speeds import speed_change
from flowviz.draw.layouts.difference import difference_title, difference_view, plane_of_change, round_below
from flowviz.draw.layouts.moves import moves
from flowviz.draw.layouts.pictures import above, one_section, views_of_change, write_comparison
from flowviz.draw.layouts.stack import LINE
from flowviz.draw.layouts.together import LARGEST, alike
from flowviz.draw.layouts.verdicts import verdicts_view
from flowviz.draw.sheets.paragraphs import column
from flowviz.draw.sheets.theme import blank
from flowviz.shapes.plans import rectangle

NAME = 'Höhle <"3"> $x_1$ \N{TROPICAL FISH} ' + "sehr " * 32


def moved(scene):
    return replace(scene, outlets=(replace(scene.outlets[0], centre=(0.0, 0.4, 0.4)),))


@pytest.fixture(scope="module")
def comparison(make):
    scene = make.scene()
    return compare(make.study(scene, make.dead), make.study(moved(scene), make.alive))


@pytest.fixture(scope="module")
def album(comparison, tmp_path_factory):
    folder = tmp_path_factory.mktemp("pictures") / "not" / "yet" / "there"
    return folder, write_comparison(comparison, str(folder))


def test_every_picture_is_there_and_none_is_blank(album):
    folder, found = album
    names = {picture.file for picture in found.pictures}
    assert names >= {"verdicts.png", "sections-before-and-after.png", "difference.png"}
    assert all(np.ptp(imread(folder / name)[..., :3]) > 0.5 for name in names)


def test_the_stills_are_there_unless_a_caution_says_why_not(album):
    _, found = album
    assert any(picture.file == "before-and-after.png" for picture in found.pictures) != bool(found.cautions)


def test_the_verdicts_are_told_to_those_who_cannot_see_them(comparison):
    assert "the water, dead water: better" in verdicts_view(comparison).description


def test_the_plane_goes_through_the_pocket_that_went(comparison):
    change = speed_change(comparison.before, comparison.after)
    cut = plane_of_change(comparison, change)
    cells = comparison.before.measures.labels.take(cut.layer, axis=cut.axis)
    assert (cells > 0).any()


def test_only_what_moved_is_marked(comparison):
    (move,) = moves(comparison.before.scene, comparison.after.scene)
    assert (move.name, move.start, move.end) == ("left jet", (0.0, 0.1, 0.4), (0.0, 0.4, 0.4))


def test_the_map_shows_no_jet_of_an_outlet_that_passes_nothing(comparison):
    after = comparison.after
    resting = replace(after, loop=replace(after.loop, rates={**after.loop.rates, "left jet": 0.0}))
    change = speed_change(comparison.before, after)
    cut = plane_of_change(comparison, change)
    arrows = [
        sum(isinstance(patch, FancyArrowPatch) for patch in view.figure.axes[0].patches)
        for view in (difference_view(replace(comparison, after=study), cut, change) for study in (after, resting))
    ]
    assert arrows[0] - arrows[1] == 1  # the others tell what was moved


def test_the_map_tells_no_shares_of_one_short_look(comparison):
    change, field = speed_change(comparison.before, comparison.after), comparison.after.field
    glimpse = replace(field, batches=field.batches[:1])  # one window: fewer looks than two
    brief = replace(comparison, after=replace(comparison.after, field=glimpse))
    assert difference_title(brief, change).startswith("Too close to call")


def test_the_map_tells_shares_only_where_they_are_more_than_chance_makes(comparison, make):
    change = speed_change(comparison.before, comparison.after)
    assert difference_title(comparison, change).endswith("% of the water is faster and 0 % slower, beyond the noise")
    few = np.zeros_like(change.faster)
    few[np.argwhere(change.faster)[0]] = True
    assert difference_title(comparison, replace(change, faster=few, beyond_chance=False)).startswith("Hardly any water")
    one = compare(comparison.before, replace(comparison.after, scene=comparison.before.scene))
    assert difference_title(one, change).startswith("The two layouts are the same; what differs is chance")


@pytest.mark.parametrize(("share", "more"), [(0.04, False), (0.06, True)])
def test_a_twentieth_of_the_water_may_differ_by_chance(share, more, make):
    """The first two or three of 48 slices are faster: 4.2 or 6.3 %."""

    def faster(x, y, z):
        return np.where(x < 1.2 * share, 0.2, 0.1)

    scene = make.scene(rocks=(), sand=None)
    change = speed_change(make.study(scene, make.alive), make.study(scene, faster))
    assert change.beyond_chance == more


@pytest.mark.parametrize(("value", "below"), [(11.0, 10.0), (10.0, 10.0), (9.9, 5.0), (0.3, 0.2)])
def test_ticks_are_round(value, below):
    assert round_below(value) == pytest.approx(below)


def test_names_of_any_kind_can_be_drawn(make):
    scene = make.scene(title=NAME, show="us")
    scene = replace(scene, outlets=tuple(replace(outlet, name=NAME) for outlet in scene.outlets))
    comparison = compare(make.study(scene, make.dead), make.study(moved(scene), make.alive))
    views = dict(views_of_change(comparison, {"Before": comparison.before, "After": comparison.after}))
    for view in views.values():
        view.figure.canvas.draw()
    assert len(views) == 3


def test_layouts_that_do_not_differ_can_be_drawn(make):
    study = make.study(make.scene(), make.alive)
    comparison = compare(study, study)
    assert set(dict(views_of_change(comparison, {"Before": study, "After": study}))) == {"verdicts"}


@pytest.fixture(scope="module")
def unlike(make):
    """The same openings in a tank that is half as long again."""
    scene = make.scene()
    wide, deep = scene.tank.plan.size
    longer = replace(scene, tank=replace(scene.tank, plan=rectangle(1.5 * wide, deep)))
    return compare(make.study(scene, make.dead), make.study(moved(longer), make.alive))


def test_a_price_that_three_lines_do_not_hold_is_not_cut_over_the_stills(comparison):
    """What two groups of corals go on lacking ends it: 330 letters, as a tank with several prices has them."""
    price = "The price: more bed where detritus settles (12 % before, 34 % after) and a new dead pocket of 38 L; "
    lacking = " Neither layout gives the corals of garden the current they want: 0 % have it before, 16 % after."
    told = f"{price}head of the pump up by 0.4 m.{lacking * 2}"
    long = replace(comparison, reasons=(*comparison.reasons[:2], told))
    shot = alike((long.before, long.after), *LARGEST)[0]
    told = column(above(long, shot), LINE, blank(1, 1)).lines
    assert not any("…" in line for _, line, _ in told)
    assert told[-1][1].endswith("0 % have it before, 16 % after.")


def test_of_unlike_tanks_nothing_is_marked_as_moved_and_no_places_are_compared(unlike):
    assert moves(unlike.before.scene, unlike.after.scene) == ()
    layouts = {"Before": unlike.before, "After": unlike.after}
    assert [name for name, _ in views_of_change(unlike, layouts)] == ["verdicts"]
    assert list(one_section(layouts)) == []
    assert "nothing holds place against place" in " ".join(map(str, unlike.cautions))


def test_stills_of_unlike_tanks_say_that_they_are(unlike, comparison):
    told = "Two tanks of unlike size or shape, each as large as the page allows."
    for found, unlike_ones in ((unlike, True), (comparison, False)):
        shot = alike((found.before, found.after), *LARGEST)[0]
        assert any(told in text.words for text in above(found, shot)) == unlike_ones
