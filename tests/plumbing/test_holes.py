"""Holes in panels against distances measured by hand."""

from dataclasses import replace
from math import cos, hypot, inf, pi, radians, sin

import pytest

from flowviz.plumbing.drilling import hole_cautions
from flowviz.plumbing.holes import cut_out, hole_rules, holes_drilled, panel_sheets, spared_over_the_rim, without_size
from flowviz.plumbing.solve import solve_loop
from flowviz.scene.apertures import Slot
from flowviz.scene.model import Bar, Panel
from flowviz.shapes.plans import Disc


def sheet(scene, name):
    return next(sheet for sheet in panel_sheets(scene) if sheet.panel == name)


def with_panel(scene, name, panel):
    return replace(scene, tank=replace(scene.tank, panels={**scene.tank.panels, name: panel}))


def test_distances_by_hand(scene):
    """The left pane, 760 x 650 mm, seen from outside: its left edge is the tank's back (y = 760 mm).

    The outlet's hole of 60 mm at y = 200, z = 450; the intake's of 90 mm at y = 380, z = 120.
    """
    left = sheet(scene, "left")
    assert (left.width, left.height) == pytest.approx((0.76, 0.65))
    outlet, intake = left.holes
    assert (outlet.along, outlet.up) == pytest.approx((0.56, 0.45))
    assert outlet.edge == pytest.approx(0.20 - 0.03)
    assert outlet.corner == pytest.approx(hypot(0.20, 0.20) - 0.03)
    assert intake.edge == pytest.approx(0.12 - 0.045)
    assert outlet.between == intake.between == pytest.approx(hypot(0.18, 0.33) - 0.03 - 0.045)
    assert left.removed == pytest.approx(pi / 4 * (0.06**2 + 0.09**2) / (0.76 * 0.65))


def test_floor_by_hand(scene):
    """The hole of 60 mm at x = 1500, y = 100 in a floor of 2400 x 760 mm, seen from above."""
    (hole,) = sheet(scene, "floor").holes
    assert (hole.along, hole.up) == pytest.approx((1.5, 0.1))
    assert hole.edge == pytest.approx(0.10 - 0.03)
    assert hole.corner == pytest.approx(hypot(0.9, 0.1) - 0.03)
    assert hole.between == inf


@pytest.mark.parametrize(
    ("panel", "at", "along", "edge", "corner"),
    [
        ("front", (0.5, 0.0, 0.2), 0.5, 0.2, hypot(0.5, 0.2)),
        ("back", (2.1, 0.76, 0.5), 0.3, 0.15, hypot(0.3, 0.15)),
        ("right", (2.4, 0.6, 0.3), 0.6, 0.16, hypot(0.16, 0.3)),
        ("floor", (2.2, 0.7, 0.0), 2.2, 0.06, hypot(0.2, 0.06)),
        ("front", (0.5, 0.3, 0.2), 0.5, 0.2, hypot(0.5, 0.2)),
        ("back", (2.1, 0.4, 0.5), 0.3, 0.15, hypot(0.3, 0.15)),
        ("right", (1.9, 0.6, 0.3), 0.6, 0.16, hypot(0.16, 0.3)),
        ("floor", (2.2, 0.7, 0.2), 2.2, 0.06, hypot(0.2, 0.06)),
    ],
)
def test_each_panel_is_seen_from_outside(scene, panel, at, along, edge, corner):
    """A hole of 60 mm in a tank of 2400 x 760 x 650 mm: from outside the back's left edge is the tank's right end, the
    right pane's the front; the floor is seen from above. Distances of its middle by hand, half of it less to its rim.
    Of an opening that stands into the water the hole is straight behind it.
    """
    outlet = replace(scene.outlets[0], panel=panel, centre=at)
    (hole,) = sheet(replace(scene, outlets=(outlet,), intakes=()), panel).holes
    assert (hole.along, hole.edge, hole.corner) == pytest.approx((along, edge - 0.03, corner - 0.03))


def test_the_nearest_of_several_holes_counts(scene):
    """At 450 mm up, 200, 300 and 600 mm from the front: 100 and 300 mm between them, less two half holes of 60 mm."""
    outlets = tuple(replace(scene.outlets[0], name=f"{y}", centre=(0.0, y, 0.45)) for y in (0.2, 0.3, 0.6))
    holes = sheet(replace(scene, outlets=outlets, intakes=()), "left").holes
    assert [hole.between for hole in holes] == pytest.approx([0.04, 0.04, 0.24])


@pytest.mark.parametrize(
    ("panel", "tempered"), [(Panel("glass", 0.015, True), True), (Panel("glass", 0.015, False), False)]
)
def test_only_a_panel_that_is_told_to_be_tempered_is(scene, panel, tempered):
    assert sheet(with_panel(scene, "left", panel), "left").tempered == tempered
    assert not sheet(scene, "left").tempered


