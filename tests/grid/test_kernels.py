"""Open shares of faces and cells cut by flat surfaces, against closed formulas."""

from itertools import product
from math import prod

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from flowviz.grid.kernels import open_faces, open_volumes

AXES = np.eye(3, dtype=np.int64)
parts = st.floats(-1, 1).filter(lambda part: abs(part) > 0.05)
planes = st.tuples(parts, parts, parts, st.floats(-0.2, 1.2), st.floats(-0.2, 1.2), st.floats(-0.2, 1.2))


def share_below(normal: np.ndarray, offset: float) -> float:
    """Share of the unit square or cube where n·x < offset, all n above zero.

    By inclusion and exclusion over the corners: Σ (-1)^|v| max(0, offset - n·v)^d / (d! Π n).
    """
    corners = np.array(list(product((0, 1), repeat=len(normal))))
    signs = (-1.0) ** corners.sum(axis=1)
    reach = np.maximum(0, offset - corners @ normal) ** len(normal)
    return float(signs @ reach) / (prod(range(1, len(normal) + 1)) * float(np.prod(normal)))


def open_share(normal: np.ndarray, point: np.ndarray) -> float:
    """Share of the unit square or cube on the side of a plane that the normal points to."""
    mirrored = np.where(normal > 0, 1 - point, point)  # so that the open side is below
    return share_below(np.abs(normal), float(np.abs(normal) @ mirrored))


def cut(plane: tuple) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Distances at the corners of one cell that a plane of rock cuts, the plane's unit normal and a point on it."""
    normal = np.array(plane[:3]) / np.linalg.norm(plane[:3])
    nodes = np.full((3, 2, 2, 2), 9, dtype=np.float32)
    for corner in product((0, 1), repeat=3):
        nodes[1][corner] = normal @ (np.array(corner) - plane[3:])
    return nodes, normal, np.array(plane[3:])


@settings(deadline=None)  # the first call compiles
@given(planes)
def test_a_plane_cuts_the_exact_volume_off_a_cell(plane):
    nodes, normal, point = cut(plane)
    share, nearest = np.empty((1, 1, 1), np.float32), np.empty((1, 1, 1), np.uint8)
    open_volumes(nodes, np.full((1, 1, 1), normal @ (0.5 - point), dtype=np.float32), share, nearest)
    assert share[0, 0, 0] == pytest.approx(open_share(normal, point), abs=1e-5)  # the formula loses digits in 1/Π n
    assert nearest[0, 0, 0] == 1


@settings(deadline=None)  # the first call compiles
@given(planes, st.sampled_from([0, 1, 2]))
def test_a_plane_cuts_the_exact_area_off_a_face(plane, axis):
    nodes, normal, point = cut(plane)
    along, across = np.delete(AXES, axis, axis=0)
    share = np.empty(tuple(2 - along - across), dtype=np.float32)
    open_faces(nodes, *along, *across, share)
    flat = np.delete(normal, axis)
    for end in (0, 1):
        there = np.delete(point, axis) - normal[axis] * (end - point[axis]) * flat / (flat @ flat)
        assert np.moveaxis(share, axis, 0)[end, 0, 0] == pytest.approx(open_share(flat, there), abs=1e-5)  # as above


def test_a_surface_on_the_corners_of_a_cell_leaves_it_open_or_shut():
    """Rock that fills the next cell exactly touches this one in a whole face and takes nothing of it."""
    nodes = np.full((3, 3, 2, 2), 9, dtype=np.float32)
    nodes[1] = np.array([1, 0, -1]).reshape(3, 1, 1)
    share, nearest = np.empty((2, 1, 1), np.float32), np.empty((2, 1, 1), np.uint8)
    open_volumes(nodes, np.array([0.5, -0.5], dtype=np.float32).reshape(2, 1, 1), share, nearest)
    assert share.ravel().tolist() == [1, 0]


def test_solids_that_do_not_cut_a_face_do_not_count():
    """A face on the glass, distance 0 along one side, with rock cutting half of it: half is open."""
    nodes = np.full((3, 2, 2, 2), 9, dtype=np.float32)
    nodes[0] = np.array([0, 1]).reshape(1, 2, 1)
    nodes[1] = np.array([1, -1]).reshape(1, 1, 2)
    share = np.empty((2, 1, 1), dtype=np.float32)
    open_faces(nodes, *AXES[1], *AXES[2], share)
    assert share.ravel().tolist() == [0.5, 0.5]
