"""How all pictures look: ink, marks, the scale of speed."""

from dataclasses import dataclass

from matplotlib import colormaps
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.colors import PowerNorm
from matplotlib.figure import Figure

from flowviz.scene.model import Limits

INK = "#1b2127"
QUIET = "#5a646d"  # ink of what is said in a low voice
PAPER = "#ffffff"
ROCK, ROCK_EDGE = "#9a9c9e", "#55595d"
SAND, SAND_EDGE = "#ddd2b8", "#a8987a"
GLASS = "#2f3b44"
SCREEN = "#8b959c"  # of strainers

DPI = 150  # dots per inch of a figure as it is written
TITLE, TEXT, SMALL = 15.0, 9.5, 8.5  # sizes of lettering [pt]

SPEEDS = colormaps["cividis"]
HEADROOM = 1.25  # top of the scale, of the limit of too-strong water


@dataclass(frozen=True, slots=True)
class Mark:
    """How water beyond a limit is marked, without the help of hue."""

    colour: str
    hatch: str
    line: str  # style of its outline
    veil: str = "none"  # colour that it lies under


BLUE, CLEAR = "#1f3f77", "99"  # of dead water; how much of what lies under a veil shows, in hexadecimal
DEAD = Mark("#ffffff", "////", "--")
OVER = Mark("#000000", "xxxx", "-")
POCKET = Mark("#ffffff", "//", ":", BLUE + CLEAR)  # of a dead pocket, wherever it is in the depth
BEYOND = Mark("#ffffff", "...", ":"), Mark("#000000", "...", ":")  # in a frame: slower and faster than its corals want
RISING, FALLING = (0.577, 0.577, 0.577), (0.577, 0.577, -0.577)  # unit vectors square to the strokes on bodies
BODIES = {  # of water in the still: colour, and the hatching on it
    "dead": {"colour": BLUE, "veil": 0.75, "hatch": "#ffffff", "ways": (RISING,)},
    "over": {"colour": "#f5d93f", "hatch": "#000000", "ways": (RISING, FALLING)},
}
MARKS = {"dead": DEAD, "over": OVER}


def speed_scale(limits: Limits) -> PowerNorm:
    """Speed [m/s] to its place in the colour map: by the square root, so that the still end has room.

    It follows from the scene's limits alone, so that pictures of two layouts of a tank can be compared.
    """
    return PowerNorm(0.5, vmin=0.0, vmax=HEADROOM * limits.over, clip=True)


def blank(width: float, height: float) -> Figure:
    """An empty figure [in] that belongs to no window."""
    figure = Figure(figsize=(width, height), dpi=DPI, facecolor=PAPER)
    FigureCanvasAgg(figure)
    return figure
