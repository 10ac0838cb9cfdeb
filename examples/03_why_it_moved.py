"""Show a client why an outlet moved: both tanks side by side, and three sentences made from numbers."""

from pathlib import Path

from flowviz import read_scene, run, write_side_by_side

SCENES = Path(__file__).parent.parent / "scenes"
OUT = Path("out", "why_it_moved")
LAYOUTS = {"Before": "peninsula.toml", "After": "peninsula_moved.toml"}

studies = {heading: run(read_scene(SCENES / file)) for heading, file in LAYOUTS.items()}
OUT.mkdir(parents=True, exist_ok=True)
album = write_side_by_side(studies, OUT)

before, after = (study.measures for study in studies.values())
worst = next((zone for zone in before.zones if zone.kind == "dead"), None)
where = f", the largest pocket {1000 * worst.volume:.0f} L {worst.place}" if worst else ""
helped = [name for name, now in after.corals.items() if now.in_band_fraction > before.corals[name].in_band_fraction]

print(f"Before, {before.dead_fraction:.1%} of the water stood still{where}.")
print(f"After the move {after.dead_fraction:.1%} does (uncertain by {after.uncertainty['dead_fraction']:.1%}).")
print(f"More of these corals gets the current it wants: {', '.join(helped) or 'none'}.")
print("Pictures:", *(OUT / picture.file for picture in album.pictures))
