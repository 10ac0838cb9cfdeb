"""What pydantic found wrong with a scene file, in one line for the person who wrote it."""

import re
from collections.abc import Iterable, Iterator
from typing import TypeVar

from pydantic import ValidationError

from flowviz.errors import InputError, seen
from flowviz.scene.schema.values import Table, TableError, nearest
from flowviz.units import QuantityError, System, suggestion

Part = TypeVar("Part")  # a table or record with a name
Whole = TypeVar("Whole", bound=Table)
Where = tuple[str | int, ...]  # keys, and numbers in lists from 0

QUANTITY = re.compile(r"""(?<=["'])[\d.]+ (mm|m|cm/s|m3/h|L/h|degC)(?=["'])""")  # in a remedy
KINDS = {"mm": "length", "m": "head", "cm/s": "speed", "m3/h": "flow", "L/h": "flow", "degC": "temperature"}
SCALE = "1 mm"  # one unit of a mesh is so in both systems

EXAMPLES = {  # what to write at a key, with the table where keys of one name differ
    "title": 'title = "Entrance hall peninsula"',
    "coral_kinds": 'coral_kinds = "kinds.csv", beside the scene',
    "water": "a table [water] with temperature and salinity",
    "temperature": 'temperature = "25.5 degC"',
    "salinity": 'salinity = "35 g/kg", or "0 g/kg" for fresh water',
    "tank": "a table [tank] with length, width, height and depth",
    "panels": "a table for each panel, as [tank.panels.left]",
    "limits": "a table [limits] with dead and over",
    "sand": "a table [sand] with depth and grain",
    "rock": "a table [[rock]]",
    "coral": "a table [[coral]]",
    "outlet": "a table [[outlet]]",
    "intake": "a table [[intake]]",
    "pump": "a table [[pump]]",
    "pipe": "a table [[pipe]]",
    "junction": "a table [[junction]]",
    "height": 'height = "650 mm"',
    "depth": 'depth = "600 mm"',
    "sand.depth": 'depth = "40 mm"',
    "outline": 'outline = [["0 mm", "0 mm"], ["900 mm", "0 mm"], ["0 mm", "900 mm"]], its corners',
    "seen_from": 'seen_from = ["front"]',
    "material": 'material = "glass", or "acrylic"',
    "thickness": 'thickness = "15 mm"',
    "tempered": "tempered = false, or true",
    "grain": 'grain = "1.5 mm", the median diameter',
    "name": 'name = "..." with a name that nothing else has',
    "shape": 'shape = "box", "cylinder", "ellipsoid", "capsule" or "mesh"',
    "strainer.shape": 'shape = "basket", or "flat"',
    "centre": 'centre = ["600 mm", "380 mm", "80 mm"]',
    "width": 'width = "12 mm"',
    "size": 'size = ["560 mm", "400 mm", "440 mm"]',
    "pipe.size": 'size = "1 1/4 in sch 40"',
    "diameter": 'diameter = "110 mm"',
    "from": 'from = ["680 mm", "700 mm", "200 mm"]',
    "to": 'to = ["760 mm", "660 mm", "640 mm"]',
    "pipe.from": 'from = "..." with the opening, pump or junction where it begins',
    "pipe.to": 'to = "..." with the opening, pump or junction where it ends',
    "file": 'file = "arch.stl", beside the scene',
    "open": "open = 0.4, the share of its volume between its stones",
    "curve_file": 'curve_file = "pump.csv", beside the scene',
    "scale": 'scale = "1 mm", what one unit of the file is',
    "at": 'at = ["0 mm", "200 mm", "450 mm"]',
    "direction": "direction = [1, 0.1, 0]",
    "speed": 'speed = ["10 cm/s", "35 cm/s"], the band that is wanted',
    "measured.speed": 'speed = "12 cm/s"',
    "animal.speed": 'speed = "8 cm/s"',
    "pump.speed": "speed = 0.8, the share of full speed",
    "panel": 'panel = "left", of a cylinder "wall", or "rim" for a pipe over the rim',
    "strainer": 'strainer = { shape = "flat", diameter = "180 mm", open_area = 0.35, slot = "4 mm" }',
    "open_area": "open_area = 0.38, the open share of the screen",
    "bar": 'bar = { length = "600 mm", inside = "26 mm", holes = 20, hole = "5 mm" }',
    "bar.length": 'length = "600 mm", of the spray bar',
    "inside": 'inside = "26 mm", the diameter',
    "holes": "holes = 20, how many",
    "hole": 'hole = "60 mm", as drilled',
    "bar.hole": 'hole = "5 mm", the diameter of one',
    "fitted": "fitted = 2019, the year of its bulkhead",
    "nozzle": "nozzle = 0.97, its coefficient of discharge",
    "edge": 'edge = "4 mm", the radius of its rounding',
    "slot": 'slot = ["120 mm", "12 mm"], across and up',
    "strainer.slot": 'slot = "3 mm", the width of one slot or hole',
    "curve": 'curve = [["0 m3/h", "6.5 m"], ["12 m3/h", "3.4 m"]], flow and head',
    "lasts": 'lasts = "20 min"',
    "phase": "a table [[phase]]",
    "heat_share": "heat_share = 0.75, the share of its power that warms the water",
    "valves": 'valves = { "union ball valve" = 0.5 }, the share that it is open',
    "phase.valves": 'valves = { "left high" = 0 }, shut, by what the pipe leads to',
    "site": "a table [site] with room, price, chiller and altitude",
    "price": "price = 0.30, of a kilowatt-hour",
    "fittings": 'fittings = { "elbow 90" = 2 }',
    "length": 'length = "1.2 m"',
    "lengths_per_second": "lengths_per_second = 2, that it keeps up swimming",
    "animal.length": 'length = "60 mm", of its body',
    "strainer.length": 'length = "120 mm"',
    "loss": "loss = 0.8, a loss coefficient",
    "kind": 'kind = "tee"',
    "coral.kind": 'kind = "branching stony"',
    "in_line": 'in_line = ["loop pump", "left high"], the two neighbours on its straight run',
}
WRONG_TYPES = {  # what is said of a value by the name that pydantic has for its fault
    "missing": "is missing",
    "tuple_type": "{} is not a list",
    "dict_type": "{} is not a table",
    "model_type": "{} is not a table",
    "model_attributes_type": "{} is not a table",
    "string_type": "{} is not text in quotes",
    "bool_type": "{} is neither true nor false",
    "float_type": "{} is not a number",
    "finite_number": "{} is not finite",
    "int_type": "{} is not a whole number",
}


