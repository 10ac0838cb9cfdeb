"""The phases of a cycle as a scene tells them, and what is said of those that cannot be."""

import pytest

from flowviz.errors import InputError
from flowviz.scene.file import read_scene

FULL = {"lasts": "10 min"}


def test_a_cycle_is_read(scene_file):
    """Pipes are counted from 0: 2 leads to the left high outlet, 3 from the tee to the right rim."""
    phases = [
        {"name": "left", "lasts": "2 h", "valves": {"right rim": 0}},
        {"lasts": "90 s", "speed": 0.5, "valves": {"tee to left high": 0.25}},
        {"lasts": "30 s", "speed": {"pump": 0}},
    ]
    left, half, still = read_scene(scene_file({"phase": phases})).phases
    assert (left.name, half.name, still.name) == ("left", "phase 2", "phase 3")
    assert (left.time, half.time, still.time) == (7200.0, 90.0, 30.0)
    assert (left.speeds, half.speeds, still.speeds) == ({"pump": 1.0}, {"pump": 0.5}, {"pump": 0})
    assert (left.valves, half.valves, still.valves) == ({3: 0}, {2: 0.25}, {})


def test_a_pump_that_a_phase_does_not_name_turns_as_the_scene_says(scene_file):
    (phase,) = read_scene(scene_file({"phase": [FULL], "pump.0.speed": 0.8})).phases
    assert phase.speeds == {"pump": 0.8}


@pytest.mark.parametrize(
    ("phases", "key", "found", "remedy"),
    [
        ([{}], "phase[1].lasts", "is missing", 'lasts = "20 min"'),
        ([{"lasts": 30}], "phase[1].lasts", "30 is a number without a unit", "'30 s'"),
        ([{"lasts": "0 s"}], "phase[1].lasts", "not above 0", "positive"),
        ([{"lasts": "3 m"}], "phase[1].lasts", "is a length", "'30 min'"),
        ([FULL | {"speed": 1.2}], "phase[1].speed", "1.2 is no share from 0 to 1", "0 (at rest"),
        ([FULL | {"speed": -0.1}], "phase[1].speed", "-0.1 is no share", "0 (at rest"),
        ([FULL | {"speed": {"pump": 2}}], "phase[1].speed.pump", "2 is no share", "0 (at rest"),
        ([FULL | {"speed": {"pomp": 1}}], "phase[1].speed", "no pump is called 'pomp'", "'pump'"),
        ([FULL | {"valves": {"left high": "shut"}}], "phase[1].valves.left high", "'shut' is no share", "shut"),
        ([FULL | {"valves": 0}], "phase[1].valves", "0 is no table", "left high"),
        ([FULL | {"valves": {"left hig": 0}}], "phase[1].valves.'left hig'", "no pipe is called so", "'left high'"),
        ([FULL | {"valves": {"tee": 0}}], "phase[1].valves.'tee'", "several pipes meet there", "'pump to tee'"),
        ([FULL | {"speed": 0}, FULL | {"speed": 0}], "phase", "every pump at rest all the time", "in one phase"),
        ([FULL | {"name": "a"}] * 2, "phase[2].name", "'a' is the name of phase[1] too", "of its own"),
        ([FULL | {"seconds": 3}], "phase[1].seconds", "is no key", "Known here: name, lasts, speed, valves"),
    ],
)
def test_a_phase_that_cannot_be_is_refused_in_one_line(scene_file, refused, phases, key, found, remedy):
    refused(scene_file({"phase": phases}), key, found, remedy)


def test_phases_need_a_pump(scene_file):
    """Fixed flows are as they were measured: no pump's speed changes them."""
    fixed = {"pump": [], "pipe": [], "junction": [], "outlet.0.flow": "2 m3/h", "outlet.1.flow": "1 m3/h"}
    with pytest.raises(InputError, match="needs a pump"):
        read_scene(scene_file(fixed | {"phase": [FULL]}))
