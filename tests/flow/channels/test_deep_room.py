"""How far a jet keeps a long tank going that it is let into and taken out of at one end."""

import numpy as np
import pytest

HEIGHT = 0.6  # [m]
SLOT = 0.056  # of the height
SPEED = 5000 * 1.0034e-6 / (SLOT * HEIGHT)  # [m/s]


@pytest.mark.parametrize("detail", ["sketch", "coarse", pytest.param("fine", marks=pytest.mark.slow)])
def test_a_jet_turns_back_three_to_four_heights_on_however_long_the_tank(detail, channel, tmp_path):
    """The deep rooms of P. V. Nielsen (Technical University of Denmark, 1974) and of H. Urbach (1971), from memory.

    A plane jet under the ceiling, here along the floor for the surface is free of stress, reaches 3 to 4.2 heights;
    what lies beyond stands almost still. Taken for its end is where the stream away from the inflow is down to a
    quarter of its most. The tolerance is ours of a slot of one and a half cells, a tenth.
    """
    weir = (0.84 * HEIGHT, HEIGHT)
    room = channel(8 * HEIGHT, HEIGHT, HEIGHT, (0.0, SLOT * HEIGHT), weir, SPEED, through=False)
    study = room.study(tmp_path, detail)
    ny = study.grid.shape[1]
    u = study.field.u[:, ny // 4 : ny - ny // 4].mean(axis=1)
    away = np.maximum(u, 0).sum(axis=1)
    first = away.argmax()
    end = (first + np.argmax(away[first:] < away.max() / 4)) * study.grid.spacing[0]
    assert 0.9 * 3 < end / HEIGHT < 1.1 * 4.2
    still = study.field.speed[int(6 * HEIGHT / study.grid.spacing[0]) :]
    assert still.mean() < 0.02 * SPEED
