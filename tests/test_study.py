"""The whole chain: the same tank told otherwise gives the same answer, as far as the answer knows itself."""

import json
import pickle
from dataclasses import asdict, replace
from pathlib import Path

import numpy as np
import pytest

from flowviz import Settings, compare, read_scene, run
from flowviz.comparison.differences import differences
from flowviz.errors import InputError
from flowviz.looks import settings_of
from flowviz.study import assessed

FIRST = (Path(__file__).parent.parent / "scenes" / "first.toml").read_text(encoding="utf-8")

MIRRORED = {  # front to back, in a tank 600 mm wide
    '["700 mm", "320 mm", "60 mm"]': '["700 mm", "280 mm", "60 mm"]',
    '["700 mm", "320 mm", "300 mm"]': '["700 mm", "280 mm", "300 mm"]',
    '["0 mm", "200 mm", "430 mm"]': '["0 mm", "400 mm", "430 mm"]',
    "[1, 0.1, 0]": "[1, -0.1, 0]",
}
IN_US_UNITS = {
    '"1200 mm"\n': '"47 31/127 in"\n',
    '"600 mm"\n': '"23 79/127 in"\n',
    '"540 mm"\n': '"21 33/127 in"\n',
    '"3000 L/h"': '"50 L/min"',
    '"25 degC"': '"77 degF"',
}


def told(words, folder, settings=Settings()):  # noqa: B008
    """The study of first.toml with other words in it."""
    text = FIRST
    for old, new in words.items():
        text = text.replace(old, new)
    path = folder / "scene.toml"
    path.write_text(text, encoding="utf-8")
    return run(read_scene(path), settings)


@pytest.fixture(scope="module")
def first(tmp_path_factory):
    """The study of first.toml as it is."""
    return told({}, tmp_path_factory.mktemp("first"))


@pytest.fixture(scope="module")
def mirrored(tmp_path_factory):
    """Its mirror image."""
    return told(MIRRORED, tmp_path_factory.mktemp("mirrored"))


def test_what_is_shut_is_blamed_for_nothing(make):
    """A jet that would blow into the dead corner, and an intake beside the fastest water, both behind shut valves."""
    scene = make.scene(corals=())
    jet = make.outlet("right jet", (1.2, 0.4, 0.2), (-1, 0, 0), "right")
    drain = make.intake("drain", (0.3, 0.5, 0.4), (0.0, -1.0, 0.0), "back")
    scene = replace(scene, outlets=(*scene.outlets, jet), intakes=(*scene.intakes, drain))

    def speeds(x, y, z):
        fast = (abs(x - 0.3) < 0.1) & (y > 0.4) & (z > 0.3)
        return np.where(fast, 0.8, make.dead(x, y, z))

    running = make.study(scene, speeds)
    rates = running.loop.rates
    shut = replace(running.loop, rates=rates | {"right jet": 0.0, "drain": 0.0})
    for loop, blamed in ((running.loop, True), (shut, False)):
        zones = assessed(scene, running.settings, loop, running.grid, running.field).measures.zones
        words = "; ".join(f"{zone.cause}, {zone.remedy}, {zone.touches}" for zone in zones)
        assert [zone.kind for zone in zones] == ["dead", "over"]
        assert [name in words for name in ("right jet", "drain")] == [blamed, blamed]


@pytest.mark.parametrize(
    ("settings", "told"),
    [
        ({"detail": "medium"}, "detail: 'medium' is no level. Write sketch, coarse, fine"),
        ({"cell": "20 mm"}, "cell: '20 mm' is no number of metres. Write 0.02, or leave it out"),
        ({"marches": 0}, "marches: 0 will not do. Write a whole number from 1 on"),
        ({"seed": -1}, "seed: -1 will not do. Write a whole number from 0 on"),
        ({"seed": 0.5}, "seed: 0.5 will not do. Write a whole number from 0 on"),
    ],
)
def test_settings_that_nothing_can_be_computed_by(settings, told):
    with pytest.raises(InputError) as caught:
        Settings(**settings)
    assert str(caught.value) == told


def test_numbers_of_numpy_are_settings_like_any_other():
    """As they are stored with a study, and compared with what an interrupted run left."""
    of_numpy = Settings(cell=np.float32(0.25), marches=np.int64(2), seed=np.uint8(1))
    assert repr(of_numpy) == repr(Settings(cell=0.25, marches=2, seed=1))
    assert json.dumps(asdict(of_numpy)) == '{"detail": "sketch", "cell": 0.25, "seed": 1, "marches": 2}'


def test_what_a_notebook_shows_of_a_study_and_a_comparison(make):
    """In a line, not by its arrays."""
    study = make.study(make.scene(), make.dead)
    assert repr(study).startswith("<Study of 'hand-made', sketch: ")
    assert repr(study).endswith(" dead, 0 % too strong>")
    assert repr(compare(study, study)).startswith("<Comparison of 'hand-made' and 'hand-made': The two layouts are")


def test_a_study_survives_pickling(make):
    study = make.study(make.scene(), make.alive)
    again = pickle.loads(pickle.dumps(study))
    assert again.scene == study.scene
    assert np.array_equal(again.field.speed, study.field.speed)


def test_a_mirrored_scene_has_mirrored_cells_and_the_same_flows(first, mirrored):
    assert np.array_equal(mirrored.grid.kind, first.grid.kind[:, ::-1])
    assert np.array_equal(mirrored.grid.open_y, first.grid.open_y[:, ::-1])
    assert mirrored.loop.rates == first.loop.rates


@pytest.mark.slow
@pytest.mark.parametrize("detail", ["sketch", "coarse"])
def test_a_mirrored_scene_has_the_same_figures_within_their_noise(tmp_path, detail):
    """A marched flow is chaotic: its statistics agree, not its cells. Marched as often as layouts are to compare them,
    and judged as these: noise passes for a difference anywhere among the figures in three cases of a hundred.
    """
    pair = [told(words, tmp_path, settings_of(detail)) for words in ({}, MIRRORED)]
    noisy = {each.name: each for each in differences(*pair) if each.noisy}
    assert {"dead_fraction", "over_fraction", "mean_speed"} <= set(noisy)
    assert not [each.name for each in noisy.values() if each.called]


def test_a_scene_in_other_units_is_the_same_study(first, tmp_path):
    """Exact conversions give the same floats, so the same steps and the same bits."""
    other = told(IN_US_UNITS, tmp_path)
    assert other.scene.tank.plan.size == first.scene.tank.plan.size
    assert np.array_equal(other.field.speed, first.field.speed)


def test_the_same_scene_gives_the_same_bits(first, tmp_path):
    again = told({}, tmp_path)
    assert np.array_equal(again.field.speed, first.field.speed)
    assert again.measures.dead_fraction == first.measures.dead_fraction
