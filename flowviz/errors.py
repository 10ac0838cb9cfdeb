"""Everything flowviz raises on purpose.

    FlowvizError
    ├── InputError         the user can mend it: scene, mesh, curve, cell size      exit status 2
    ├── ConvergenceError   the computation did not reach its tolerance              exit status 3
    ├── OutputError        the result could not be written                          exit status 3
    └── GraphicsError      this machine cannot draw three-dimensional stills        the rest goes on

Each says where, what was found, and what to do instead.
"""


class FlowvizError(Exception):
    """Something went wrong that flowviz foresaw; its text is one line for the user."""

    exit_status = 3

    def __init__(self, where: str, fault: str, remedy: str) -> None:
        super().__init__(where, fault, remedy)
        self.where = where
        self.fault = fault
        self.remedy = remedy

    def __str__(self) -> str:
        return f"{self.where}: {self.fault}. {self.remedy}"


class InputError(FlowvizError):
    """What the user gave cannot be used as it stands."""

    exit_status = 2


class ConvergenceError(FlowvizError):
    """The computation did not reach its tolerance, so there is no result."""


class OutputError(FlowvizError):
    """The result could not be written; what was there before is untouched."""


class GraphicsError(FlowvizError):
    """This machine lacks what three-dimensional stills are rendered with."""


def seen(found: object) -> str:
    """What was found, as a message shows it: cut where it is long."""
    text = repr(found)
    return text if len(text) <= 60 else f"{text[:57]}..."
