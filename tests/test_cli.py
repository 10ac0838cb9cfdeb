"""What the commands print, where, and with which status they end."""

import errno
import json
import os
import subprocess
import sys
from importlib import import_module
from pathlib import Path

import pytest
from click.testing import CliRunner

import flowviz.study
from flowviz.cli.commands import commands
from flowviz.errors import ConvergenceError, OutputError
from flowviz.scene.model import Caution

SCENES = Path(__file__).parent.parent / "scenes"
FIRST = str(SCENES / "first.toml")


@pytest.fixture
def call():
    """Call flowviz with words as a user would type them."""
    return lambda *words: CliRunner().invoke(commands, words, prog_name="flowviz")


@pytest.fixture(scope="module")
def done(tmp_path_factory):
    """One run of the smallest scene: its outcome, and the folder."""
    folder = tmp_path_factory.mktemp("run") / "first"
    return CliRunner().invoke(commands, ["run", FIRST, "-o", str(folder), "--json"]), folder


PRESSED = """
import runpy, sys

class Pressed:
    def find_spec(self, name, *others):
        if name == {library!r}:
            raise KeyboardInterrupt

sys.meta_path.insert(0, Pressed())
sys.argv = ["flowviz", "plumb", {scene!r}]
runpy.run_module("flowviz", run_name="__main__")
"""  # Ctrl-C while a library is looked for


