"""The name of a group of corals in a picture."""

from dataclasses import replace

import numpy as np
import pytest

from flowviz.draw.sheets.corals import coral_label


@pytest.mark.parametrize(("speed", "told"), [(0.1, "garden"), (0.01, "garden: too still"), (0.6, "garden: too strong")])
def test_it_is_told_what_is_wrong(speed, told, make):
    """Bold, and as the table of corals has it; the name alone where all is well, or where nothing was asked."""
    study = make.study(make.scene(), lambda x, y, z: np.full_like(x, speed))
    found = replace(next(iter(study.measures.corals.values())), sure=True)
    label = coral_label("garden", found, (0.0, 0.0))
    assert (label.text, label.weight) == (told, "bold" if ":" in told else "normal")
    assert coral_label("garden", None, (0.0, 0.0)).text == "garden"
