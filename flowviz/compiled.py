"""Where compiled kernels are kept: beside the code, or in the user's cache, or for one run only."""

import atexit
import os
import shutil
from pathlib import Path
from tempfile import mkdtemp

PLACE = "NUMBA_CACHE_DIR"  # environment variable of the compiler, which gives up where it has no place at all


def ensure_place() -> None:
    """Give the compiler a folder that vanishes with this run where it may write to none of its own.

    So it is where someone without a home runs what another has installed; every run then compiles anew, half a minute.
    """
    if PLACE in os.environ or os.access(Path(__file__).parent, os.W_OK) or os.access(_user_cache(), os.W_OK):
        return
    os.environ[PLACE] = mkdtemp(prefix="flowviz-")
    atexit.register(shutil.rmtree, os.environ[PLACE], ignore_errors=True)


def _user_cache() -> Path:
    """The user's cache, or the folder that it would be made in."""
    cache = Path(os.environ.get("XDG_CACHE_HOME") or os.path.expanduser("~/.cache"))
    return next(folder for folder in (cache, *cache.parents) if folder.exists())
