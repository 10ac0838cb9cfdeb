"""Show a client why an outlet moved: both tanks side by side, and three sentences made from numbers."""

from pathlib import Path

from flowviz import Settings, compare, read_scene, run, write_comparison

SCENES = Path(__file__).parent.parent / "scenes"
OUT = Path("out", "why_it_moved")
LAYOUTS = ("peninsula.toml", "peninsula_moved.toml")
MARCHES = 12  # of each layout: one is a single look at a current that wanders

studies = [
    run(read_scene(SCENES / file), Settings(marches=MARCHES, seed=number * MARCHES))
    for number, file in enumerate(LAYOUTS)
]
comparison = compare(*studies)
OUT.mkdir(parents=True, exist_ok=True)
album = write_comparison(comparison, OUT)

print(*comparison.reasons[:3], sep="\n")
print("Pictures:", *(OUT / picture.file for picture in album.pictures))
