"""The still: what it shows, from where, and how the renderer guards itself."""

import ctypes
import sys
from contextlib import suppress

import numpy as np
import pytest
from matplotlib.colors import to_rgb

from flowviz.draw.sheets.theme import BODIES
from flowviz.draw.tank import renderer
from flowviz.draw.tank.camera import best_standpoint, framed, in_sight
from flowviz.draw.tank.rendering import renderer as started
from flowviz.draw.tank.rendering import rendering
from flowviz.draw.tank.stage import STRANDS, mouth, trouble
from flowviz.draw.tank.still import corners, in_trouble, set_up
from flowviz.errors import GraphicsError
from flowviz.scene.apertures import Bore, Slot
from flowviz.scene.model import Outlet, Rock, Tank
from flowviz.shapes.plans import rectangle
from flowviz.shapes.solids import Box

SIZE = (5.0, 4.0)  # of the still in these tests [in]


@pytest.fixture(scope="module")
def still(box):
    """A shot of the box study and its picture, in shares of full light."""
    shot = set_up(box, *SIZE)
    with rendering(shot.view(box)) as job:
        return shot, job.image() / 255


@pytest.mark.parametrize("aperture", [Bore(0.04), Slot(0.6, 0.02)])
def test_a_jet_starts_from_all_over_its_mouth(aperture):
    """Evenly round its middle, and half as far from it as its edge: exact but for the corners of a circle."""
    outlet = Outlet("a", (1.0, 0.5, 0.3), (0.0, 1.0, 0.0), (0.0, 1.0, 0.0), aperture, None, None, None)
    strands = mouth(outlet, 0.02)
    assert len(strands) == STRANDS
    assert strands.mean(axis=0) == pytest.approx((1.0, 0.52, 0.3), abs=1e-9)
    assert np.ptp(strands[:, 0]) == pytest.approx(aperture.extent[0] / 2, rel=0.05)


def test_the_tank_fills_the_picture(study):
    shot = set_up(study, *SIZE)
    seen = shot.camera.project(corners(study.scene.tank))
    assert abs(seen).max() < 1
    assert np.ptp(seen, axis=0).max() > 1.8


def pixel(image, shot, point):
    """The colour at which a point [m] is seen."""
    (right, up), (height, width) = shot.camera.project(np.array([point]))[0], image.shape[:2]
    return image[round((1 - up) / 2 * height), round((1 + right) / 2 * width)]


def test_bodies_stand_where_the_water_is_bad(still):
    """A dead body is blue and dark, a too-strong one light and yellow, at points in the hand-made zones' middles."""
    shot, image = still
    dead = np.median([pixel(image, shot, (x, 0.42, z)) for x in (1.0, 1.05, 1.1) for z in (0.2, 0.25, 0.3)], axis=0)
    fast = np.median([pixel(image, shot, (x, 0.1, 0.4)) for x in (0.12, 0.15, 0.18, 0.2, 0.22)], axis=0)
    open_water = pixel(image, shot, (0.75, 0.25, 0.5))
    assert dead[2] > dead[0] + 0.1
    assert dead.mean() < 0.6 < open_water.mean()
    assert fast[0] > fast[2] + 0.2
    assert fast.mean() > dead.mean() + 0.1  # told apart without hue


def test_bodies_close_at_the_walls(make):
    """A body that fills the whole tank is seen as a closed one: its near faces are veiled, not open to the far ones."""
    study = make.study(make.scene(rocks=(), corals=(), sand=None), lambda x, y, z: np.full(x.shape, 0.01))
    shot = set_up(study, *SIZE)
    with rendering(shot.view(study)) as job:
        image = job.image() / 255
    near = [pixel(image, shot, (x, 0.0, z)) for x in np.linspace(0.1, 1.1, 40) for z in (0.1, 0.2, 0.3, 0.4)]
    blue = to_rgb(BODIES["dead"]["colour"])
    strokes = np.mean([colour.mean() > 0.75 for colour in near])
    assert np.median(near, axis=0)[2] > np.median(near, axis=0)[0] + 0.5 * (blue[2] - blue[0])
    assert 0.02 < strokes < 0.5  # white hatching on it


def test_specks_are_no_bodies(make):
    def one_cell(x, y, z):
        return np.where((abs(x - 0.5125) < 0.01) & (abs(y - 0.2625) < 0.01) & (abs(z - 0.3) < 0.02), 0.01, 0.1)

    study = make.study(make.scene(rocks=(), corals=()), one_cell)
    assert (study.field.speed[study.grid.water] < study.scene.limits.dead).any()
    assert not trouble(study)["dead"].any()


def test_rock_hides_what_is_behind_it(box):
    before, behind = np.array([[0.6, 0.2, 0.2]]), np.array([[0.6, 0.4, 0.2]])  # of the wall, seen from the front
    front = np.array((0.0, -1.0, 0.0))
    assert in_sight(before, front, box.grid).all()
    assert not in_sight(behind, front, box.grid).any()


