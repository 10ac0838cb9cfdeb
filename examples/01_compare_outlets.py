"""Compare two outlet placements in the peninsula tank: what differs by more than the noise."""

from pathlib import Path

from flowviz import Settings, compare, read_scene, run

SCENES = Path(__file__).parent.parent / "scenes"

# One march is a single look at a current that wanders: twelve of each layout.
before = run(read_scene(SCENES / "peninsula.toml"), Settings(marches=12))
after = run(read_scene(SCENES / "peninsula_moved.toml"), Settings(marches=12))
comparison = compare(before, after)

print(comparison.title)
for each in comparison.differences:
    if each.quantity == "share" and each.verdict != "the same":
        print(f"  {each.subject}, {each.label}: {each.before:.0%} before, {each.after:.0%} after: {each.verdict}")
for caution in comparison.cautions:
    print(f"Caution, {caution}")
