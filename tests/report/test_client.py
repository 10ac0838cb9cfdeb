"""What the client reads first: sentences that are right for any name, and for every phase."""

from dataclasses import replace
from types import SimpleNamespace

import numpy as np

from flowviz.assess.cycle import measure_cycle
from flowviz.cli.compare import both
from flowviz.cli.run import print_next
from flowviz.cli.words import Words
from flowviz.cycle import Moment, scaled
from flowviz.draw.flat.cycle import cycle_title
from flowviz.plumbing.dossier import dossier
from flowviz.report.chapters import about_the_loop, in_the_tank
from flowviz.report.client import UNSAID, facts, life, lines, sentences
from flowviz.report.page import heading
from flowviz.report.pictures import Drawn
from flowviz.scene.model import Coral, Phase
from flowviz.tables import study_tables
from flowviz.tables.cycle import worse_elsewhere

CREST = Coral("crest colonies", (0.6, 0.3, 0.35), (0.2, 0.2, 0.05), (0.05, 0.3))  # [m], [m/s]
NEEDY = Coral("garden", (0.9, 0.2, 0.3), (0.2, 0.2, 0.1), (0.3, 0.4))
FRAGS = Coral("frags", (0.2, 0.2, 0.3), (0.2, 0.2, 0.1), (0.01, 0.02))
BURIED = Coral("buried", (0.6, 0.3, 0.1), (0.05, 0.02, 0.05), (0.3, 0.4))  # inside the wall


def even(x, y, z):
    return np.full(x.shape, 0.1)  # [m/s]


def test_a_changed_copy_that_kept_its_title_is_told_from_its_model(make):
    """As the printed hints say: change a copy of the scene."""
    study = make.study(make.scene(), even)
    renamed = replace(study, scene=replace(study.scene, title="moved"))
    assert heading(study, SimpleNamespace(before=study)) == "hand-made, the changed layout held against the first"
    assert heading(renamed, SimpleNamespace(before=study)) == "moved, held against hand-made"
    assert heading(study, None) == "hand-made"
    assert both("Hall", "Hall") == "Hall, before  →  after"
    assert both("Hall", "Hall, moved") == "Hall  →  Hall, moved"


def test_what_is_wrong_with_corals_stands_behind_their_name_whatever_its_number(make):
    study = make.study(make.scene(corals=(CREST, NEEDY, FRAGS)), even)
    assert life(study) == (
        "One of three groups of corals has the current it wants; garden: too still; frags: too strong"
    )


def test_groups_that_all_have_what_they_want_are_told_so(make):
    crests = tuple(replace(CREST, name=name) for name in ("one", "two", "three"))
    told = [life(make.study(make.scene(corals=crests[:count]), even)) for count in (1, 2, 3)]
    assert told == [
        "The one group of corals has the current it wants",
        "Both groups of corals have the current they want",
        "All three groups of corals have the current they want",
    ]


def test_a_group_in_no_water_is_told_so(make):
    study = make.study(make.scene(corals=(BURIED,)), even)
    assert life(study) == "The one group of corals has not the current it wants; buried: in no water"
    assert ("Corals, buried", "in no water") in list(lines(study))


def test_nothing_is_called_of_a_group_whose_shares_may_be_anything(make):
    study = make.study(make.scene(corals=(NEEDY,)), even)
    found = study.measures.corals["garden"]
    unsure = replace(found, uncertainty=dict.fromkeys(found.uncertainty, 1.2), sure=False)
    study = replace(study, measures=replace(study.measures, corals={"garden": unsure}))
    assert dict(lines(study))["Corals, garden"] == UNSAID
    assert life(study) == "The one group of corals has not surely the current it wants; garden: too unsure to say"


def test_of_shares_of_the_water_that_may_be_anything_the_client_reads_what_helps(make):
    study = make.study(make.scene(), even)
    unsure = replace(study.measures, uncertainty={**study.measures.uncertainty, "over_fraction": 1.2})
    told = dict(lines(replace(study, measures=unsure)))
    assert told["Too strong, faster than 50 cm/s"] == UNSAID
    assert told["Dead water, slower than 3 cm/s"] == "0.0 ± 0.1 %"


def doubtful(study, name, half_width):
    """A study that does not surely know whether a group of corals has what it wants; half-width of all its shares."""
    found = study.measures.corals[name]
    unsure = replace(found, uncertainty=dict.fromkeys(found.uncertainty, half_width), sure=False)
    return replace(study, measures=replace(study.measures, corals={**study.measures.corals, name: unsure}))


def test_a_group_that_is_well_by_chance_is_not_told_to_be_well(make):
    """Both have their 10 cm/s; then the one may have lost 40 % of that, and then all of it."""
    other = replace(CREST, name="shelf")
    study = make.study(make.scene(corals=(CREST, other)), even)
    assert life(doubtful(study, "shelf", 0.4)) == (
        "Both groups of corals have the current they want; shelf: good (not sure)"
    )
    lost = doubtful(doubtful(study, "shelf", 1.2), "crest colonies", 0.4)
    assert life(lost) == (
        "None of two groups of corals surely has the current it wants; "
        "shelf: too unsure to say; crest colonies: good (not sure)"
    )


