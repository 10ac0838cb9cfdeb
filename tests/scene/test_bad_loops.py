"""Loops through which no water can go, each refused in one line."""

import pytest

HIGH = "outlet[1] 'left high'"
RIM = "outlet[2] 'right rim'"
LOW = "intake[1] 'left low'"
PUMP = "pump[1] 'pump'"
NO_LOOP = {"pump": [], "pipe": [], "junction": []}
RING = {
    f"pipe.{number}": {"from": start, "to": end, "inside": "50 mm", "length": "1 m"}
    for number, (start, end) in enumerate(("AB", "BC", "CA"), start=4)
}
FOURTH = {
    "outlet.2": {"name": "spare", "at": ["600 mm", "0 mm", "300 mm"], "bore": "25 mm", "panel": "front"},
    "pipe.4": {"from": "tee", "to": "spare", "inside": "25 mm", "length": "1 m"},
}
LOOPS = [
    ({"outlet": [], "junction": []}, "outlet", "is missing", "[[outlet]]"),
    ({"intake": []}, "intake", "is missing", "[[intake]]"),
    ({"pump": []}, "pump", "nothing drives the water in the pipes", "[[pump]]"),
    ({"pipe.3.to": "right rin"}, "pipe[4].to", "leads nowhere: 'right rin'", "'right rim'"),
    ({"pipe.3.from": "right rim", "pipe.3.to": "tee"}, "pipe[4].from", "'right rim' is an outlet", "Swap"),
    ({"pipe.0.from": "pump", "pipe.0.to": "left low"}, "pipe[1].to", "'left low' is an intake", "Swap"),
    ({"pipe.1.to": "pump"}, "pipe[2].to", "ends where it begins", "goes next"),
    ({"pipe.0.rise": "2 m"}, "pipe[1].rise", "2000 mm in 1400 mm of pipe", "within the pipe's length"),
    ({"pipe.0.to": "tee"}, PUMP, "has no way in", "to = 'pump'"),
    ({"pipe.1.from": "left low"}, PUMP, "has no way out", "from = 'pump'"),
    ({"pipe.3.to": "left high"}, RIM, "has no pipe", "to = 'right rim'"),
    (RING, "pipe[5].from", "'A' and the pipes it hangs on are joined to no opening and no pump", "leave them out"),
    ({"pipe": []}, PUMP, "has no way in", "[[pipe]]"),
    ({"junction.0.in_line": ["pump", "right rin"]}, "junction[1] 'tee'.in_line", "no neighbour", "'right rim'"),
    ({"junction.0.in_line": ["pump", "pump"]}, "junction[1] 'tee'.in_line", "one neighbour twice", "both ends"),
    ({"junction.0.name": "te"}, "junction[1] 'te'", "0 pipes meet", "three"),
    (
        {"junction.0": {"name": "tee"}},
        "junction[1] 'tee'",
        "has no kind and no in_line",
        'Write kind = "tee" and in_line = ["pump", "left high"], those two of pump, left high, right rim that face',
    ),
    ({"junction.0.in_line": None}, "junction[1] 'tee'", "has no in_line", 'in_line = ["pump", "left high"], those'),
    ({"junction.0": {"name": "te"}}, "junction[1] 'te'", "has no kind and no in_line", "its neighbours straight on"),
    (
        FOURTH | {"junction.0": {"name": "tee"}},
        "junction[1] 'tee'",
        "has no kind and no in_line, and 4 pipes meet at it: only a tee of three is a junction",
        "leave the [[junction]] out: a manifold of four or more is a name that its pipes share",
    ),
    (FOURTH, "junction[1] 'tee'", "is a tee that 4 pipes meet at", "by several tees if there are more"),
    ({"junction.0.kind": "te"}, "junction[1] 'tee'.kind", "'te' is not known", "'tee'"),
    ({"outlet.0.flow": "2000 L/h"}, f"{HIGH}.flow", "pumps and pipes that decide the flow", "Keep one"),
    (NO_LOOP, "", "nothing drives the water", 'flow = "3000 L/h"'),
    (NO_LOOP | {"outlet.0.flow": "2000 L/h"}, f"{LOW}.flow", "is missing", "only one opening"),
    (
        NO_LOOP | {"outlet.0.flow": "2 m3/h", "outlet.1.flow": "1 m3/h", "intake.0.flow": "4 m3/h"},
        "",
        "do not balance: 3000 L/h in and 4000 L/h out",
        "takes the difference",
    ),
    (
        NO_LOOP | {"outlet.0.flow": "2 m3/h", "intake.0.flow": "1 m3/h"},
        f"{RIM}.flow",
        "leave nothing for it",
        "same sum",
    ),
    (  # 3 m³/s through π/4 · (25 mm)² = 6110 m/s; 20 m/s through it are 35 300 L/h
        NO_LOOP | {"outlet.0.flow": "3000 L/s", "outlet.1.flow": "1 m3/h"},
        f"{HIGH}.flow",
        "L/h through a bore of 25 mm would run at 6110 m/s",
        "at most 35\N{NARROW NO-BREAK SPACE}300 L/h",
    ),
    (  # what is left to the other outlet, 2 m³/s, through 60 by 10 mm is 3330 m/s
        NO_LOOP | {"outlet.0.flow": "1 m3/h", "intake.0.flow": "2 m3/s"},
        f"{RIM}.flow",
        "L/h through a slot of 60 mm by 10 mm would run at 3330 m/s",
        "units",
    ),
    (  # 10 million gph are 10.5 m³/s: 70 300 ft/s through 25 mm
        NO_LOOP | {"show": "us", "outlet.0.flow": "10000000 gph", "outlet.1.flow": "1 m3/h"},
        f"{HIGH}.flow",
        "10,000,000 gph through a bore of 0.9843 in would run at 70,300 ft/s",
        "gph can pass",
    ),
    (NO_LOOP | {"outlet.0.flow": "-2 m3/h"}, f"{HIGH}.flow", "'-2 m3/h' is not above 0", "positive"),
]


@pytest.mark.parametrize(("changes", "key", "found", "remedy"), LOOPS)
def test_a_loop_that_cannot_be_is_refused(scene_file, refused, changes, key, found, remedy):
    refused(scene_file(changes), key, found, remedy)


def test_a_second_loop_without_a_pump_is_refused(scene_file, refused):
    """An outlet and an intake joined by a pipe of their own."""
    spare = {"name": "spare", "at": ["600 mm", "0 mm", "300 mm"], "bore": "25 mm", "panel": "front"}
    other = {"name": "other", "at": ["300 mm", "0 mm", "300 mm"], "bore": "25 mm", "panel": "front"}
    pipe = {"from": "other", "to": "spare", "inside": "25 mm", "length": "1 m"}
    file = scene_file({"outlet.2": spare, "intake.1": other, "pipe.4": pipe})
    refused(file, "outlet[3] 'spare'", "without a pump")


def test_a_pump_that_never_reaches_the_tank_is_refused(scene_file, refused):
    pump = {"name": "idle", "curve": [["0 m3/h", "5 m"], ["6 m3/h", "4 m"]]}
    ring = [{"from": a, "to": b, "inside": "25 mm", "length": "1 m"} for a, b in (("idle", "ring"), ("ring", "idle"))]
    file = scene_file({"pump.1": pump, "pipe.4": ring[0], "pipe.5": ring[1]})
    refused(file, "pump[2] 'idle'", "never reach the tank")