def contents(folder):
    """Every file below a folder."""
    return {path.relative_to(folder): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_check_tells_a_sound_scene(call):
    outcome = call("check", FIRST)
    assert outcome.exit_code == 0
    assert "no faults found" in outcome.stdout
    assert outcome.stderr == ""


def test_check_tells_rises_that_miss_an_opening(call, scene_in, tmp_path):
    """The pump lies 0.5 m below the intake, which is at 120 mm, and no pipe rises again."""
    told = " ".join(call("check", str(scene_in(tmp_path, {}, "looped"))).stdout.split())
    assert "the rises of its pipes put it 380 mm below the floor, but it is at 400 mm" in told
    assert "the rises of its pipes put it" not in call("check", str(SCENES / "peninsula.toml")).stdout


@pytest.mark.parametrize("command", ["check", "plumb"])
def test_json_is_alone_on_stdout(call, command):
    outcome = call(command, FIRST, "--json")
    assert outcome.exit_code == 0
    assert json.loads(outcome.stdout)["scene"]


def test_plumb_tells_every_opening(call):
    told = json.loads(call("plumb", str(SCENES / "peninsula.toml"), "--json").stdout)
    text = call("plumb", str(SCENES / "peninsula.toml")).stdout
    assert all(name in text for name in (*told["outlets"], *told["intakes"], *told["pumps"]))


@pytest.mark.parametrize("scene", sorted(SCENES.glob("*.toml")), ids=lambda path: path.stem)
def test_plumb_fits_a_terminal_of_80_columns(call, scene):
    outcome = call("plumb", str(scene))
    assert outcome.exit_code == 0
    assert max(map(len, outcome.stdout.splitlines())) <= 80
    assert "…" not in outcome.stdout  # nothing is cut


def test_plumb_tells_what_the_loop_asks(call):
    told = json.loads(call("plumb", str(SCENES / "peninsula.toml"), "--json").stdout)["dossier"]
    assert {"losses", "upsizes", "strainers", "blocked", "heating", "parts", "sheets", "leaks"} <= set(told)
    assert sum(loss["share"] for loss in told["losses"]) == pytest.approx(1, rel=1e-9)  # rounding, by definition
    text = call("plumb", str(SCENES / "peninsula.toml")).stdout
    assert "Where the head goes" in text
    assert "mains power" in text


def test_plumb_leaves_out_what_a_scene_without_pipes_cannot_tell(call):
    text = call("plumb", FIRST).stdout
    assert "If it breaks" in text
    assert not any(words in text for words in ("Where the head goes", "One size larger", "Heat and cost"))


def test_run_writes_the_summary_it_prints(done):
    outcome, folder = done
    assert outcome.exit_code == 0
    told = json.loads(outcome.stdout)
    pictures = told.pop("pictures")
    assert told == json.loads((folder / "summary.json").read_text(encoding="utf-8"))
    assert (folder / "field.vti").stat().st_size > 0
    assert {picture["file"] for picture in pictures} == {path.name for path in folder.glob("*.png")}


@pytest.mark.parametrize(("words", "marches"), [((), 12), (("--detail", "coarse"), 8), (("--marches", "2"), 2)])
def test_run_marches_as_often_as_comparisons_do_unless_told_otherwise(call, tmp_path, monkeypatch, words, marches):
    """One short look knows neither the dead share nor its interval."""
    asked = []

    def caught(scene, settings, *others):
        asked.append(settings)
        raise KeyboardInterrupt

    monkeypatch.setattr(flowviz.study, "run", caught)
    call("run", FIRST, "-o", str(tmp_path / "out"), *words)
    assert [(each.marches, each.seed) for each in asked] == [(marches, 0)]


def test_run_prints_the_shares_and_where_to_look(call, tmp_path, monkeypatch):
    peril = Caution("intakes", "a goby is in peril once one is blocked", "Take larger strainers.")
    monkeypatch.setattr(import_module("flowviz.store.summary"), "blocked_cautions", lambda scene: (peril,))
    outcome = call("run", FIRST, "-o", str(tmp_path / "out"), "--marches", "2")
    told = json.loads((tmp_path / "out" / "summary.json").read_text(encoding="utf-8"))["cautions"]
    assert "Caution, intakes: a goby is in peril" in outcome.stdout
    assert told[-1]["where"] == "intakes"
    assert outcome.exit_code == 0
    assert "dead (below" in outcome.stdout
    assert "tank.png" in outcome.stdout
    assert f"flowviz compare {FIRST} --move NAME" in " ".join(outcome.stdout.split())


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("check", "nowhere.toml"), "nowhere.toml"),
        (("plumb", "nowhere.toml"), "nowhere.toml"),
        (("run", "nowhere.toml", "-o", "out"), "nowhere.toml"),
        (("check", FIRST, "--cell", "20"), "20 mm"),
        (("check", FIRST, "--cell", "-3 mm"), "above zero"),
        (("check", str(SCENES / "raceway.toml"), "--cell", "1"), "'1 in' or '1 mm'"),
        (("check", FIRST, "--cell", "30 L/h"), "is a flow"),
        (("check", FIRST, "--cell", "90 m"), "too large"),
        (("check", FIRST, "--cell", "0.01 mm"), "memory"),
    ],
)
def test_bad_input_is_one_line_and_status_2(call, words, told, tmp_path, monkeypatch):
    """In an empty folder: the README's first command leaves one called out in that of the tests."""
    monkeypatch.chdir(tmp_path)
    outcome = call(*words)
    assert outcome.exit_code == 2
    assert outcome.stdout == ""
    assert told in outcome.stderr
    assert outcome.stderr.startswith("flowviz: ")
    assert outcome.stderr.count("\n") == 1


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("compare", FIRST, "--marches", "0", "-o", "out"), "compare: Invalid value for '--marches': '0' is no whole"),
        (("compare", FIRST, "--steps", "2.5", "-o", "out"), "compare: Invalid value for '--steps': '2.5' is no whole"),
        (("run", FIRST, "rest.toml", "-o", "out"), "run: Got unexpected extra argument (rest.toml). Try 'flowviz run"),
        (("run",), "run: Missing argument 'SCENE'. Try 'flowviz run --help'"),
        (("run", FIRST, "-o"), " run: Option '-o' requires an argument. Try 'flowviz run --help'"),
        (("--version=2",), "flowviz: Option '--version' does not take a value. Try 'flowviz --help'"),
        (("compair",), ": No such command 'compair'. Did you mean 'compare'? Try 'flowviz --help'"),
        (("--detail", "fine"), ": No such option '--detail'."),
    ],
)
def test_words_that_no_command_takes_are_one_line_and_status_2(call, words, told):
    outcome = call(*words)
    assert (outcome.exit_code, outcome.stdout) == (2, "")
    assert outcome.stderr.startswith("flowviz")
    assert told in outcome.stderr
    assert outcome.stderr.count("\n") == 1


def test_without_a_command_the_help_is_shown(call):
    assert "compare  Hold layouts" in call().output


@pytest.mark.parametrize("words", [("check",), ("run", "-o", "out"), ("compare", FIRST, "-o", "out")])
def test_a_fault_of_the_loop_names_its_scene_once(call, tmp_path, monkeypatch, words):
    monkeypatch.chdir(tmp_path)
    sound = (SCENES / "raceway.toml").read_text(encoding="utf-8")
    Path("wrong.toml").write_text(sound.replace('"elbow 90" = 3', '"ellbow 90" = 3'), encoding="utf-8")
    command, *others = words
    outcome = call(command, "wrong.toml", *others)
    assert (outcome.exit_code, outcome.stderr.count("wrong.toml")) == (2, 1)
    assert outcome.stderr.startswith('flowviz: wrong.toml: pipe "manifold" to "left jet": no fitting is called')


