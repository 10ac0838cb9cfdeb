"""Compare two outlet placements in the peninsula tank: what differs by more than the noise, and what it costs."""

from pathlib import Path

from flowviz import Settings, compare, read_scene, run

SCENES = Path(__file__).parent.parent / "scenes"
LAYOUTS = ("peninsula.toml", "peninsula_moved.toml")
MARCHES = 12  # of each layout: one is a single look at a current that wanders

studies = [
    run(read_scene(SCENES / file), Settings(marches=MARCHES, seed=number * MARCHES))
    for number, file in enumerate(LAYOUTS)
]
comparison = compare(*studies)

print(comparison.title)
for each in comparison.differences:
    if each.quantity == "share":
        told = f"{each.before:6.1%} ± {each.before_half_width:5.1%}  {each.after:6.1%} ± {each.after_half_width:5.1%}"
        print(f"  {each.subject + ', ' + each.label:40} {told}  {each.verdict}")
for pocket in comparison.went:
    print(f"Gone: {1000 * pocket.before.volume:.0f} L {pocket.before.place}: {pocket.reason}.")
for caution in comparison.cautions:
    print(f"Caution, {caution}")
