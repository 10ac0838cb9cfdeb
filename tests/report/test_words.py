"""What a report says of how a run went."""

from dataclasses import replace

import pytest

from flowviz.report.words import quality


@pytest.mark.parametrize(("error", "told"), [(0.0, "0.001 %"), (4e-6, "0.001 %"), (3.2e-4, "0.03 %"), (0.011, "1 %")])
def test_the_balance_of_a_run_is_told_in_per_cent(make, error, told):
    """4e-06 is no figure that people read."""
    study = make.study(make.scene(), make.alive)
    field = replace(study.field, quality=replace(study.field.quality, balance_error=error))
    assert any(f"agree within {told} of the inflow" in words for words in quality(replace(study, field=field)))