def test_a_way_is_judged_by_its_end_first(call, tmp_path):
    outcome = call("compare", FIRST, "-o", str(tmp_path / "way"), "--move", "left high", "--to", "9 m, 0.4 m, 0.3 m")
    assert outcome.exit_code == 2
    assert outcome.stderr.startswith("flowviz: --to, place 5 of 5: ")
    assert "Choose another --to; onto another panel" in outcome.stderr


@pytest.mark.parametrize(
    ("fault", "status"),
    [
        (ConvergenceError("flow", "it blew up", "Use smaller cells"), 3),
        (OutputError("out", "the disk is full", "Make room"), 3),
        (KeyboardInterrupt(), 130),
    ],
)
def test_a_run_that_fails_leaves_the_earlier_result(call, tmp_path, monkeypatch, fault, status):
    folder = tmp_path / "out"
    call("run", FIRST, "-o", str(folder), "--marches", "1")
    before = contents(folder)

    def fail(*arguments):
        raise fault

    monkeypatch.setattr(flowviz.study, "run", fail)
    outcome = call("run", FIRST, "-o", str(folder))
    assert outcome.exit_code == status
    assert outcome.stderr.count("\n") == 1
    assert contents(folder) == before
    assert [path.name for path in tmp_path.iterdir()] == ["out"]


@pytest.mark.parametrize("library", ["click", "rich", "numpy", "scipy"])
def test_it_can_be_interrupted_while_it_loads(library):
    program = PRESSED.format(library=library, scene=FIRST)
    outcome = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=False)
    assert outcome.returncode == 130
    assert (outcome.stdout, outcome.stderr) == ("", "flowviz: stopped; nothing was written\n")


def test_the_help_of_strict_says_which_phase_it_judges(call):
    assert "main phase" in " ".join(call("run", "--help").stdout.split())


def test_strict_tells_scripts_that_a_limit_is_broken(call, tmp_path, done):
    numbers = json.loads(done[0].stdout)
    broken = bool(numbers["zones"]) or any(group["verdict"] != "good" for group in numbers["corals"].values())
    outcome = call("run", FIRST, "-o", str(tmp_path / "out"), "--strict")
    assert outcome.exit_code == (1 if broken else 0)


@pytest.mark.parametrize("words", [(), ("--json",)])
def test_a_listener_that_stops_is_no_fault(words):
    """As with "| head": the end that is read from is closed before anything is written."""
    command = [sys.executable, "-m", "flowviz", "plumb", str(SCENES / "peninsula.toml"), *words]
    read, write = os.pipe()
    os.close(read)
    done = subprocess.run(command, stdout=write, stderr=subprocess.PIPE, check=False)
    os.close(write)
    assert (done.returncode, done.stderr) == (0, b"")


FULL = Path("/dev/full")  # takes nothing, as a full disk


SCENE = str(SCENES / "peninsula.toml")


@pytest.mark.skipif(not FULL.exists(), reason="this system has no file that is always full")
@pytest.mark.parametrize(
    "words",
    [("check", SCENE), ("plumb", SCENE), ("plumb", SCENE, "--json"), ("--help",), ("--version",), ("plumb", "--help")],
)
def test_a_full_disk_behind_the_output_is_told_in_one_line(words):
    asked = [sys.executable, "-m", "flowviz", *words]
    with FULL.open("w") as full:
        done = subprocess.run(asked, stdout=full, stderr=subprocess.PIPE, text=True, check=False)
    said = f"flowviz: the output: could not be written: {os.strerror(errno.ENOSPC)}. "
    assert done.stderr == f"{said}Free some space on the disk or write elsewhere\n"
    assert done.returncode == OutputError.exit_status


def test_a_folder_that_may_not_be_replaced_is_refused_before_the_scene_is_read(call, tmp_path):
    (tmp_path / "letters.txt").write_text("mine")
    for command in ("run", "plumb"):
        outcome = call(command, "nowhere.toml", "-o", str(tmp_path))
        assert outcome.exit_code == 2
        assert "holds what flowviz did not write" in outcome.stderr


def test_every_option_of_every_command_says_what_it_is_for():
    for name in commands.list_commands(None):
        options = [each for each in commands.get_command(None, name).params if each.param_type_name == "option"]
        assert [each.name for each in options if not each.help] == []
