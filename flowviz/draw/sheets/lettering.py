"""Text in pictures: names of any length and script, without a word from the font machinery."""

from functools import cache
from unicodedata import category, normalize

from matplotlib import font_manager, get_data_path

LONGEST = 26  # letters of a name in a picture
STAND_IN = "\N{WHITE VERTICAL RECTANGLE}"  # of a sign that no font of this machine holds
SELECTORS = frozenset(map(chr, range(0xFE00, 0xFE10)))  # ask for one form of the sign before them
BASE = "DejaVu Sans"  # comes with the drawing library


def short(name: str, longest: int = LONGEST) -> str:
    """A name on one line, its end left out where it is too long."""
    line = " ".join("".join(" " if category(sign) in ("Cc", "Zl", "Zp") else sign for sign in name).split())
    return line if len(line) <= longest else line[: longest - 1].rstrip() + "…"


def drawable(text: str) -> str:
    """The text with a stand-in for each sign that no font here holds; signs that only steer others go."""
    kept = (sign for sign in normalize("NFC", text) if category(sign) != "Cf" and sign not in SELECTORS)
    return "".join(sign if sign == "\n" or font_for(sign) else STAND_IN for sign in kept)


def families(text: str) -> list[str]:
    """Fonts that hold the text together: the base, then what else it takes."""
    return list(dict.fromkeys([BASE, *(font_for(sign) or BASE for sign in text if sign != "\n")]))


@cache
def font_for(sign: str) -> str | None:
    """The first font of this machine that holds a sign, the base font before all others."""
    return next((name for name, path in fonts() if sign in held(path)), None)


@cache
def fonts() -> tuple[tuple[str, str], ...]:
    """Upright fonts of normal weight by name, with their files; of those of the drawing library the base alone."""
    own = get_data_path()
    others = sorted(
        (entry.name, entry.fname)
        for entry in font_manager.fontManager.ttflist
        if entry.style == "normal" and entry.weight == 400 and not entry.fname.startswith(own)
    )
    return ((BASE, font_manager.findfont(BASE)), *others)


@cache
def held(path: str) -> frozenset[str]:
    """The signs that a font holds."""
    return frozenset(map(chr, font_manager.get_font(path).get_charmap()))


def style(text: str, size: float, colour: str, **more: object) -> dict[str, object]:
    """What the drawing library must know to set a text as it stands."""
    return {"fontsize": size, "color": colour, "fontfamily": families(text), "parse_math": False, **more}