def placed(parts: Iterable[Part], table: str, file: str) -> Iterator[tuple[Part, str]]:
    """Each of several tables with what it is called: scene.toml: outlet[2] 'left high', counted from one."""
    for number, part in enumerate(parts, start=1):
        yield part, f"{file}: {table}[{number}] {part.name!r}"


def validated(model: type[Whole], raw: dict, file: str, system: System) -> Whole:
    """The tables of a file, each value checked by itself.

    Raises InputError with the key of the first fault, and what to write there in units of the system.
    """
    try:
        return model.model_validate(raw, context={"system": system})
    except ValidationError as error:
        raise _input_error(error, raw, file, system) from error


def suggested(remedy: str, system: System) -> str:
    """A remedy with the metric quantities that it has in quotes as a system has them."""
    return QUANTITY.sub(
        lambda found: found[0] if found[0] == SCALE else suggestion(found[0], KINDS[found[1]], system), remedy
    )


def _input_error(error: ValidationError, raw: dict, file: str, system: System) -> InputError:
    """The first fault of a file, with the key that it stands at."""
    first = error.errors(include_url=False)[0]
    where = _without_tag(first["loc"])
    context = first.get("ctx", {})
    match context.get("error"):
        case QuantityError() as quantity:
            return InputError(_place(where, raw, file), f"{quantity.where} {quantity.fault}", quantity.remedy)
        case TableError() as table:
            place = _place((*where, table.key) if table.key else where, raw, file)
            return InputError(place, table.fault, suggested(table.remedy, system))
    where, fault, remedy = _explained(first["type"], where, _found(where, raw), context)
    return InputError(_place(where, raw, file), fault, suggested(remedy, system))


