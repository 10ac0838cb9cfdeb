"""Find the dead zones behind the rockwork: each pocket with its place, its size and how still it is."""

from pathlib import Path

from flowviz import read_scene, run

SCENES = Path(__file__).parent.parent / "scenes"

study = run(read_scene(SCENES / "peninsula.toml"))
pockets = [zone for zone in study.measures.zones if zone.kind == "dead"]

print(f"{study.measures.dead_fraction:.1%} of the water is dead; pockets worth a name: {len(pockets)}")
for pocket in pockets:
    x, y, z = (1000 * coordinate for coordinate in pocket.centre)
    print(f"  {1000 * pocket.volume:5.1f} L {pocket.place}")
    print(f"          around x {x:.0f}, y {y:.0f}, z {z:.0f} mm; {100 * pocket.mean_speed:.1f} cm/s on average")
