"""The door: from two studies to what differs between them, and why."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from flowviz.assess.causes import Cause
from flowviz.comparison.cautions import cautions, of_phases, unlike
from flowviz.comparison.chance import doubted, one_layout, uncalled
from flowviz.comparison.differences import Difference, differences, phase_differences
from flowviz.comparison.layout import Change, changes
from flowviz.comparison.noise import glimpsed
from flowviz.comparison.pockets import PocketChange, every_pocket, shown_pockets
from flowviz.comparison.sentences import Findings, reasons
from flowviz.comparison.title import title
from flowviz.scene.model import Caution
from flowviz.study import Detail, Study

DETAILS: tuple[Detail, ...] = ("sketch", "coarse", "fine")


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class Comparison:
    """Two layouts of a tank, and what differs between them."""

    before: Study
    after: Study
    one_layout: bool  # whether the two are the same: what differs is chance, and nothing of it is called
    title: str  # what it comes to, in one sentence
    changes: tuple[Change, ...]  # what was done to the scene
    differences: tuple[Difference, ...]  # of layouts with phases over the whole cycle
    phases: Mapping[str, tuple[Difference, ...]]  # in each phase that both have
    pockets: tuple[PocketChange, ...]  # and what becomes of each; of layouts with phases those of the main one
    every_pocket: tuple[PocketChange, ...]  # those of all phases
    reasons: tuple[str, ...]  # sentences; the first three are for the client: what it brings, why, what it costs
    cautions: tuple[Caution, ...]

    def __repr__(self) -> str:
        return f"<Comparison of {self.before.scene.title!r} and {self.after.scene.title!r}: {self.title}>"

    @property
    def detail(self) -> Detail:
        """The lower of the levels that the two were computed at."""
        return lower_detail(self.before, self.after)

    @property
    def went(self) -> tuple[PocketChange, ...]:
        """Pockets that are no more, beyond the noise."""
        return self.of_fate("went")

    @property
    def came(self) -> tuple[PocketChange, ...]:
        """Pockets that are new, beyond the noise."""
        return self.of_fate("came")

    @property
    def stayed(self) -> tuple[PocketChange, ...]:
        """Pockets of both."""
        return self.of_fate("stayed")

    @property
    def doubtful(self) -> tuple[PocketChange, ...]:
        """Pockets of one of the two only, which may be noise."""
        return self.of_fate("perhaps went", "perhaps came")

    def of_fate(self, *fates: str) -> tuple[PocketChange, ...]:
        """Pockets of which one of these became."""
        return tuple(pocket for pocket in self.pockets if pocket.fate in fates)


def compare(before: Study, after: Study) -> Comparison:
    """What differs between two layouts of a tank beyond the noise, and why."""
    changed = changes(before.scene, after.scene)
    shown = shown_pockets(before, after)
    found = Findings(
        changes=changed,
        differences=differences(before, after),
        phases=phase_differences(before, after),
        pockets=every_pocket(before, after, shown),
        lacked_before=needs_told(before),
        lacked_after=needs_told(after),
        detail=lower_detail(before, after),
        glimpsed=glimpsed(before) or glimpsed(after),
        one_layout=one_layout(changed, before, after),
        computed_alike=not any(unlike(before, after)),
        system=after.scene.show,
    )
    if found.one_layout:
        shown, found = doubted(shown), with_nothing_called(found)
    return Comparison(
        before=before,
        after=after,
        one_layout=found.one_layout,
        title=title(found),
        changes=found.changes,
        differences=found.differences,
        phases=found.phases,
        pockets=shown,
        every_pocket=found.pockets,
        reasons=reasons(found),
        cautions=(*cautions(before, after), *of_phases(before, after)),
    )


def needs_told(study: Study) -> Mapping[str, Cause]:
    """Why groups of corals lack what they want; of a study with phases in its main one, which the words then name."""
    needs, phase = study.measures.needs, study.main_phase
    if phase is None:
        return needs
    return {name: replace(cause, words=f"in the phase {phase.name}, {cause.words}") for name, cause in needs.items()}


def lower_detail(before: Study, after: Study) -> Detail:
    """The lower of the levels that two studies were computed at."""
    return min((study.settings.detail for study in (before, after)), key=DETAILS.index)


def with_nothing_called(found: Findings) -> Findings:
    """Findings on one layout, of which no average or pocket is called."""
    return replace(
        found,
        differences=uncalled(found.differences),
        phases={name: uncalled(each) for name, each in found.phases.items()},
        pockets=doubted(found.pockets),
    )