def _without_tag(where: Where) -> Where:
    """A place without the marks that are no keys: a rock's shape, and that a key itself is meant."""
    marked = where[:1] == ("rock",) and len(where) > 2
    return tuple(part for level, part in enumerate(where) if part != "[key]" and not (marked and level == 2))


def _place(where: Where, raw: dict, file: str) -> str:
    """The dotted key of a place in the file."""
    text, here = "", raw
    for part in where:
        here = _inside(here, part)
        name = here.get("name") if isinstance(here, dict) and isinstance(part, int) else None
        text += f"[{part + 1}]" if isinstance(part, int) else f".{part if part.isprintable() else repr(part)}"
        text += f" {seen(name)}" if isinstance(name, str) else ""
    return f"{file}: {text.removeprefix('.')}" if text else file


def _inside(found: object, part: str | int) -> object:
    if isinstance(found, dict):
        return found.get(part)
    return found[part] if isinstance(found, list) and isinstance(part, int) and part < len(found) else None


def _found(where: Where, raw: dict) -> object:
    """What the file has at a place."""
    here = raw
    for part in where:
        here = _inside(here, part)
    return here


def _explained(kind: str, where: Where, found: object, context: dict) -> tuple[Where, str, str]:
    """Place, fault and remedy of what pydantic calls a kind of error."""
    match kind:
        case "missing" if isinstance(where[-1], int):
            return where[:-1], f"has too few values, {where[-1]}", _example(where)
        case "too_long":
            return where, f"has more than {context['max_length']} values", _example(where)
        case "union_tag_not_found":
            return (*where, "shape"), "is missing", _example((*where, "shape"))
        case "union_tag_invalid":
            remedy = _choice(context["tag"], context["expected_tags"])
            return (*where, "shape"), f"{seen(context['tag'])} is not known", remedy
        case "literal_error":
            return where, f"{seen(found)} is not known", _choice(found, context["expected"])
        case "string_too_long":
            return where, f"{seen(found)} has more than {context['max_length']} letters", "Write a shorter one"
        case "greater_than":
            return where, f"{seen(found)} is not above {context['gt']:g}", "Write a positive value"
        case "greater_than_equal":
            return where, f"{seen(found)} is below {context['ge']:g}", f"Write {context['ge']:g} or more"
        case "less_than_equal" if context["le"] <= 1 and 10 <= found <= 100 * context["le"]:  # meant as a percentage
            most = f"{context['le']:g}"
            return where, f"{seen(found)} is above {most}", f"Write at most {most}; {seen(found)} % is {found / 100:g}"
        case "less_than_equal":
            return where, f"{seen(found)} is above {context['le']:g}", f"Write at most {context['le']:g}"
        case "tuple_type" if isinstance(found, dict):
            return where, *_single(where[-1], found)
    return where, WRONG_TYPES.get(kind, "{} cannot stand here").format(seen(found)), _example(where)


def _single(key: str, found: dict) -> tuple[str, str]:
    """Fault and remedy of one table where there may be several; perhaps with nothing in it but a table of its own."""
    inner = next((name for name, value in found.items() if isinstance(value, dict)), None)
    if inner and len(found) == 1:
        above = f"Write [[{key}]] with its name and the rest above [{key}.{inner}]"
        return f"has a [{key}.{inner}] and nothing else", above
    return "is a single table", f"Write [[{key}]], in double brackets"


def _example(where: Where) -> str:
    """The sentence that shows what to write at a place."""
    keys = [part for part in where if isinstance(part, str)]
    known = (EXAMPLES.get(key) for key in (".".join(keys[-2:]), keys[-1], *keys[-2:-1]))  # a fitting by its table
    return f"Write {next(filter(None, known), f'{keys[-1]} as the shipped scenes do')}"


def _choice(found: object, expected: str) -> str:
    """The sentence that leads to one of several words, which pydantic lists in quotes."""
    words = [word.strip(" '") for word in expected.replace(" or ", ", ").split(",")]
    return nearest(str(found), words)
