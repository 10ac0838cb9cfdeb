"""The shapes that the view makes in the browser: bodies round cells, floor plans, sections."""

from itertools import pairwise

import numpy as np
import pytest

from flowviz.report.page import text_of

CELL = 0.1  # [m]
LIMITS = (0.25, 0.75)  # of dead and of too-strong water, on the scale of the view
TURNS = np.linspace(0, 2 * np.pi, 96, endpoint=False)
DISC = np.column_stack((np.cos(TURNS), np.sin(TURNS))).ravel()


@pytest.fixture(scope="module")
def call(browser):
    """Calls a function of shapes.js with values that JSON can hold; gives its points and triangles."""
    page = browser.new_page()
    page.goto("about:blank")
    code = text_of("shapes.js").replace("export ", "")
    page.add_script_tag(type="module", content=f"{code}\nwindow.shapes = {{ prism, section, body, corners }};")
    page.wait_for_function("window.shapes")

    def called(name, *values):
        told = page.evaluate(
            f"(values) => {{ const {{ points, triangles }} = window.shapes.{name}(...values);"
            " return [[...points], [...triangles]]; }",
            list(values),
        )
        return np.reshape(told[0], (-1, 3)), np.reshape(told[1], (-1, 3)).astype(int)

    yield called
    page.close()


def data(shape, marks, speed=0):
    """Cells of one speed, some of them marked as dead."""
    return {
        "shape": shape,
        "origin": [CELL / 2] * 3,
        "spacing": [CELL] * 3,
        "speed": [speed] * int(np.prod(shape)),
        "marks": marks.ravel(order="F").astype(int).tolist(),
        "limits": LIMITS,
    }


def edges(triangles):
    """How many triangles share each edge, and how often it is run through either way."""
    runs = {}
    for triangle in triangles:
        for start, end in pairwise((*triangle, triangle[0])):
            runs[start, end] = runs.get((start, end), 0) + 1
    return runs


def volume(points, triangles):
    """Within a closed surface whose triangles turn one way (the divergence theorem)."""
    a, b, c = (points[triangles[:, corner]] for corner in range(3))
    return abs((a * np.cross(b, c)).sum()) / 6


def test_a_body_is_closed_and_turns_one_way(call):
    marks = np.zeros((6, 5, 4), bool)
    marks[1:4, 1:4, 1:3] = marks[3:6, 2:5, 2:4] = True
    points, triangles = call("body", {"mark": 1, "beyond": "under"}, data([6, 5, 4], marks))
    runs = edges(triangles)
    assert all(runs.get((end, start)) == count for (start, end), count in runs.items())
    assert len(points) == triangles.max() + 1


def test_a_body_reaches_to_the_glass(call):
    """All cells of a tank: its faces are the walls; only its edges are cut, by half a cell as surface nets do."""
    points, triangles = call("body", {"mark": 1, "beyond": "under"}, data([6, 5, 4], np.ones((6, 5, 4), bool)))
    assert points.min(axis=0) == pytest.approx(0, abs=1e-6)
    assert points.max(axis=0) == pytest.approx((0.6, 0.5, 0.4), abs=1e-6)
    assert 0.8 * 0.12 < volume(points, triangles) < 0.12


def test_no_body_is_made_where_nothing_is_marked(call):
    points, triangles = call("body", {"mark": 1, "beyond": "under"}, data([6, 5, 4], np.zeros((6, 5, 4), bool)))
    assert (len(points), len(triangles)) == (0, 0)


def test_a_body_ends_where_the_speed_passes_the_limit(call):
    """Speeds rise along x by 51 of 255 a cell; a quarter of the scale is passed 63.75 / 51 = 1.25 cells on."""
    marks = np.zeros((6, 5, 4), bool)
    marks[:2] = True
    told = data([6, 5, 4], marks)
    told["speed"] = np.broadcast_to(51 * np.arange(6)[:, None, None], (6, 5, 4)).ravel(order="F").tolist()
    points, _ = call("body", {"mark": 1, "beyond": "under"}, told)
    assert points[:, 0].max() == pytest.approx(CELL * (0.5 + 1.25), abs=1e-6)


@pytest.mark.parametrize(
    ("outline", "area"),
    [
        ([0, 0, 2, 0, 2, 1, 0, 1], 2.0),
        ([0, 0, 1.2, 0, 1.2, 0.4, 0.5, 0.4, 0.5, 0.9, 0, 0.9], 0.73),  # an L: 1.2 × 0.4 + 0.5 × 0.5
        (DISC, 96 / 2 * np.sin(2 * np.pi / 96)),  # a regular polygon of 96 corners
    ],
    ids=["rectangle", "L", "disc"],
)
def test_a_plan_raised_holds_its_area_times_its_height(call, outline, area):
    points, triangles = call("prism", {"outline": list(map(float, outline)), "low": 0.1, "high": 0.4})
    a, b, c = (points[triangles[:, corner]] for corner in range(3))
    level = np.ptp(np.stack((a, b, c))[:, :, 2], axis=0) < 1e-9
    assert np.linalg.norm(np.cross(b - a, c - a), axis=1)[level].sum() / 2 == pytest.approx(2 * area, rel=1e-5)


def test_a_section_of_an_l_has_the_water_alone(call):
    told = {"outline": [0, 0, 1.2, 0, 1.2, 0.4, 0.5, 0.4, 0.5, 0.9, 0, 0.9], "depth": 0.5}
    for at, wide in ((0.2, 1.2), (0.6, 0.5)):  # square to y: through the long leg, and behind it
        points, _ = call("section", 1, at, told)
        assert np.ptp(points, axis=0) == pytest.approx((wide, 0, 0.5))
