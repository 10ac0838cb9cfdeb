"""Labels of the pockets of dead and over-strong water in flat pictures."""

from collections.abc import Iterator

import numpy as np
from scipy.ndimage import distance_transform_edt

from flowviz.draw.labels import Label
from flowviz.draw.slices import SIDES
from flowviz.draw.wording import pocket
from flowviz.study import Study

THIN = 1.5  # cells: what is nowhere farther from its own edge is not named


def zone_label(zone: object, cells: np.ndarray, axis: int, study: Study) -> Iterator[Label]:
    """How large a pocket is, where its cells (n, m) bool in a picture square to axis are widest; nothing where thin."""
    depth = distance_transform_edt(np.pad(cells, 1))[1:-1, 1:-1]
    if depth.max() > THIN:
        i, j = np.unravel_index(np.argmax(depth), depth.shape)
        right, up = (study.grid.centres()[side] for side in SIDES[axis])
        yield Label(pocket(zone, study.scene.show), (float(right[i]), float(up[j])), weight="bold", nearest=12.0)
