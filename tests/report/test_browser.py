"""The page in a real browser, from disk and with the network off."""

from io import BytesIO
from itertools import combinations
from types import SimpleNamespace

import numpy as np
import pytest
from matplotlib.image import imread

from flowviz.report.pdf import find_browser, find_printer, print_page

pytestmark = pytest.mark.skipif(find_browser() is None, reason="no Chromium-family browser on the PATH")
PAGE = {"A4": (595, 842), "letter": (612, 792)}  # points, ISO 216 and ANSI/ASME Y14.1
PHONE = {"width": 390, "height": 844}  # pixels of a page on a phone of 2020 (common, no source)


@pytest.fixture
def show(browser):
    """Opens a report, with the network off; gives the page and what went wrong in it."""
    contexts = []

    def opened(report, **options):
        context = browser.new_context(offline=True, **options)
        contexts.append(context)
        page, wrong = context.new_page(), []
        page.on("pageerror", lambda fault: wrong.append(str(fault)))
        page.on("console", lambda said: wrong.append(said.text) if said.type == "error" else None)
        page.on("request", lambda asked: wrong.append(asked.url) if asked.url.startswith(("http", "ws")) else None)
        page.goto(report.file.as_uri())
        return page, wrong

    yield opened
    for context in contexts:
        context.close()


def test_the_page_opens_from_disk_without_a_complaint(show, done):
    page, wrong = show(done)
    page.wait_for_selector("#turn.live")
    page.wait_for_timeout(500)
    assert wrong == []


def test_the_view_is_drawn_and_turns_by_hand_and_by_key(show, done):
    page, _ = show(done)
    page.wait_for_selector("#turn.live")
    first = picture(page)
    assert len(np.unique(first.reshape(-1, first.shape[-1]), axis=0)) > 100  # colours: it is no empty canvas
    box = page.locator("#tank").bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 120, y + 20, steps=4)
    page.mouse.up()
    dragged = picture(page)
    assert differs(first, dragged)
    page.focus("#tank")
    page.keyboard.press("ArrowLeft")
    assert differs(dragged, picture(page))
    page.keyboard.press("Home")
    assert not differs(first, picture(page))


@pytest.mark.parametrize("mode", ["along", "across", "level"])
def test_sections_are_drawn_and_can_be_moved(show, plain, mode):
    page, wrong = show(plain)
    page.wait_for_selector("#turn.live")
    pockets = picture(page)
    page.check(f"input[value={mode}]")
    section = picture(page)
    assert differs(pockets, section)
    page.focus("#at")
    for _ in range(20):
        page.keyboard.press("ArrowLeft")
    assert differs(section, picture(page))
    assert page.inner_text("output").split()[1] == "mm"
    assert wrong == []


def test_layouts_can_be_changed_for_each_other(show, hard):
    page, wrong = show(hard)
    page.wait_for_selector("#turn.live")
    after = picture(page)
    page.check("input[name=layout][value='0']")
    page.wait_for_timeout(500)
    assert differs(after, picture(page))
    assert wrong == []


def test_without_scripts_a_still_stands_in_the_view_s_place(show, done):
    page, _ = show(done, java_script_enabled=False)
    page.wait_for_selector("#turn img")  # visible, once it has been decoded
    assert not page.locator("#tank").is_visible()


def test_nothing_sticks_out_on_a_phone(show, done):
    page, _ = show(done, viewport=PHONE)
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]


@pytest.mark.parametrize("paper", list(PAGE))
def test_it_prints_on_either_paper(done, paper, tmp_path):
    sheets = printed(done, paper, tmp_path)
    assert {tuple(round(float(side)) for side in sheet.mediabox[2:]) for sheet in sheets} == {PAGE[paper]}
    assert 10 <= len(sheets) <= 35  # chapters follow each other without empty sheets


@pytest.mark.parametrize("paper", list(PAGE))
@pytest.mark.parametrize("report", ["plain", pytest.param("two", marks=pytest.mark.slow)])
def test_the_client_s_page_is_one_sheet(report, paper, tmp_path, request):
    first, second, *_ = printed(request.getfixturevalue(report), paper, tmp_path)
    assert "For the designer" not in first.extract_text()
    assert second.extract_text().startswith("For the designer")


def test_a_client_s_page_that_is_too_long_keeps_its_figures_together(plain, tmp_path):
    """Thirteen more lines of text end amid the table: it goes on to the next sheet as a whole."""
    page, longer = plain.file.read_text(encoding="utf-8"), tmp_path / "longer.html"
    longer.write_text(page.replace("</h1>", "</h1>" + 13 * "<p>more</p>", 1), encoding="utf-8")
    first, second, *_ = (sheet.extract_text() for sheet in printed(SimpleNamespace(file=longer), "A4", tmp_path))
    rows = ("Dead water, slower than", "turnovers an hour")
    assert [[row in sheet for row in rows] for sheet in (first, second)] == [[False, False], [True, True]]


def printed(report, paper, folder):
    """The sheets of a report."""
    reading = pytest.importorskip("pypdf", reason="no reader of PDF: pip install pypdf")
    print_page(report.file, folder / "report.pdf", paper, find_printer())
    return reading.PdfReader(BytesIO((folder / "report.pdf").read_bytes())).pages


def picture(page):
    """The canvas as it is seen, once it has been drawn anew."""
    page.evaluate("new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")
    return imread(BytesIO(page.locator(".stage").screenshot()), format="png")


def differs(one, other):
    """Whether more than a hundredth of the pixels changed."""
    return one.shape != other.shape or (np.abs(one - other).max(axis=-1) > 0.02).mean() > 0.01


def test_by_night_the_page_is_dark_and_the_names_in_the_view_can_be_read(show, done):
    page, _ = show(done, color_scheme="dark")
    page.wait_for_selector("#turn.live")
    assert style_of(page, "html", "backgroundColor") == style_of(page, "button", "backgroundColor") == "rgb(20, 24, 28)"
    assert style_of(page, "#labels .pocket", "color") == "rgb(27, 33, 39)"  # on white, as the view itself is


def style_of(page, place, name):
    """A style of the first such element, as it is shown."""
    return page.locator(place).first.evaluate(f"(element) => getComputedStyle(element).{name}")


def test_names_in_the_view_do_not_hide_each_other(show, done):
    page, _ = show(done)
    page.wait_for_selector("#turn.live")
    picture(page)
    boxes = [name.bounding_box() for name in page.locator("#labels span").all() if name.is_visible()]
    assert len(boxes) > 2
    for one, other in combinations(boxes, 2):
        aside = one["x"] + one["width"] <= other["x"] + 0.5 or other["x"] + other["width"] <= one["x"] + 0.5
        apart = one["y"] + one["height"] <= other["y"] + 0.5 or other["y"] + other["height"] <= one["y"] + 0.5
        assert aside or apart  # half a pixel of rounding
