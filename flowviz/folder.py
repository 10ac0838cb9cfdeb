"""Results appear whole or not at all: a folder is filled beside its target and then takes its place."""

import errno
import json
import os
import shutil
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from hashlib import sha256
from pathlib import Path
from secrets import token_hex
from threading import Event, Thread

from flowviz.errors import InputError, OutputError

MANIFEST = ".flowviz"  # in every folder of results: the files that flowviz wrote there
DESKTOPS = {".DS_Store", "Thumbs.db", "desktop.ini"}  # left by file managers wherever they look
FORGOTTEN = 86400.0  # after its last sign of life, at which what a killed run left behind is swept up [s]
BEAT = 10.0  # from one sign of life to the next [s]; short, that a machine that has slept for a day gives one soon

UNTOUCHED = "What was there before is untouched"
REMEDIES = {
    errno.ENOSPC: "Free some space on the disk or write elsewhere",
    errno.EDQUOT: "Free some of your quota or write elsewhere",
    errno.EACCES: "Choose a folder that you may write to",
    errno.EPERM: "Choose a folder that you may write to",
    errno.EROFS: "Choose a folder that you may write to",
    errno.ENAMETOOLONG: "Choose a shorter name",
}


@contextmanager
def fresh_folder(target: str | Path) -> Iterator[Path]:
    """A new folder that replaces target once all is written into it, or vanishes if anything goes wrong.

    Until then target keeps what it holds; a machine that stops between the two renames leaves that beside it, and the
    next call puts it back. Raises InputError, before anything else is done, where target is no folder or holds what
    flowviz did not write, and OutputError where it cannot be written.
    """
    target = Path(target).resolve()
    with told(target):
        refuse(target)
        target.parent.mkdir(parents=True, exist_ok=True)
        restore(target)
        sweep(target)
        fresh = beside(target, f"new-{token_hex(4)}")
        fresh.mkdir()
    try:
        with told(target):
            with alive(fresh):
                yield fresh
                seal(fresh)
            swap(fresh, target)
    finally:
        shutil.rmtree(fresh, ignore_errors=True)


def check_folder(target: str | Path) -> None:
    """Raise InputError unless a new folder may take the place of target: to be asked before any work is done."""
    target = Path(target).resolve()
    with told(target):
        refuse(target)


def made(folder: str | Path) -> Path:
    """A folder that is there, made if there was none. Raises OutputError where it cannot be made."""
    folder = Path(folder)
    with told(folder):
        folder.mkdir(parents=True, exist_ok=True)
    return folder


@contextmanager
def told(target: Path) -> Iterator[None]:
    """Tell a fault of the system as one of the output."""
    try:
        yield
    except OSError as error:
        remedy = REMEDIES.get(error.errno, "Write elsewhere")
        raise OutputError(
            str(target), f"could not be written: {error.strerror or error}", f"{remedy}. {UNTOUCHED}"
        ) from error


def refuse(target: Path) -> None:
    """Raise InputError unless target may be replaced."""
    if Path.cwd().is_relative_to(target):
        raise InputError(str(target), "is the folder you are in", "Write the name of a folder inside it")
    blocked = next((parent for parent in target.parents if parent.is_file()), None)
    if blocked is not None:
        raise InputError(str(blocked), "is a file", "Write the name of a folder")
    if not target.exists():
        return
    if not target.is_dir():
        raise InputError(str(target), "is a file", "Write the name of a folder")
    if os.path.ismount(target):
        raise InputError(str(target), "is a disk of its own", "Write the name of a folder inside it")
    if stranger := next(strangers(target), None):
        fault = f"holds what flowviz did not write, such as {stranger!r}"
        raise InputError(str(target), fault, "Move that away or write the name of another folder")


def strangers(target: Path) -> Iterator[str]:
    """What target holds beside the files that flowviz wrote into it."""
    known = manifest(target)
    if not known:
        yield from (entry.name for entry in target.iterdir() if entry.name not in DESKTOPS)
        return
    for folder, folders, files in os.walk(target):
        for name in (*files, *(link for link in folders if Path(folder, link).is_symlink())):
            path = Path(folder, name).relative_to(target).as_posix()
            if name not in DESKTOPS and path not in known:
                yield path


def manifest(target: Path) -> set[str]:
    """The files that flowviz wrote into a folder; none where it wrote nothing."""
    try:
        return {MANIFEST, *json.loads((target / MANIFEST).read_text(encoding="utf-8"))}
    except (FileNotFoundError, ValueError, TypeError):
        return set()


def seal(fresh: Path) -> None:
    """Write down what a finished folder holds, and have the disk keep it."""
    files = [path for path in sorted(fresh.rglob("*")) if path.is_file()]
    names = [path.relative_to(fresh).as_posix() for path in files]
    (fresh / MANIFEST).write_text(json.dumps(names, indent=0), encoding="utf-8")
    for path in (*files, fresh / MANIFEST):
        with path.open("rb+") as file:
            os.fsync(file.fileno())
    for folder in {fresh, *(path.parent for path in files)}:
        keep_names(folder)


def keep_names(folder: Path) -> None:
    """Have the disk keep the names in a folder, where the system can be asked to."""
    if os.name != "posix":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def swap(fresh: Path, target: Path) -> None:
    """Put a finished folder in the place of target."""
    old = beside(target, "old")
    shutil.rmtree(old, ignore_errors=True)
    if target.exists():
        target.rename(old)
    try:
        fresh.rename(target)
    except OSError:
        restore(target)
        raise
    keep_names(target.parent)
    shutil.rmtree(old, ignore_errors=True)


def restore(target: Path) -> None:
    """Put back what a run that was stopped between its two renames had moved aside."""
    old = beside(target, "old")
    if old.exists() and not target.exists():
        old.rename(target)


@contextmanager
def alive(fresh: Path) -> Iterator[None]:
    """Set the time of an unfinished folder anew and anew, so that no other run takes it for one that was left.

    A sign that fails ends no run. On a full disk the next may come through, and one a day is enough; that the folder is
    gone, or that the disk stays full, is told by what writes into it, by then or when it is sealed.
    """
    done = Event()

    def beat() -> None:
        while not done.wait(BEAT):
            with suppress(OSError):
                os.utime(fresh)

    beating = Thread(target=beat, daemon=True)
    beating.start()
    try:
        yield
    finally:
        done.set()
        beating.join()


def sweep(target: Path) -> None:
    """Remove the unfinished folders beside target whose runs have given no sign of life for long."""
    for left in target.parent.glob(beside(target, "new-*").name):
        if time.time() - left.stat().st_mtime > FORGOTTEN:
            shutil.rmtree(left, ignore_errors=True)


def beside(target: Path, what: str) -> Path:
    """A hidden neighbour of target that is its own."""
    return target.with_name(f".flowviz-{sha256(target.name.encode()).hexdigest()[:12]}-{what}")
