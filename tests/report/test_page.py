"""The page: whole, alone, escaped, with words for every picture."""

import re
from contextlib import nullcontext
from html.parser import HTMLParser

import pytest

from flowviz.errors import GraphicsError, InputError, OutputError
from flowviz.plumbing.dossier import dossier
from flowviz.report import write_report
from flowviz.report.page import bound, text_of
from flowviz.store import study_cautions
from flowviz.tables import dossier_tables, study_tables

VOID = {"meta", "link", "img", "input", "br", "hr"}
LARGEST = 6_000_000  # bytes, as the page was asked to be at most
CHAPTERS = ("zones", "sections", "corals", "bed", "surface", "intakes", "plumbing")
CHAPTERS += ("assumptions", "limits", "trust", "cautions")


class Reader(HTMLParser):
    """Reads a page strictly: every element that opens closes where it should."""

    def __init__(self, text):
        super().__init__()
        self.open, self.elements, self.words = [], [], []
        self.feed(text)
        self.close()
        assert self.open == []

    def handle_starttag(self, tag, attrs):
        self.elements.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag):
        assert self.open.pop() == tag, (tag, self.getpos())

    def handle_data(self, data):
        if self.open and self.open[-1] not in ("script", "style"):
            self.words.append(data)

    def all(self, tag):
        return [attrs for name, attrs in self.elements if name == tag]


@pytest.fixture
def read(done):
    return Reader(done.text)


def test_every_element_closes_where_it_should(read):
    assert read.all("html")[0]["lang"] == "en"
    assert [tag for tag, _ in read.elements].count("h1") == 1


def test_nothing_is_asked_for_from_anywhere(done, read):
    addresses = [
        attrs[key] for _, attrs in read.elements for key in ("src", "href", "action", "srcset") if key in attrs
    ]
    assert addresses
    assert all(address.startswith(("data:", "#")) for address in addresses)
    assert not any(words in done.text for words in ("http://", "https://", "@import", "url("))


def test_it_is_small_enough_to_be_sent(done):
    assert done.file.stat().st_size <= LARGEST


def test_every_picture_has_words_for_those_who_cannot_see_it(done, read):
    assert len(read.all("img")) == len(done.album.pictures)
    assert all(len(attrs["alt"]) > 20 for attrs in read.all("img"))


def test_every_chapter_is_there_and_can_be_jumped_to(read):
    keys = {attrs["id"] for attrs in read.all("section")}
    assert set(CHAPTERS) <= keys
    assert {attrs["href"] for attrs in read.all("a")} == {f"#{key}" for key in keys}


def test_no_table_is_left_out(done, read):
    words = "\n".join(read.words)
    scene = done.study.scene
    for table in (*study_tables(done.study), *dossier_tables(scene, dossier(scene))):
        assert table.title in words
        assert all(cell in words for row in table.rows for cell in row)


def test_every_caution_is_told(done, read):
    words = "\n".join(read.words)
    assert all(str(caution) in words for caution in (*study_cautions(done.study), *done.album.cautions))


def test_the_client_reads_why_and_what_is_worth_trying(plain):
    zone = plain.study.measures.zones[0]
    words = " ".join(" ".join(Reader(plain.text).words).split())
    assert f"Why the water {zone.place} is too strong: {zone.cause}. Worth trying: {zone.remedy}." in words


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ("moving (22 % before)", "moving (22~% before)"),
        ("12 ± 7 % is dead", "12~±~7~% is dead"),
        ("better (0 % → 100 %) there", "better (0~%~→~100~%) there"),
        ("21 300 L/h in 4 outlets", "21~300~L/h in 4~outlets"),
    ],
)
def test_no_line_ends_within_a_figure(words, told):
    assert bound(words).replace("\N{NO-BREAK SPACE}", "~") == told


def test_names_stand_in_the_page_as_they_are_written(hard):
    scene, words = hard.study.scene, "\n".join(Reader(hard.text).words)
    assert all(name in words for name in (scene.title, scene.corals[0].name, scene.outlets[0].name))
    assert "1530169" not in words  # nothing in a name is worked out


def test_units_are_those_of_the_scene(plain, hard):
    metric, us = ("\n".join(Reader(each.text).words) for each in (plain, hard))
    assert "cm/s" in metric
    assert "in/s" in us
    assert "cm/s" not in us.replace("cm/s)", "")  # rules quote their own


def test_where_nothing_can_be_rendered_all_else_is_there(plain, tmp_path, monkeypatch):
    class Blind(nullcontext):
        def image(self):
            raise GraphicsError("still", "there is no graphics library", "Install one")

        def __enter__(self):
            return self

    monkeypatch.setattr("flowviz.draw.tank.rendering.rendering", lambda view: Blind())
    album = write_report(plain.study, tmp_path / "blind.html")
    read = Reader((tmp_path / "blind.html").read_text(encoding="utf-8"))
    assert len(read.all("img")) == len(album.pictures) == len(plain.album.pictures) - 2  # two stills
    assert "there is no graphics library" in "".join(read.words)


def test_a_folder_in_its_place_is_refused(plain, tmp_path):
    with pytest.raises(InputError, match="is a folder"):
        write_report(plain.study, tmp_path)


def test_what_was_there_stays_where_it_cannot_be_written(plain, tmp_path):
    (tmp_path / "file").write_text("kept")
    with pytest.raises(OutputError):
        write_report(plain.study, tmp_path / "file" / "report.html")
    assert [path.name for path in tmp_path.iterdir()] == ["file"]


@pytest.mark.parametrize("number", [0, 1])
def test_words_stand_out_from_their_ground_by_day_and_by_night(number):
    """4.5 : 1 at least, for letters of this size (WCAG 2.2, 1.4.3)."""
    look = re.findall(r":root \{(.*)\}", text_of("page.css"))[number]
    colours = dict(re.findall(r"--(\w+): (#\w{6})", look))
    assert min(contrast(colours[name], colours["paper"]) for name in ("ink", "quiet", "link")) >= 4.5


def contrast(one, other):
    """Of two colours: WCAG 2.2's definitions of contrast ratio and relative luminance."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def luminance(colour):
    shares = [int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5)]
    linear = [share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4 for share in shares]
    return sum(weight * share for weight, share in zip((0.2126, 0.7152, 0.0722), linear, strict=True))
