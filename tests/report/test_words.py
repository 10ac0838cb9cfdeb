"""What a report says of how a run went."""

from dataclasses import replace

import numpy as np
import pytest

from flowviz.report.words import quality


@pytest.mark.parametrize(("error", "told"), [(0.0, "0.001 %"), (4e-6, "0.001 %"), (3.2e-4, "0.03 %"), (0.011, "1 %")])
def test_the_balance_of_a_run_is_told_in_per_cent(make, error, told):
    """4e-06 is no figure that people read."""
    study = make.study(make.scene(), make.alive)
    field = replace(study.field, quality=replace(study.field.quality, balance_error=error))
    assert any(f"agree within {told} of the inflow" in words for words in quality(replace(study, field=field)))


@pytest.mark.parametrize(
    ("marches", "told"),
    [
        (1, "80 s of flow computed, the last 32 s averaged in 8 windows."),
        (8, "80 s of flow computed in 8 marches, 32 s of it averaged."),
    ],
)
def test_what_was_averaged_is_told_of_one_march_and_of_several(make, marches, told):
    """Several end one after another: none of them is the last of the time."""
    study = make.study(make.scene(), make.alive)
    told_of = replace(study.field.quality, simulated=80.0, averaged=32.0, marches=marches)
    field = replace(study.field, quality=told_of, batches=np.stack([study.field.speed] * 8))
    assert quality(replace(study, field=field))[1].endswith(told)
