"""Water in a display aquarium that is fed by a closed loop.

    study = run(read_scene("scenes/peninsula.toml"))
    print(study.measures.dead_fraction)

The names below are the whole public interface; each is loaded when it is first asked for, so that the command line
answers at once.
"""

from importlib import import_module
from typing import Any

from flowviz.compiled import ensure_place

ensure_place()

_HOMES = {
    "FlowvizError": "errors",
    "Scene": "scene.model",
    "Settings": "study",
    "Study": "study",
    "compare": "comparison.compare",
    "read_scene": "scene.file",
    "read_study": "store",
    "run": "study",
    "write_comparison": "draw.layouts.pictures",
    "write_pictures": "draw.pictures",
    "write_report": "report.write",
    "write_study": "store",
}

__all__ = sorted(_HOMES)


def __getattr__(name: str) -> Any:
    """A public name, from the module where it lives."""
    if name not in _HOMES:
        raise AttributeError(f"module 'flowviz' has no attribute {name!r}")
    return getattr(import_module(f"flowviz.{_HOMES[name]}"), name)


def __dir__() -> list[str]:
    return __all__
