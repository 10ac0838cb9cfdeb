"""Names of any kind can be set, and figures are in the scene's units."""

from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
from matplotlib.text import Text as Letters
from matplotlib.transforms import Bbox

from flowviz.draw.flat.pages import plan_view, section_view
from flowviz.draw.flat.planes import Section, Subject, choose_sections
from flowviz.draw.flat.slices import plane_at
from flowviz.draw.layouts.together import LARGEST, alike, page_head, stills_view
from flowviz.draw.sheets.bar import draw_bar, ticks
from flowviz.draw.sheets.labels import Label, place
from flowviz.draw.sheets.lettering import LONGEST, STAND_IN, drawable, families, short
from flowviz.draw.sheets.paragraphs import Text, column, write
from flowviz.draw.sheets.sheet import BAR_LENGTH, BAR_WIDTH, PAGE, add_axes
from flowviz.draw.sheets.theme import blank, speed_scale
from flowviz.draw.sheets.unlettered import lettering_cautions
from flowviz.draw.sheets.wording import part, percent_within, worst
from flowviz.draw.tank.page import STILL, still_view
from flowviz.draw.tank.still import set_up
from flowviz.scene.model import Coral, Limits
from flowviz.units import percent, shown

NAMES = [
    "Höhle",
    '<b>"a" & b</b>',
    "$x_1$ $",
    "岩 \N{TROPICAL FISH}",
    "a\nb\tc\0",
    "o\N{COMBINING DIAERESIS}",
    "",
    "  ",
    "x" * 200,
]


@pytest.mark.parametrize("name", NAMES)
def test_every_name_is_set_on_one_line_without_a_warning(name):
    """Warnings are errors in these tests: a missing sign would be one."""
    words = drawable(short(name))
    assert len(words) <= LONGEST
    assert "\n" not in words
    figure = blank(2, 1)
    column([Text(name, 9.0)], 1.0, figure)
    place(figure.add_subplot(), [Label(short(name), (0.5, 0.5))], Bbox.from_bounds(0, 0, 300, 150))
    figure.canvas.draw()


def test_signs_that_no_font_holds_have_a_stand_in():
    nowhere = "\U0010fffd"  # private use: no font is to hold it
    assert drawable(f"a{nowhere}b") == f"a{STAND_IN}b"
    assert families("plain") == ["DejaVu Sans"]
    assert drawable("o\N{COMBINING DIAERESIS}") == "ö"


def test_signs_that_no_font_holds_are_told_once_with_what_helps(make):
    rock = make.scene().rocks[0]
    names = ("crest", "ä\U0010fffd", "\U0010fffd\U0010fffc")  # private use: no font is to hold it
    lacking = make.scene(rocks=tuple(replace(rock, name=name) for name in names))
    (caution,) = lettering_cautions(lacking, lacking)
    assert caution.what.endswith("holds: \U0010fffd \U0010fffc")
    assert "Install a font" in caution.why
    assert lettering_cautions(make.scene()) == ()


def test_the_bar_figures_both_limits_and_round_numbers_of_its_unit():
    limits = Limits(0.0254, 0.508)  # 1 and 20 in/s
    figured = np.array(ticks(limits, 1 / 0.0254, speed_scale(limits))) / 0.0254
    assert figured == pytest.approx([0, 1, 2, 5, 10, 20], abs=1e-9)


def test_the_bar_shows_what_corals_want(box):
    """The group wants 5 to 30 cm/s; a plane through it has its band, one beside it has none."""
    scale = speed_scale(box.scene.limits)
    through, beside = (section_view(box, Section(Subject("coral"), plane_at(2, z, box.grid))) for z in (0.35, 0.1))
    bands = [line.get_xdata() for line in through.figure.axes[1].get_lines() if len(set(line.get_ydata())) == 1]
    assert bands[0] == pytest.approx([scale(0.05), scale(0.3)])
    told = "Line on the bar, the current that corals want: crest 5 cm/s to 30 cm/s"
    assert [told in words_under(view) for view in (through, beside)] == [True, False]


def test_groups_that_want_the_same_share_a_line_on_the_bar(make):
    """Nine groups want 5 to 25 cm/s, one 10 to 30."""
    wants = [(0.05, 0.25)] * 9 + [(0.1, 0.3)]
    spots = [(0.1 + 0.1 * n, 0.1, 0.3) for n in range(len(wants))]
    groups = zip(spots, wants, strict=True)
    corals = tuple(Coral(f"bed {n}", at, (0.08, 0.08, 0.05), band) for n, (at, band) in enumerate(groups))
    study = make.study(make.scene(corals=corals, rocks=()), lambda x, y, z: 0.1 + 0 * x)
    view = section_view(study, Section(Subject("coral"), plane_at(2, 0.3, study.grid)))
    lines = [line for line in view.figure.axes[1].get_lines() if len(set(line.get_ydata())) == 1]
    assert len(lines) == 4  # two, each cased
    told = " ".join(" ".join(words_under(view)).split())
    assert "bed 7, bed 8 5 cm/s to 25 cm/s; bed 9 10 cm/s to 30 cm/s" in told


