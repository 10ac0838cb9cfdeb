"""What flowviz plumb cannot use is refused in one line that says where, what was found and what to write instead."""

from pathlib import Path

import pytest
from click.testing import CliRunner

from flowviz.cli.commands import commands

SOUND = (Path(__file__).parent.parent / "scenes" / "raceway.toml").read_text(encoding="utf-8")
TO_MANIFOLD = 'from = "return pump"\nto = "manifold"\nsize = "2 in sch 40"\n'
TO_JET = 'from = "manifold"\nto = "left jet"\nsize = "1 1/2 in sch 40"\nlength = "10 ft"\n'
FITTINGS = 'fittings = { "elbow 90" = 3, "ball valve" = 1 }'
GOBY = '[[animal]]\nname = "goby"\nwidth = "6 mm"\n'
SHORT = 'size = "2 in sch 40"\nlength = "1 ft"\n'
AGAINST = f'[[pipe]]\nfrom = "manifold"\nto = "corner"\n{SHORT}fittings = {{ "check valve" = 1 }}\n'
BEYOND = f'[[pipe]]\nfrom = "corner"\nto = "left jet"\n{SHORT}{FITTINGS}\n'
SHUT = FITTINGS + '\nvalves = { "ball valve" = 0 }'

FAULTS = {  # what is changed to what, and what must be told
    "size unknown": (
        ('"2 1/2 in sch 40"', '"2 1/4 in sch 40"'),
        'pipe "right weir" to "return pump": no pipe size is called "2 1/4 in sch 40". Write one of the known names; '
        'nearest are "2 1/2 in sch 40"',
    ),
    "fitting unknown": (
        ('"elbow 90" = 3', '"ellbow 90" = 3'),
        'pipe "manifold" to "left jet": no fitting is called "ellbow 90". Write one of the known names; nearest are '
        '"elbow 90"',
    ),
    "curve not falling": (('"12 ft"]', '"18 ft"]'), "pump[1] 'return pump'.curve: does not fall"),
    "head of 400 m": (('"20 ft"]', '"400 m"]'), "has a head of 400 m, which no loop pump has. Did you mean feet"),
    "unit missing": (('"1200 gph"', '"1200"'), "curve[2][1]: 1200 is a number without a unit. Write the unit too"),
    "animal without a size": (("[[pump]]", GOBY + "[[pump]]"), "animal[1] 'goby'.length: is missing"),
    "valve beyond 1": (
        (FITTINGS, FITTINGS + '\nvalves = { "ball valve" = 1.2 }'),
        "pipe[4].valves.ball valve: 1.2 is above 1. Write at most 1",
    ),
    "valve that is not there": (
        (FITTINGS, FITTINGS + '\nvalves = { "gate valve" = 0.5 }'),
        "pipe[4].valves.gate valve: is not among the fittings of this pipe. Did you mean 'ball valve'? Known here: "
        'elbow 90, ball valve. Count it there too, as fittings = { "gate valve" = 1 }',
    ),
    "branch closed at both ends": (
        (TO_JET + FITTINGS, TO_JET.replace("left jet", "corner") + SHUT + "\n\n" + BEYOND.replace(FITTINGS, SHUT)),
        'corner: is closed off on all sides by pipe "manifold" to "corner", pipe "corner" to "left jet". Open one',
    ),
    "check valve against the only way": (
        (TO_MANIFOLD, TO_MANIFOLD.replace("manifold", "corner")),
        'pump "return pump", way out: a check valve in pipe "manifold" to "corner" stands against the only way. '
        "Turn it",
    ),
    "pump that nothing feeds": (
        ('to = "return pump"', 'to = "manifold"'),
        "pump[1] 'return pump': has no way in. Write a [[pipe]] with to = 'return pump'",
    ),
    "loop that no pump drives": (
        (SOUND[SOUND.index("[[pump]]") : SOUND.index("[[pipe]]")], ""),
        "pump: is missing: nothing drives the water in the pipes. Write a [[pump]]",
    ),
    "no intake": (
        (SOUND[SOUND.index("[[intake]]") : SOUND.index("# --- the loop")], ""),
        "intake: is missing. Write at least one [[intake]]",
    ),
}


@pytest.mark.parametrize("name", FAULTS)
def test_refused_in_one_line(tmp_path, name):
    (old, new), told = FAULTS[name]
    assert old in SOUND
    text = SOUND.replace(old, new, 1)
    if "check valve" in name:
        text += f"\n{AGAINST}"
    scene = tmp_path / "scene.toml"
    scene.write_text(text, encoding="utf-8")
    outcome = CliRunner().invoke(commands, ["plumb", str(scene)], prog_name="flowviz")
    assert (outcome.exit_code, outcome.stdout) == (2, "")
    assert told in outcome.stderr
    assert len(outcome.stderr.splitlines()) == 1
    assert outcome.stderr.startswith(f"flowviz: {scene}: ")
    assert outcome.stderr.count(str(scene)) == 1
