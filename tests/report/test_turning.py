"""What the view that can be turned is told of a study, read back byte by byte."""

import gzip
import json
from base64 import b64decode

import numpy as np
import pytest

from flowviz.report import turning

TYPES = {"u1": np.uint8, "u4": np.uint32, "f4": np.float32}
ORDER = "F"  # x runs fastest, as textures have it


@pytest.fixture
def read(plain):
    """The header of the plain study, and a function that gives the array of a part of it."""
    content = gzip.decompress(b64decode(turning.packed(plain.study)))
    length = int.from_bytes(content[:4], "little")

    def array(told):
        return np.frombuffer(content, TYPES[told["array"]], told["count"], 4 + length + told["start"])

    return json.loads(content[4 : 4 + length]), array


def test_speeds_are_square_roots_on_the_pictures_scale(plain, read):
    header, array = read
    grid, limits, water = plain.study.grid, plain.study.scene.limits, plain.study.grid.water
    told = array(header["speed"]).reshape(header["shape"], order=ORDER)
    assert told.shape == grid.shape
    shown = np.sqrt(np.clip(plain.study.field.speed / (1.25 * limits.over), 0, 1))  # theme.HEADROOM
    assert np.abs(told[water] / 255 - shown[water]).max() <= 0.5 / 255 + 1e-6  # half a step, and single precision
    assert header["limits"] == pytest.approx(np.sqrt(np.array((limits.dead, limits.over)) / (1.25 * limits.over)))


def test_solid_cells_have_the_speed_of_water_beside_them(plain, read):
    header, array = read
    told = array(header["speed"]).reshape(header["shape"], order=ORDER)
    assert told[~plain.study.grid.water].min() >= told[plain.study.grid.water].min()


def test_bodies_are_marked_where_water_is_beyond_a_limit(plain, read):
    header, array = read
    marks = array(header["marks"]).reshape(header["shape"], order=ORDER)
    water, speed, limits = plain.study.grid.water, plain.study.field.speed, plain.study.scene.limits
    assert (speed[water & (marks == 2)] > limits.over).all()
    assert (speed[water & (marks == 1)] < limits.dead).all()
    assert (marks == 2).any()  # its jet


def test_lengths_and_places_are_those_of_the_scene(plain, read):
    header, array = read
    scene = plain.study.scene
    assert (*header["extent"], header["height"], header["depth"]) == (1.2, 0.6, 0.6, 0.5)
    assert array(header["outline"]).reshape(-1, 2) == pytest.approx(scene.tank.plan.outline())
    assert {label["text"] for label in header["labels"] if label["kind"] == "outlet"} == {"A", "B"}
    rock = next(part for part in header["parts"] if part.get("closed"))
    points = array(rock["points"]).reshape(-1, 3)
    assert (points.min(axis=0), points.max(axis=0)) == (
        pytest.approx((0.45, 0.25, 0)),
        pytest.approx((0.75, 0.35, 0.3)),
    )
    assert array(rock["triangles"]).max() < len(points)


def test_a_large_field_is_thinned_and_stays_in_its_place(plain, monkeypatch):
    cells = plain.study.grid.kind.size
    monkeypatch.setattr(turning, "MOST", cells / 4)  # every second cell along each axis leaves an eighth
    told = turning.water(plain.study, turning.Message())
    assert np.prod(told["shape"]) <= cells / 4
    h = np.array(plain.study.grid.spacing)
    assert told["spacing"] == pytest.approx(2 * h)
    assert told["origin"] == pytest.approx(1.5 * h)  # the middle of the second cell
