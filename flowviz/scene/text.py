"""Text files as people save them, and TOML in them."""

import re
import tomllib
from pathlib import Path

from flowviz.errors import InputError, seen
from flowviz.scene.schema.whole import SceneTable

LISTS = frozenset(name for name, field in SceneTable.model_fields.items() if field.default == ())  # of [[tables]]
PICTURES = (b"\x89PNG", b"\xff\xd8\xff", b"GIF8", b"RIFF", b"II*\0", b"MM\0*")  # how their files begin
WIDE = (b"\xff\xfe", b"\xfe\xff")  # how texts in UTF-16 begin, which are full of zeros
WRITTEN = "Name a file that was written with a text editor"
ARCHIVE = b"PK\x03\x04"  # how workbooks of spreadsheets begin
HEADER = re.compile(r"\[+\s*(\w+)\s*\]+")
LINE = re.compile(r" \(at line (\d+), column \d+\)$")  # the end of what the TOML reader says
TWICE = ("Cannot overwrite", "Cannot declare")  # how the TOML reader begins of a key or a table that stands twice
CURLED = re.compile(r"=[\s\[]*[“”„‟]")  # as word processors make them
INCHES = re.compile(r"""\d\\?(?:""|''|['"]\s*\d)""")  # marks for feet and inches, which end the text: "84""
WORDS = re.compile(r"""\s*(title|name)\s*=\s*(?:"[^"]*".*"|'[^']*'.*')""")  # quotes within a text that is free
SECOND = re.compile(r"""\s*[\w.]+\s*=\s*("[^"]*"|'[^']*')[\s,;]*[\w.]+\s*=""")  # a key behind another's text
COMMA = re.compile(r"=\s*[-+]?\d+,\d+\s*([,}#]|$)")  # a decimal as half of Europe writes it
BARE = re.compile(r"=[\s\[]*+[-+]?(?=[./ ]*+\d)[\d./\s]*+[^\W\d_]")  # a quantity without quotes


def text_of(path: Path) -> str:
    """The text of a file in UTF-8, with or without a byte order mark."""
    try:
        data = path.read_bytes()
    except FileNotFoundError as error:
        raise InputError(str(path), "there is no such file", "Mend its name") from error
    except IsADirectoryError as error:
        raise InputError(str(path), "is a folder", "Name a file in it") from error
    except OSError as error:
        raise InputError(str(path), f"cannot be read ({error.strerror})", "Name a file that may be read") from error
    if data.startswith(ARCHIVE):
        raise InputError(str(path), "is a workbook or an archive", "Save it as CSV or as plain text")
    if data.startswith(PICTURES):
        raise InputError(str(path), "is a picture", WRITTEN)
    if b"\0" in data and not data.startswith(WIDE):
        raise InputError(str(path), "is no text", WRITTEN)
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise InputError(f"{path}, line {line}", "is not UTF-8", "Save the file again with UTF-8 encoding") from error


def tables_of(text: str, path: Path) -> dict:
    """The tables of a TOML file."""
    try:
        return tomllib.loads(text)
    except RecursionError as error:
        raise InputError(str(path), "is nested too deeply", "Write it as the example scenes are written") from error
    except ValueError as error:
        raise _not_toml(str(error), text, path) from error


def _not_toml(told: str, text: str, path: Path) -> InputError:
    """The line that is no TOML, and what is likely to be wrong with it."""
    found = LINE.search(told)
    if found is None:
        return InputError(str(path), f"is not TOML: {told}", "Close the quotes or brackets that are open")
    number = int(found[1])
    line = text.replace("\r\n", "\n").split("\n")[number - 1].strip()
    fault = f"{seen(line)} is not TOML: {told[: found.start()]}"
    return InputError(f"{path}, line {number}", fault, _mend(line, told, text))


def _mend(line: str, told: str, text: str) -> str:
    """What to write instead of a line of a text, by what it looks like and what the TOML reader told of it."""
    if told.startswith(TWICE):
        return _mend_twice(line, text)
    if CURLED.search(line):
        return 'Put straight quotes in the place of curled ones, as "25 mm"'
    if SECOND.match(line):
        return "Write each key on a line of its own"
    if WORDS.match(line):
        return r"Put its text in double quotes, and write \" for those within it"
    if INCHES.search(line):
        return 'Write in for the mark of an inch and ft for that of a foot, as "84 in"'
    if line.count('"') % 2:
        return "Close its quotes"
    if COMMA.search(re.sub('"[^"]*"', "", line)):
        return "Write a point in a decimal, as 0.4"
    return 'Put every quantity in quotes, as "25 mm"' if BARE.search(line) else "Mend that line"


def _mend_twice(line: str, text: str) -> str:
    """The same of a line whose table or key stands before it too."""
    header = HEADER.match(line)
    if not header or header[1] not in LISTS:
        return "It stands twice: keep one of them"
    first = re.search(rf"^\s*\[+\s*{header[1]}\s*(?:\.\s*(\w+)\s*)?\]", text, re.MULTILINE)
    if first and first[1]:
        return f"Put [{header[1]}.{first[1]}] below the [[{header[1]}]] that it is of"
    return f"Write [[{header[1]}]], in double brackets, each time that it stands"
