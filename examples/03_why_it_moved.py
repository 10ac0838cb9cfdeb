"""Show a client why an outlet moved: both tanks side by side, and three sentences made from numbers."""

from pathlib import Path

from flowviz import Settings, compare, read_scene, run, write_comparison

SCENES = Path(__file__).parent.parent / "scenes"
OUT = Path("out", "why_it_moved")

before = run(read_scene(SCENES / "peninsula.toml"), Settings(marches=12))
after = run(read_scene(SCENES / "peninsula_moved.toml"), Settings(marches=12))
comparison = compare(before, after)

album = write_comparison(comparison, OUT)
print(*comparison.reasons[:3], sep="\n")
print("Pictures:", *(OUT / picture.file for picture in album.pictures))