def words_under(view):
    """What is written on the page itself, over and under its picture."""
    return [text.get_text() for text in view.figure.texts]


def test_a_section_that_tells_a_peak_tells_the_speeds_at_the_mouths(box):
    """The one outlet passes its flow through its bore: their ratio, to three figures."""
    sections = {section.subject.kind: section_view(box, section) for section in choose_sections(box)}
    outlet = box.scene.outlets[0]
    speed = box.loop.rates[outlet.name] / outlet.aperture.area
    beside_the_limit = shown(speed, "speed", box.scene.show, beside=box.scene.limits.over)
    told = f"at the outlets' mouths: A\N{NO-BREAK SPACE}{beside_the_limit}"
    assert {kind: told in " ".join(words_under(view)) for kind, view in sections.items()} == {
        kind: kind == "over" for kind in sections
    }
    assert "over" in sections


def test_the_speed_at_a_mouth_stands_in_the_unit_of_the_peak(box):
    """12 ft/s would stand below a title with up to 31 in/s."""
    study = replace(box, scene=replace(box.scene, show="us"))
    view = section_view(study, Section(Subject("fastest"), plane_at(2, 0.4, box.grid)))
    (told,) = (words for words in words_under(view) if "mouths" in words)
    assert "in/s" in view.title
    assert told.endswith("in/s")


def test_an_outlet_at_rest_has_no_speed_at_its_mouth(box, make):
    """B is shut."""
    scene = replace(box.scene, outlets=(*box.scene.outlets, make.outlet("shut", (0.0, 0.4, 0.4), (1, 0, 0), "left")))
    loop = replace(box.loop, rates={**box.loop.rates, "shut": 0.0})
    view = section_view(replace(box, scene=scene, loop=loop), Section(Subject("fastest"), plane_at(2, 0.4, box.grid)))
    (told,) = (words for words in words_under(view) if "mouths" in words)
    assert "mouths: A\N{NO-BREAK SPACE}" in told
    assert "B\N{NO-BREAK SPACE}" not in told


def test_outlets_with_mouths_alike_have_their_speed_told_once(box, make):
    """Three openings of a bore, the last of which passes half as much."""
    more = tuple(make.outlet(name, (0.0, y, 0.4), (1, 0, 0), "left") for name, y in (("b", 0.3), ("c", 0.4)))
    outlets, rate = (*box.scene.outlets, *more), 4e-4
    rates = {**box.loop.rates, box.scene.outlets[0].name: rate, "b": rate, "c": rate / 2}
    study = replace(box, scene=replace(box.scene, outlets=outlets), loop=replace(box.loop, rates=rates))
    view = section_view(study, Section(Subject("fastest"), plane_at(2, 0.4, box.grid)))
    (told,) = (words for words in words_under(view) if "mouths" in words)
    area, over = outlets[0].aperture.area, box.scene.limits.over
    fast, slow = (shown(flow / area, "speed", "metric", beside=over) for flow in (rate, rate / 2))
    assert told.replace("\N{NO-BREAK SPACE}", " ").endswith(f"mouths: A B {fast}, C {slow}")


@pytest.mark.parametrize("limits", [Limits(0.03, 0.5), Limits(0.4, 2.5), Limits(2e-4, 0.02)])
@pytest.mark.parametrize("system", ["metric", "us"])
def test_the_words_over_the_bar_do_not_touch_each_other(limits, system):
    axes = add_axes(blank(PAGE, 2), 1.0, 1.0, BAR_LENGTH, BAR_WIDTH)
    draw_bar(axes, limits, system, speed_scale(limits))
    boxes = [text.get_window_extent() for text in axes.texts]
    assert len(boxes) == 3
    assert not [pair for pair in combinations(boxes, 2) if pair[0].overlaps(pair[1])]


def test_the_scale_of_speed_goes_by_the_square_root():
    scale = speed_scale(Limits(0.03, 0.4))
    assert scale(0.5) == 1  # a quarter above the limit
    assert scale(0.125) == pytest.approx(0.5)


def test_us_scenes_speak_us_units(disc):
    for section in choose_sections(disc):
        view = section_view(disc, section)
        words = " ".join(text.get_text() for axes in view.figure.axes for text in axes.texts)
        words += view.title + " ".join(text.get_text() for text in view.figure.texts)
        assert " in" in words
        assert "gph" in words
        assert "time-mean speed, in/s" in words
        assert not any(f" {unit}" in words for unit in ("mm", "cm/s", "L/h", "m/s", "L "))


