"""What is wrong with a tank, in the sentence over its still."""

from flowviz.draw.sheets.wording import WORTH_A_WORD, percent_within, place, rough
from flowviz.study import Study


def study_title(study: Study) -> str:
    """What is wrong with a tank, in one sentence."""
    return f"{dead_clause(study)}; {over_clause(study)}"


def dead_clause(study: Study) -> str:
    """How much is dead, and where most of it is."""
    measures, show = study.measures, study.scene.show
    if measures.dead_fraction < WORTH_A_WORD:
        return "No water is dead" if measures.dead_fraction == 0 else "Hardly any water is dead"
    share = f"{percent_within(measures.dead_fraction, measures.uncertainty['dead_fraction'])} of the water is dead"
    worst = next((zone for zone in measures.zones if zone.kind == "dead"), None)
    return f"{share}: {rough(worst.volume, 'volume', show)} {place(worst.place, study.scene)}" if worst else share


def over_clause(study: Study) -> str:
    """How much is too strong."""
    measures = study.measures
    if measures.over_fraction < WORTH_A_WORD:
        return f"{'none' if measures.over_fraction == 0 else 'hardly any'} is too strong"
    return f"{percent_within(measures.over_fraction, measures.uncertainty['over_fraction'])} is too strong"