def test_a_hole_on_the_limit_keeps_it(scene):
    """One diameter of 60 mm from rim to edge, which rounding must not break; a tenth of a millimetre less does."""
    floor = Panel("glass", 0.019, False)
    for middle, kept in ((0.09, True), (0.0899, False)):
        outlet = replace(scene.outlets[1], centre=(1.5, middle, 0.0))
        drilled = with_panel(replace(scene, outlets=(scene.outlets[0], outlet)), "floor", floor)
        assert (sheet(drilled, "floor").broken == ()) == kept


@pytest.mark.parametrize(
    ("thickness", "least"),
    [
        (0.006, (0.012, 0.012, 0.036, 0.006)),
        (0.015, (0.030, 0.030, 0.090, 0.015)),
        (0.019, (0.038, 0.038, 0.114, 0.019)),
    ],
)
def test_published_rule_for_tempered_glass(thickness, least):
    """TCVN 7455:2013 and EN 12150-1 by thickness: edge 2t, between 2t, corner 6t, diameter t."""
    rules = [rule for rule in hole_rules() if rule.material == "glass" and rule.thicknesses]
    found = {rule.what: rule.least(thickness, 0.06) for rule in rules}
    assert tuple(found[what] for what in ("edge", "between", "corner", "diameter")) == pytest.approx(least)


@pytest.mark.parametrize(("material", "rim"), [("glass", 0.06), ("acrylic", 2 * 0.06 - 0.03)])
def test_practice_goes_by_the_hole(material, rim):
    """Common practice, no source: from rim to edge and to the next hole one diameter of 60 mm in annealed glass; in
    acrylic the centre two diameters away, which is half of one less from the rim.
    """
    rules = [rule for rule in hole_rules() if rule.material == material and rule.diameters]
    assert {rule.what: rule.least(0.015, 0.06) for rule in rules} == {
        "edge": pytest.approx(rim),
        "between": pytest.approx(rim),
    }


def test_a_hole_too_near_the_edge_is_found(scene):
    """In glass one diameter of annealed practice, 60 mm: 70 mm from the edge keeps it, 50 mm does not."""
    floor = Panel("glass", 0.019, False)
    assert sheet(with_panel(scene, "floor", floor), "floor").broken == ()
    near = replace(scene.outlets[1], centre=(1.5, 0.08, 0.0))
    found = sheet(with_panel(replace(scene, outlets=(scene.outlets[0], near)), "floor", floor), "floor").broken
    assert [(opening, check.rule.what) for opening, check in found] == [("behind the arch", "edge")]
    assert "no source" in found[0][1].rule.source


def test_acrylic_has_rules_of_its_own(scene):
    """Centre two diameters from the edge: the hole of 60 mm at 100 mm has 70 mm of the 90 mm that its rim needs."""
    found = sheet(with_panel(scene, "floor", Panel("acrylic", 0.02, False)), "floor").broken
    assert [(check.rule.material, check.least, check.found) for _, check in found] == [
        ("acrylic", pytest.approx(0.09), pytest.approx(0.07))
    ]


def test_an_undescribed_panel_is_measured_but_not_judged(scene):
    assert all(hole.checks == () for drilled in panel_sheets(scene) for hole in drilled.holes)


def test_a_hole_that_breaks_a_rule_is_told_with_what_it_has_and_what_is_asked(scene):
    """The floor's hole of 60 mm at 80 mm from the front has 50 mm to the edge; practice asks for its own 60 mm."""
    near = replace(scene.outlets[1], centre=(1.5, 0.08, 0.0))
    broken = with_panel(replace(scene, outlets=(scene.outlets[0], near)), "floor", Panel("glass", 0.019, False))
    (told,) = hole_cautions(broken)
    assert told in solve_loop(broken).cautions
    assert told.where == "outlet behind the arch"
    assert "has 50 mm from its rim to the panel's edge, where the rules ask for 60 mm" in told.what


def test_each_thing_that_a_hole_breaks_a_rule_for_is_told_once_by_what_asks_most(scene):
    """The hole of 60 mm whose rim is 50 mm from two edges, in glass 19 mm thick: an edge asks for 60 mm (38 mm by the
    other rule), a corner for 6 * 19 = 114 mm, and has 80 √2 - 30 = 83.1 mm.
    """
    near = replace(scene.outlets[1], centre=(0.08, 0.08, 0.0))
    broken = with_panel(replace(scene, outlets=(scene.outlets[0], near)), "floor", Panel("glass", 0.019, False))
    (told,) = hole_cautions(broken)
    assert "50 mm from its rim to the panel's edge, where the rules ask for 60 mm; 83.1 mm" in told.what
    assert told.what.endswith("to a corner of the panel, where the rules ask for 114 mm")


