"""What a report says whatever the study: leads of its chapters, assumptions, and how far to trust a level."""

from flowviz.study import Study
from flowviz.units import counted, shown

LEADS = {
    "change": "The layout before against this one. What is within the noise is too close to call, and no gain.",
    "further": "What belongs to no chapter above.",
    "zones": "Each pocket of bad water: where it is, why it is there, what it touches and how sure it is. Those that "
    "touch corals stand first.",
    "sections": "Cuts through the places where something is to be seen. Dead water is hatched with white strokes, "
    "too-strong water with black crosses; the scale is the same in all pictures.",
    "cycle": "Pumps and valves alternate. What the phases come to together, and what each does; tables and pictures "
    "of the loop with everything running, which is no phase, say so.",
    "corals": "What share of each group stands below, inside and above the band of current that it wants.",
    "bed": "Where detritus settles, where it is kept moving, and whether the sand stays where it is.",
    "surface": "The current along the rock, and at the surface, where gas is exchanged.",
    "age": "How long ago the water came out of an outlet, and what goes straight into an intake.",
    "measured": "How the computed speeds agree with those that were measured in the tank.",
    "intakes": "What each intake draws, how fast, and from how far; what an animal meets there; what happens when one "
    "is blocked.",
    "plumbing": "Where pump and pipes settle, what comes out of each outlet, and where the head goes.",
    "holes": "Measured on each panel as the driller sees it. The sheets are shrunk to the page here: drill by the PDF "
    "true to scale that flowviz plumb -o or report --figures writes, and never tempered glass. Keeping these rules "
    "does not prove that a panel is strong enough; the tank's maker decides.",
    "parts": "Counted from the scene; unions, glue, hangers and spares are not in it unless the scene names them.",
    "service": "How a pump comes out, and what a failure would spill. Shut off and unplug before you open anything.",
    "assumptions": "What the figures take for granted.",
    "limits": "What the verdicts rest on, with its standing, and what each measure means.",
    "trust": "How this run went, and what its level can tell.",
    "cautions": "Read them before you act on anything above. flowviz is an aid to planning: it proves nothing about a "
    "structure, an installation or an animal's safety.",
}

ASSUMPTIONS = (
    "Rock is closed and rough; gaps narrower than a cell are shut. A porous pile lets more water through.",
    "Corals hold no water up. A grown colony slows the water inside it and sends it round.",
    "The water surface is flat and still, and nothing is heated: no waves, no currents by warmth.",
    "Dead and too strong are judged by the mean speed over time, which detritus and corals feel; gusts pass.",
    "The tank's currents do not act back on the pump: they are millimetres of head against metres.",
    "Losses of fittings are those of published tables, which differ by a factor of two to three between makers; the "
    "flow at an outlet is rarely known better than 10 %. Measure one outlet and compare.",
)

LEVELS = {
    "sketch": "A sketch marches the flow on cells several times as large as the grid's and gives narrow jets back by "
    "the published law of round jets. It shows where to look. Its intervals do not hold the error of the model.",
    "coarse": "A coarse run tells how strong the currents are. Where a dead pocket ends is a hint: even two averages "
    "of a fine run agree on only half of the slowest water.",
    "fine": "A fine run is the most careful level. Even so, two of its averages agree on only half of the slowest "
    "water, because the large circulation of a tank wanders over minutes.",
}

LEAST = 1e-5  # balance below which it is not told more closely, of the inflow [-]


def quality(study: Study) -> tuple[str, ...]:
    """How the run went, in sentences."""
    found, grid, system = study.field.quality, study.grid, study.scene.show
    cell, windows = shown(grid.cell_volume ** (1 / 3), "length", system, 2), len(study.field.batches)
    simulated = found.simulated
    times = (shown(seconds, "time", system, 2, beside=simulated) for seconds in (simulated, found.averaged))
    averaged = (
        f"{next(times)} of flow computed in {found.marches} marches, {next(times)} of it averaged"
        if found.marches > 1
        else f"{next(times)} of flow computed, the last {next(times)} averaged in {windows} windows"
    )
    steady = (
        "The averages came to rest as far as was asked for."
        if found.steady
        else ("The averages did not come to rest as far as a fine run asks for; the intervals say how unsure they are.")
    )
    return (
        LEVELS[study.settings.detail],
        f"{counted(int(grid.water.sum()), system)} cells of water, {cell} wide; {averaged}.",
        steady,
        f"What flows in and what flows out agree within {100 * max(found.balance_error, LEAST):.1g} % of the inflow.",
        "A difference between two layouts that is within the intervals is no difference.",
    )
