"""Water among stones counts as water, but neither as dead nor as a pocket."""

from dataclasses import replace

import numpy as np
import pytest

from flowviz.assess.measures import measure
from flowviz.assess.rubble import rubble_figures
from flowviz.grid.grid import Kind, Rubble
from flowviz.scene.model import Coral

SHAPE = 10, 10, 10


@pytest.fixture
def heaped(grid_of, field_of):
    """A tank whose left half is a heap, with 0.4 of it open, through which water seeps at 1 cm/s; 20 cm/s elsewhere."""
    share = np.zeros(SHAPE, np.float32)
    share[:5] = 1
    cells = grid_of(SHAPE, 0.05)
    speeds = np.where(share > 0, 0.01, 0.2)[None]
    return replace(cells, rubble=Rubble(share, share, share), open_volume=1 - np.float32(0.6) * share), field_of(
        np.repeat(speeds, 8, axis=0), cells
    )


def test_slow_water_in_a_heap_is_no_dead_water(scene_of, heaped):
    """All that is left is at 20 cm/s; the heap holds 0.4 of half of 0.5³ m³ (float32)."""
    measures = measure(scene_of((0.5, 0.5, 0.5)), *heaped)
    assert measures.dead_fraction == 0
    assert not measures.zones
    assert measures.speed.mean == pytest.approx(0.2, rel=1e-6)
    assert measures.water_volume == pytest.approx(0.7 * 0.125, rel=1e-6)
    assert measures.rubble.volume == pytest.approx(0.2 * 0.125, rel=1e-6)
    assert measures.rubble.mean_speed == pytest.approx(0.01, rel=1e-6)


def test_a_tank_without_heaps_has_no_such_figures(grid_of, field_of):
    cells = grid_of(SHAPE, 0.05)
    assert rubble_figures(cells, field_of(np.full((1, *SHAPE), 0.1), cells)) is None


def test_corals_and_rock_by_a_heap_have_only_the_water_beside_it(scene_of, heaped):
    """A group half in the heap and half out of it: 5 of its 10 columns, at 20 cm/s; and of the rock on the floor below
    it the same: its 25 cells in the heap have water of the heap above them.
    """
    grid, field = heaped
    kind = grid.kind.copy()
    kind[:, 5:, 0] = Kind.ROCK
    crest = Coral("crest", (0.25, 0.25, 0.25), (0.5, 0.5, 0.1), (0.1, 0.3))
    found = measure(scene_of((0.5, 0.5, 0.5), corals=(crest,)), replace(grid, kind=kind), field)
    assert (found.corals["crest"].cells, found.corals["crest"].in_band_fraction) == (5 * 10 * 2, 1.0)
    assert (found.rock.cells, found.rock.dead_fraction) == (25 + 5, 0.0)  # above it, and before its front
    assert found.surface.dead_fraction == 0.0


def test_a_group_wholly_in_a_heap_has_no_water_of_its_own(scene_of, heaped):
    crest = Coral("crest", (0.1, 0.25, 0.25), (0.1, 0.1, 0.1), (0.1, 0.3))
    found = measure(scene_of((0.5, 0.5, 0.5), corals=(crest,)), *heaped)
    assert found.corals["crest"].verdict == "unknown"
    assert "in rock, rubble or sand" in found.cautions[0].what
