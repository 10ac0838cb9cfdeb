"""Find the dead zones behind the rockwork: each pocket with its place, its size and why it is still."""

from pathlib import Path

from flowviz import Settings, read_scene, run

SCENES = Path(__file__).parent.parent / "scenes"

measures = run(read_scene(SCENES / "peninsula.toml"), Settings(marches=12)).measures

print(f"{measures.dead_fraction:.0%} ± {measures.uncertainty['dead_fraction']:.0%} of the water is dead.")
for zone in measures.zones:
    if zone.kind == "dead":
        print(f"{1000 * zone.volume:.0f} L {zone.place}: {zone.cause}; worth trying: {zone.remedy}")
