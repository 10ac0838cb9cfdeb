"""Make arch.stl, the invented arch of the peninsula scenes, as a scanner would give it: millimetres, bumpy, closed.

    python scenes/make_arch.py

A tube of varying width follows half an ellipse between two feet that reach below the floor. The origin of the file lies
on the floor between the feet.
"""

from pathlib import Path

import numpy as np

SPAN, RISE = 520.0, 300.0  # between the middles of the feet, and up to the middle of the crown [mm]
RADIUS = 90.0  # of the tube [mm]
RINGS, SIDES = 72, 36
BELOW = 0.16  # how far the feet go on below the floor [rad of the ellipse]
STL = Path(__file__).parent / "arch.stl"


def corners() -> np.ndarray:
    """Points of the tube, ring by ring (RINGS, SIDES, 3) [mm]."""
    along = np.linspace(-BELOW, np.pi + BELOW, RINGS)[:, None]
    around = np.linspace(0, 2 * np.pi, SIDES, endpoint=False)[None, :]
    middle = np.stack((-SPAN / 2 * np.cos(along), 22 * np.sin(2 * along), RISE * np.sin(along)), axis=-1)
    forward = np.stack((SPAN / 2 * np.sin(along), np.zeros_like(along), RISE * np.cos(along)), axis=-1)
    forward /= np.linalg.norm(forward, axis=-1, keepdims=True)
    side = np.array([0.0, 1.0, 0.0])
    outward = np.cross(side, forward)
    reach = RADIUS * width(along, around)[..., None]
    return middle + reach * (np.cos(around)[..., None] * outward + np.sin(around)[..., None] * side)


def width(along: np.ndarray, around: np.ndarray) -> np.ndarray:
    """Width of the tube, in its radius: wide feet, a flattened crown, and bumps."""
    feet = 1 + 0.45 * np.cos(along) ** 4
    bumps = 0.10 * np.sin(5 * along + 2 * np.sin(around)) + 0.07 * np.sin(3 * around + 7 * along)
    return feet * (1 + 0.25 * np.sin(around) ** 2 + bumps + 0.05 * np.sin(4 * around - 13 * along))


def triangles(rings: np.ndarray) -> np.ndarray:
    """The tube's skin and the lids of its ends (n, 3, 3) [mm], anticlockwise seen from outside."""
    here, beyond = rings, np.roll(rings, -1, axis=1)
    skin = [(here[:-1], beyond[1:], here[1:]), (here[:-1], beyond[:-1], beyond[1:])]
    first, last = (np.broadcast_to(end.mean(axis=0), end.shape) for end in (rings[0], rings[-1]))
    lids = [(first, beyond[0], here[0]), (last, here[-1], beyond[-1])]
    return np.concatenate([np.stack(part, axis=-2).reshape(-1, 3, 3) for part in (*skin, *lids)])


def write_stl(path: Path, faces: np.ndarray) -> None:
    """A binary STL file."""
    record = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("spare", "<u2")])
    rows = np.zeros(len(faces), record)
    rows["corners"] = faces
    normal = np.cross(faces[:, 1] - faces[:, 0], faces[:, 2] - faces[:, 0])
    rows["normal"] = normal / np.linalg.norm(normal, axis=1, keepdims=True)
    header = b"An invented arch, millimetres".ljust(80)
    path.write_bytes(header + np.uint32(len(rows)).tobytes() + rows.tobytes())


if __name__ == "__main__":
    write_stl(STL, triangles(corners()))