@pytest.mark.parametrize(
    ("seen_from", "side"), [(("front",), "front"), (("front", "back"), "back"), (("left",), "left")]
)
def test_the_client_is_sent_to_the_side_from_which_it_shows(make, seen_from, side):
    """Dead water behind a wall as long as the tank and as high as the water: only the back shows it."""
    wall = Rock("screen", Box((0.6, 0.25, 0.25), (1.1, 0.1, 0.5)))
    scene = make.scene(tank=Tank(rectangle(1.2, 0.5), 0.55, 0.5, {}, seen_from), rocks=(wall,), corals=(), sand=None)
    study = make.study(scene, lambda x, y, z: np.where((y > 0.3) & (z < 0.3), 0.01, 0.1))
    assert best_standpoint(scene.tank, in_trouble(study)).side == side


def test_a_camera_straight_before_the_tank_keeps_its_middle_in_the_middle():
    square = np.array([(x, y, z) for x in (0, 1) for y in (0, 1) for z in (0, 1)], float)
    camera = framed(np.array((0.0, -1.0, 0.0)), square)
    near = camera.project(square[square[:, 1] == 0])
    assert near.mean(axis=0) == pytest.approx((0, 0), abs=1e-6)  # by symmetry
    assert np.ptp(near, axis=0) == pytest.approx((1.88, 1.88), rel=0.02)  # FILLED, of a picture 2 by 2


@pytest.fixture
def bare_machine(monkeypatch):
    """A Linux machine without display and without the graphics library."""
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "VTK_DEFAULT_OPENGL_WINDOW"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setattr(sys, "platform", "linux")

    def refuse(name):
        raise OSError(f"{name}: cannot open shared object file")

    monkeypatch.setattr(ctypes, "CDLL", refuse)
    return monkeypatch


def test_the_renderer_tells_that_the_library_is_missing_before_it_would_crash(bare_machine):
    assert renderer.main() == renderer.NO_LIBRARY


def test_the_users_choice_of_window_wins(bare_machine):
    bare_machine.setenv("VTK_DEFAULT_OPENGL_WINDOW", "vtkOSOpenGLRenderWindow")
    assert not renderer.headless()


def test_a_display_is_used_where_there_is_one(bare_machine):
    bare_machine.setenv("DISPLAY", ":0")
    assert not renderer.headless()


@pytest.mark.parametrize("platform", ["win32", "darwin"])
def test_other_systems_are_left_alone(bare_machine, platform):
    bare_machine.setattr(sys, "platform", platform)
    assert not renderer.headless()


def test_a_tank_that_is_looked_into_is_seen_from_above(make):
    scene = make.scene(tank=Tank(rectangle(1.2, 0.5), 0.55, 0.5, {}, ("above", "front")))
    study = make.study(scene, make.speeds)
    standpoint = best_standpoint(scene.tank, in_trouble(study))
    assert standpoint.side == "front and above"
    assert standpoint.direction[2] > np.hypot(*standpoint.direction[:2])


def test_what_lies_under_the_floor_does_not_stop_the_still(make):
    buried = Rock("buried", Box((0.6, 0.25, -0.2), (0.2, 0.2, 0.1)))
    study = make.study(make.scene(rocks=(buried,), corals=()), lambda x, y, z: np.full(x.shape, 0.1))
    with rendering(set_up(study, *SIZE).view(study)) as job:
        assert job.image().std() > 5  # glass, sand and openings on white


def test_a_renderer_that_is_not_needed_leaves_nothing(capfd):
    """What a run that fails leaves of it: no process, no folder, no word."""
    with suppress(KeyboardInterrupt), started() as ready:
        assert ready.process.poll() is None
        raise KeyboardInterrupt
    assert ready.process.returncode is not None
    assert not ready.folder.exists()
    assert capfd.readouterr() == ("", "")


def test_a_renderer_that_has_ended_before_it_is_asked_is_told_with_the_image(box):
    with started() as ready:
        ready.process.kill()
        ready.process.wait()
        job = ready.render(set_up(box, *SIZE).view(box))
        with pytest.raises(GraphicsError, match="crashed"):
            job.image()


def test_too_strong_water_that_fills_the_tank_does_not_hide_what_stands_in_it(make):
    """Opaque water would look the same with and without the rock in it."""

    def image(**parts):
        study = make.study(make.scene(corals=(), sand=None, **parts), lambda x, y, z: np.full(x.shape, 0.9))
        shot = set_up(study, *SIZE)
        with rendering(shot.view(study)) as job:
            return job.image() / 255

    changed = abs(image() - image(rocks=())).max(axis=-1) > 0.05
    assert changed.mean() > 0.02