def with_phases(study, **factors):
    """The study as the first phase of a cycle; in each the water is faster by a factor."""
    phases = tuple(Phase(name, 600.0 * number, {}, {}) for number, name in enumerate(factors, start=1))
    fields = [study.field if factor == 1 else scaled(study.field, factor) for factor in factors.values()]
    moments = tuple(Moment(phase, study.loop, field, "computed") for phase, field in zip(phases, fields, strict=True))
    scene = replace(study.scene, phases=phases)
    cycle = measure_cycle(scene, study.grid, fields, [study.loop.rates] * len(fields))
    return replace(study, scene=scene, moments=moments, cycle=cycle)


def test_the_client_reads_of_the_whole_cycle_not_of_one_phase_alone(make):
    """Ten minutes at 10 cm/s, and twenty at a tenth of it, all dead."""
    study = make.study(make.scene(corals=(CREST,)), even)
    cycled = with_phases(study, full=1.0, slow=0.1)
    headline, cycle, *_ = sentences(cycled)
    assert headline.startswith("In the phase full, no water is dead; in the phase slow, 100")
    assert headline.endswith(" of the water is dead.")
    unsure = replace(study.measures, uncertainty={**study.measures.uncertainty, "dead_fraction": 1.0})
    assert "in the phase slow" not in sentences(replace(cycled, measures=unsure))[0]  # the full one may be as dead
    assert cycle == f"{cycle_title(cycled)}."
    assert "in the phase slow" in cycle
    assert not any("cycle" in sentence for sentence in sentences(study))
    assert life(cycled) == "In the phase full, the one group of corals has the current it wants"
    assert (facts(cycled).title, facts(study).title) == (
        "The tank in figures, in the phase full",
        "The tank in figures",
    )


def table_of_pockets(study):
    return next(table for table in study_tables(study) if table.title.startswith("Pockets of "))


def test_advice_says_which_phase_it_is_of_and_which_other_is_worse(make, capsys):
    """In the first phase a corner of the tank is dead, in the second, at a tenth of its speed, all of it."""
    cycled = with_phases(make.study(make.scene(corals=(CREST,)), make.dead), full=1.0, slow=0.1)
    (worse,) = worse_elsewhere(cycled)
    share = f"{100 * cycled.measures.dead_fraction:.1f} ± 0.1 %"
    assert worse.startswith(
        f"In the phase slow, 100.0 ± 0.1 % of the water is dead (full: {share}), and 0.0 ± 0.1 % of "
    )
    assert (
        "of the corals of crest colonies have the current they want (full: 100.0 ± 0.1 %). Nothing is advised" in worse
    )
    print_next(Words(), "tank.toml", cycled)
    printed = " ".join(capsys.readouterr().out.split())
    assert "is dead in the phase full: " in printed
    assert f"{worse}." in printed
    client = sentences(cycled)
    assert any(words.startswith("Why the water ") and " is dead in the phase full: " in words for words in client)
    assert f"{worse}." in client
    pockets = table_of_pockets(cycled)
    assert " in the phase full, those that matter most first" in pockets.title
    assert pockets.rows[-1] == ("other phases", "", "", "", worse)


def test_the_other_phases_stand_in_the_table_of_pockets_where_the_main_one_has_none(make, capsys):
    cycled = with_phases(make.study(make.scene(corals=()), even), full=1.0, slow=0.1)
    assert [row[0] for row in table_of_pockets(cycled).rows] == ["other phases"]
    print_next(Words(), "tank.toml", cycled)
    assert "Next: In the phase slow, " in " ".join(capsys.readouterr().out.split())


def test_a_phase_that_may_be_as_good_and_a_tank_without_phases_are_no_worse(make, capsys):
    study = make.study(make.scene(corals=(CREST,)), make.dead)
    cycled = with_phases(study, full=1.0, slow=0.1)
    unsure = dict.fromkeys(study.measures.uncertainty, 1.0)
    crest = replace(study.measures.corals[CREST.name], uncertainty={"in_band_fraction": 1.01})
    assert not worse_elsewhere(with_phases(study, full=1.0, also=1.0))
    corals = {CREST.name: crest}
    assert not worse_elsewhere(replace(cycled, measures=replace(study.measures, uncertainty=unsure, corals=corals)))
    assert not worse_elsewhere(study)
    print_next(Words(), "tank.toml", study)
    assert "phase" not in " ".join((*sentences(study), table_of_pockets(study).title, capsys.readouterr().out))


def test_the_chapters_on_the_water_say_which_phase_they_are_of(make):
    study = make.study(make.scene(), make.dead)
    drawn = Drawn((), None, (), (), (), ())
    told = {each.key: each.lead for each in in_the_tank(with_phases(study, full=1.0, slow=0.1), drawn)}
    only = "All of it is of the phase full; the chapter on the cycle tells of the others."
    assert {key for key, lead in told.items() if lead.endswith(only)} == set(told) - {"cycle"}
    assert not any("phase full" in each.lead for each in in_the_tank(study, drawn))


def test_the_chapters_on_the_loop_say_which_phase_they_are_of_where_they_are_not_of_everything_running(make):
    scene = make.scene()
    study = make.study(replace(scene, outlets=(replace(scene.outlets[0], flow=1e-3),)), make.dead)
    cycled, drawn = with_phases(study, full=1.0, slow=0.1), Drawn((), None, (), (), (), ())
    told = {each.key: each.lead for each in about_the_loop(cycled, dossier(study.scene), drawn)}
    rest = "What is not said to be of everything running is of the phase full."
    assert {key for key, lead in told.items() if lead.endswith(rest)} == {"intakes", "plumbing"}
    assert not any("phase full" in each.lead for each in about_the_loop(study, dossier(study.scene), drawn))