@pytest.mark.parametrize(
    ("share", "words"),
    [
        (0, "0 %"),
        (0.0002, "under 0.1 %"),
        (0.004, "0.4 %"),
        (0.0951, "9.5 %"),
        (0.09, "9.0 %"),
        (0.0996, "10 %"),
        (0.37, "37 %"),
        (1, "100 %"),
    ],
)
def test_shares_are_told_no_finer_than_it_matters(share, words):
    assert percent(share) == words


@pytest.mark.parametrize(
    ("half_width", "words"),
    [(0.03, "9 ± 3 %"), (0.004, "9.0 ± 0.4 %"), (0.0001, "9.0 ± 0.1 %"), (float("nan"), "9.0 %")],
)
def test_shares_come_with_their_interval(half_width, words):
    assert percent_within(0.09, half_width) == words


@pytest.mark.parametrize(
    ("share", "half_width", "words"),
    [
        (1.0, 0.0, "all"),
        (0.0, 0.001, "none"),
        (1.0, 0.02, "100 % (98 to 100 %)"),
        (1.0, float("nan"), "100 %"),
        (0.998, 0.0, "99.8 ± 0.1 %"),
    ],
)
def test_all_and_none_are_words_where_they_are_sure(share, half_width, words):
    assert part(share, half_width) == words


def test_the_pockets_that_are_named_are_of_both_kinds(box):
    dead = next(zone for zone in box.measures.zones if zone.kind == "dead")
    over = next(zone for zone in box.measures.zones if zone.kind == "over")
    assert worst([dead] * 9 + [over] * 9) == [0, 1, 9, 10]
    assert worst([dead] * 9) == [0, 1, 2, 3]
    assert worst([over]) == [0]


def test_lines_are_no_wider_than_their_column():
    figure = blank(4, 4)
    text = Text("nine and 10 words that will not fit on a line " * 3, 10.0, most=2)
    found = column([text], 2.0, figure)
    assert len(found.lines) == 2
    assert found.lines[-1][1].endswith(" …")
    lines = [line for _, line, _ in found.lines]
    widths = [figure.text(0, 0, line, fontsize=10.0).get_window_extent().width / figure.dpi for line in lines]
    assert max(widths) < 2.0 + 0.3  # the ellipsis may stand out
    assert not any(line.endswith("10") for line in lines)  # a number stays with what it counts


def test_a_paragraph_stands_apart_from_the_one_above_and_its_lines_do_not():
    """Of four lines of ten points one has half a line above it: four and a half times 13 points, 72 to the inch."""
    figure = blank(4, 4)
    texts = Text("one line", 10.0), Text("words for three lines " * 6, 10.0, apart=0.5)
    found = column(texts, 2.0, figure)
    assert [apart for _, _, apart in found.lines] == [0.0, 0.5, 0.0, 0.0]
    assert found.height == pytest.approx(4.5 * 13 / 72)
    write(figure, found, 0.0, 4.0)
    tops = [4 * text.get_position()[1] * 72 / 13 for text in figure.texts]
    assert np.diff(tops) == pytest.approx([-1.5, -1.0, -1.0])


def test_what_a_figure_was_and_is_stand_on_one_line():
    """At every width from that of the figure on."""
    figure, told = blank(6, 4), "(17 % → 0 %)"
    text = Text(f"less dead water {told} and more bed", 10.0, most=9)
    own = figure.text(0, 0, told, fontsize=10.0).get_window_extent().width / figure.dpi
    for wider in np.arange(0.05, 2.0, 0.05):
        assert any(told in line for _, line, _ in column([text], own + wider, figure).lines)


def test_no_line_holds_a_last_word_alone():
    """Ten words of a width, of which nine fit: not nine and one."""
    figure = blank(4, 4)
    text = Text(" ".join(["word"] * 10), 10.0)
    nine = figure.text(0, 0, " ".join(["word"] * 9), fontsize=10.0).get_window_extent().width / figure.dpi
    lines = [line for _, line, _ in column([text], nine + 0.05, figure).lines]
    assert min(len(line.split()) for line in lines) > 2


def test_no_letter_of_a_picture_is_smaller_than_7_points_on_a4(study):
    """A4 is 210 mm wide (ISO 216), and the page of the report leaves 13 mm free at each side."""
    flat = [plan_view(study), *(section_view(study, section) for section in choose_sections(study))]
    empty = np.zeros((2, 2, 3), np.uint8)  # in place of the rendered picture: letters do not hang on it
    layouts = {"before": study, "after": study}
    shots = alike([study, study], *LARGEST)
    two = stills_view(layouts, shots, [empty] * 2, page_head(layouts, shots))
    views = [*flat, still_view(study, set_up(study, *STILL), empty), two]
    for figure in (view.figure for view in views):
        shrunk = min(1.0, (210 - 2 * 13) / 25.4 / figure.get_size_inches()[0])
        figure.canvas.draw()
        sizes = [text.get_fontsize() for text in figure.findobj(Letters) if text.get_text()]
        assert min(sizes) * shrunk >= 7.0 - 1e-9  # rounding