def test_a_tempered_panel_with_holes_is_told_and_no_rule_of_them(scene):
    (told,) = hole_cautions(with_panel(scene, "floor", Panel("glass", 0.1, True)))
    assert (told.where, told.what) == ("panel floor", "it is tempered, and a hole is told for behind the arch")
    assert "shatters" in told.why


def test_holes_that_keep_the_rules_or_have_none_are_not_told(scene):
    assert not [*hole_cautions(scene)]
    assert not [*hole_cautions(with_panel(scene, "floor", Panel("glass", 0.019, False)))]


def test_holes_of_flows_that_are_fixed_are_judged_too(scene):
    outlets = tuple(replace(outlet, flow=1e-3) for outlet in scene.outlets)
    fixed = replace(scene, outlets=outlets, pumps=(), pipes=(), junctions=())
    broken = with_panel(fixed, "floor", Panel("acrylic", 0.02, False))
    assert {*hole_cautions(broken)} <= {*solve_loop(broken).cautions}
    assert [*hole_cautions(broken)]


def test_holes_spared_and_unknown(scene):
    assert spared_over_the_rim(scene) == 2
    unknown = replace(scene, outlets=(replace(scene.outlets[0], hole=None), scene.outlets[1]))
    assert without_size(unknown) == ("left high",)
    assert spared_over_the_rim(unknown) == 2  # drilled it is, however wide
    over = replace(scene, outlets=(replace(scene.outlets[0], hole=None, panel=None), scene.outlets[1]))
    assert spared_over_the_rim(over) == 1


def test_a_slot_cut_out_of_its_panel_is_no_drilled_hole(scene):
    """A weir as wide as the left pane of 760 mm, with no hole told; drilled are those that the panels' sheets list."""
    weir = replace(scene.intakes[0], aperture=Slot(0.76, 0.05), centre=(0.0, 0.38, 0.6), hole=None)
    weirs = replace(scene, intakes=(weir,))
    assert holes_drilled(weirs.openings) == sum(len(each.holes) for each in panel_sheets(weirs)) == 2
    assert (cut_out(weirs), without_size(weirs)) == (("left low",), ())
    assert cut_out(scene) == ()
    assert holes_drilled(scene.openings) == sum(len(each.holes) for each in panel_sheets(scene)) == 3
    slots = [replace(each, aperture=Slot(0.12, 0.012), hole=None) for each in scene.outlets]
    assert spared_over_the_rim(replace(scene, outlets=tuple(slots))) == 0


def test_a_slot_behind_a_hole_and_a_spray_bar_are_drilled(scene):
    fed = replace(scene.outlets[0], aperture=Slot(0.12, 0.012))
    bar = replace(fed, hole=None, bar=Bar(0.4, 0.026, 20, 0.005))
    assert holes_drilled([fed, bar]) == 2


@pytest.mark.parametrize(("up", "edge"), [(0.2, 0.2), (0.55, 0.1)])
def test_round_wall_is_laid_flat(scene, up, edge):
    """A cylinder of 1.2 m, 650 mm high: its wall is 1.2 π m wide, the hole of 60 mm a quarter turn along it."""
    tank = replace(scene.tank, plan=Disc(1.2))
    outlet = replace(scene.outlets[0], centre=(0.6, 1.2, up), panel="wall")
    (drilled,) = panel_sheets(replace(scene, tank=tank, outlets=(outlet,), intakes=()))
    (hole,) = drilled.holes
    assert drilled.width == pytest.approx(1.2 * pi)
    assert hole.along == pytest.approx(1.2 * pi / 4)
    assert (hole.edge, hole.corner) == (pytest.approx(edge - 0.03), inf)


def test_the_seam_of_a_round_wall_parts_no_holes(scene):
    """In a cylinder of 1 m, 5 degrees to each side of where its wall is cut to be laid flat: 10 degrees of arc."""
    tank = replace(scene.tank, plan=Disc(1.0))
    middles = ((0.5 + 0.5 * cos(angle), 0.5 + 0.5 * sin(angle), 0.2) for angle in (radians(5), -radians(5)))
    outlets = tuple(replace(scene.outlets[0], name=f"{at}", centre=at, panel="wall") for at in middles)
    (drilled,) = panel_sheets(replace(scene, tank=tank, outlets=outlets, intakes=()))
    assert [hole.between for hole in drilled.holes] == pytest.approx([radians(10) * 0.5 - 0.06] * 2)
