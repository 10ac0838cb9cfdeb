"""The picture of a cycle: what it says and what it shows, against the records it is made of."""

from dataclasses import replace

import numpy as np
import pytest
from matplotlib.collections import LineCollection
from matplotlib.colors import to_rgba
from matplotlib.patches import Patch

from flowviz.assess.cycle import measure_cycle
from flowviz.cycle import Moment, scaled
from flowviz.draw.flat.cycle import MOST, cycle_view
from flowviz.draw.sheets.theme import ROCK
from flowviz.grid.grid import Rubble
from flowviz.scene.model import Phase


def cycling(study, *phases):
    """A study whose phases, told by name, time and strength, have its own flow at these strengths."""
    told = tuple(Phase(name, time, {}, {}) for name, time, _ in phases)
    fields = [scaled(study.field, strength) for *_, strength in phases]
    moments = tuple(Moment(phase, study.loop, field, "computed") for phase, field in zip(told, fields, strict=True))
    scene = replace(study.scene, phases=told)
    cycle = measure_cycle(scene, study.grid, fields, [study.loop.rates] * len(fields))
    return replace(study, scene=scene, moments=moments, cycle=cycle)


@pytest.fixture
def two(box):
    """Ten minutes as it is, twenty at a tenth of that, in which all but the jet is dead."""
    return cycling(box, ("full", 600.0, 1.0), ("slow", 1200.0, 0.1))


def words(view):
    """All that is written in a picture."""
    return [text.get_text() for axes in view.figure.axes for text in axes.texts]


def test_the_title_tells_mean_worst_and_always(two):
    dead = two.cycle.spreads["dead_fraction"]
    view = cycle_view(two)
    assert view.title.startswith(f"Over the cycle {100 * dead.mean:.1f} ± 0.1 % of the water is dead; at worst ")
    assert "in the phase slow" in view.title
    at_full = f"{100 * two.measures.dead_fraction:.1f} ± 0.1 %"  # what is dead at full is so in both
    assert view.title.endswith(f"{at_full} is dead in every phase")
    assert "slow, 20 min: " in view.description


@pytest.mark.parametrize("phases", [(1.0, 1.0), (1.0, 0.8)])
def test_where_nothing_is_dead_in_any_phase_no_figures_are_strung_together(make, phases):
    alive = make.study(make.scene(), lambda x, y, z: np.full_like(x, 0.1))
    title = cycle_view(cycling(alive, *((f"number {n}", 60.0, strength) for n, strength in enumerate(phases)))).title
    assert title == "Hardly any water is dead in any phase"


def test_rock_does_not_hide_for_how_long_the_water_over_it_is_dead(two):
    """Of rock the edges are drawn, and nothing is filled with its colour."""
    axes = cycle_view(two).figure.axes[-1]
    assert not any(patch.get_facecolor() == to_rgba(ROCK) for patch in axes.findobj(Patch))
    assert any(isinstance(found, LineCollection) for found in axes.collections)


def test_a_share_that_may_be_anything_is_no_title(two):
    dead = two.cycle.spreads["dead_fraction"]
    unsure = {**two.cycle.spreads, "dead_fraction": replace(dead, uncertainty=1.2)}
    title = cycle_view(replace(two, cycle=replace(two.cycle, spreads=unsure))).title
    assert title == "Too unsure to say how much of the water is dead over the cycle: a fine run or compare tells more"


def test_a_rest_of_all_pumps_is_named_and_not_counted(box):
    view = cycle_view(cycling(box, ("full", 600.0, 1.0), ("feeding", 600.0, 0.0)))
    share = f"{100 * box.measures.dead_fraction:.1f} ± 0.1 %"  # of the one phase in which water moves
    assert view.title == f"In the phase full {share} of the water is dead; all pumps rest in the phase feeding"
    told = words(view)
    assert {"all pumps rest", "mean over 10 min"} <= set(told)
    assert "100" not in " ".join(words for words in told if "%" in words)
    assert "feeding, 10 min: all pumps rest." in view.description


def test_every_phase_has_its_row(two):
    told = words(cycle_view(two))
    assert {"full, 10 min", "slow, 20 min", "mean over 30 min"} <= set(told)
    assert f"{100 * two.measures.over_fraction:.1f} ± 0.1 %" in told


def test_the_map_shows_the_share_of_the_time(two):
    """Where the jet is alone in its column it is never dead at full and 20 of 30 minutes above and below it."""
    image = cycle_view(two).figure.axes[-1].get_images()[0]
    share = np.asarray(image.get_array())
    assert 0 <= share.min() < share.max() <= 1 + 1e-6  # float32
    columns = two.cycle.dead_time.sum(axis=2) / np.maximum(two.grid.water.sum(axis=2), 1)
    assert share.max() == pytest.approx(columns.max(), abs=1e-6)


def test_slow_water_in_a_heap_does_not_lighten_the_map(two):
    """The lower half of the tank becomes a heap: above it the water is dead for as long as before."""
    share = np.zeros(two.grid.shape, np.float32)
    share[:, :, : two.grid.shape[2] // 2] = 1
    grid = replace(two.grid, rubble=Rubble(share, share, share))
    fields = [moment.field for moment in two.moments]
    heaped = replace(two, grid=grid, cycle=measure_cycle(two.scene, grid, fields, [two.loop.rates] * 2))
    shown = np.asarray(cycle_view(heaped).figure.axes[-1].get_images()[0].get_array())
    upper = two.cycle.dead_time[:, :, two.grid.shape[2] // 2 :].sum(axis=2)
    expected = upper / np.maximum(two.grid.water[:, :, two.grid.shape[2] // 2 :].sum(axis=2), 1)
    assert shown.max() == pytest.approx(expected.max(), abs=1e-6)  # float32


def test_many_phases_keep_within_the_page(box):
    view = cycle_view(cycling(box, *((f"number {n}", 60.0, 1.0) for n in range(30))))
    named = [text for text in words(view) if text.startswith("number ")]
    assert len(named) == MOST
    assert "mean over 30 min" in words(view)


def test_us_scenes_and_odd_names_are_drawn(disc):
    view = cycle_view(cycling(disc, ("x" * 200, 60.0, 1.0), ("岩 $x_1$", 60.0, 0.5)))
    view.figure.canvas.draw()
    assert not any(" mm" in text for text in words(view))
