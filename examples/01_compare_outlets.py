"""Compare two outlet placements in the peninsula tank: what each leaves dead, and what each does to the corals."""

from pathlib import Path

from flowviz import read_scene, run

SCENES = Path(__file__).parent.parent / "scenes"
LAYOUTS = {"riser at the left": "peninsula.toml", "riser behind the arch": "peninsula_moved.toml"}

studies = {name: run(read_scene(SCENES / file)) for name, file in LAYOUTS.items()}

for name, study in studies.items():
    measures, unsure = study.measures, study.measures.uncertainty
    print(name)
    print(f"  dead water         {measures.dead_fraction:6.1%} ± {unsure['dead_fraction']:.1%}")
    print(f"  over-strong water  {measures.over_fraction:6.1%} ± {unsure['over_fraction']:.1%}")
    for group, figures in measures.corals.items():
        print(f"  {group:17}  {figures.in_band_fraction:6.1%} in the current it wants: {figures.verdict}")

before, after = studies.values()
gain = before.measures.dead_fraction - after.measures.dead_fraction
noise = sum(study.measures.uncertainty["dead_fraction"] for study in studies.values())
verdict = "too close to call" if abs(gain) <= noise else f"{'less' if gain > 0 else 'more'} dead water after the move"
print(f"Difference in dead water {gain:+.1%}, uncertain by {noise:.1%}: {verdict}.")
