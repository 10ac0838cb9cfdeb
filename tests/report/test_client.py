"""What the client reads first: sentences that are right for any name, and for every phase."""

from dataclasses import replace
from types import SimpleNamespace

import numpy as np

from flowviz.assess.cycle import measure_cycle
from flowviz.cli.compare import both
from flowviz.cycle import Moment, scaled
from flowviz.draw.flat.cycle import cycle_title
from flowviz.report.client import facts, life, lines, sentences
from flowviz.report.page import heading
from flowviz.scene.model import Coral, Phase

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
    told = dict(lines(study))["Corals, garden"]
    assert told == "too unsure to say; anything from 0 to 100 % in the current they want"
    assert life(study) == "The one group of corals has not surely the current it wants; garden: too unsure to say"


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


def test_the_client_reads_of_the_whole_cycle_not_of_one_phase_alone(make):
    """Ten minutes at 10 cm/s, and twenty at a tenth of it, all dead."""
    study = make.study(make.scene(corals=(CREST,)), even)
    phases = (Phase("full", 600.0, {}, {}), Phase("slow", 1200.0, {}, {}))
    fields = [study.field, scaled(study.field, 0.1)]
    moments = tuple(Moment(phase, study.loop, field, "computed") for phase, field in zip(phases, fields, strict=True))
    scene = replace(study.scene, phases=phases)
    cycled = replace(study, scene=scene, moments=moments, cycle=measure_cycle(scene, study.grid, fields))
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
