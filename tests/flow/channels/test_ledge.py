"""A stream that leaves a ledge: how far behind it the stream comes back to the floor."""

import pytest

STEP = 0.1  # height of the ledge [m]
BEHIND = 2.0  # length of the channel [m]


@pytest.mark.parametrize(
    ("detail", "cell", "tolerance"),
    [("coarse", None, 0.3), pytest.param("fine", 0.02, 0.2, marks=pytest.mark.slow)],
)
def test_where_the_stream_widens_by_a_fifth(detail, cell, tolerance, channel, turn, tmp_path):
    """6.0 to 6.3 heights at high Re, from memory:

    D. M. Driver, H. L. Seegmiller, AIAA J. 23 (1985) 163-171; S. Jovic, D. M. Driver, NASA TM 108807 (1994); H. Le,
    P. Moin, J. Kim, J. Fluid Mech. 330 (1997) 349-374. The tolerance is ours: three cells to the height in a coarse
    march, five in the fine one, and a channel only four heights wide. Reached: 6.6 to 6.7, and 5.6.
    """
    ledge = ((0.0, 0.0, 0.0), (0.5, 0.4, STEP))
    study = channel(0.5 + BEHIND, 0.4, 0.6, (STEP, 0.6), (0.0, 0.6), 0.3, (ledge,)).study(tmp_path, detail, cell)
    assert (turn(study, 0.5) - 0.5) / STEP == pytest.approx(6.2, rel=tolerance)


@pytest.mark.parametrize(("widening", "published"), [(1.5, 7.0), (2.0, 8.2)])
def test_where_the_stream_widens_more(widening, published, channel, turn, tmp_path):
    """7 ± 1 heights where it widens by half, 8 to 8.5 where to the double, from memory; within 25 %, as four and five
    cells to the height allow.

    J. Kim, S. J. Kline, J. P. Johnston, J. Fluids Eng. 102 (1980) 302-308; F. Durst, C. Tropea, 3rd Symposium on
    Turbulent Shear Flows (1981) 18.1. Reached: 7.6 to 7.8 and 9.0 to 9.2 in coarse marches; 6.5 and 6.4 in a fine one.
    """
    depth = STEP * widening / (widening - 1)
    ledge = ((0.0, 0.0, 0.0), (0.4, 0.4, STEP))
    study = channel(2.2, 0.4, depth, (STEP, depth), (0.0, depth), 0.3, (ledge,)).study(tmp_path, "coarse")
    assert (turn(study, 0.4) - 0.4) / STEP == pytest.approx(published, rel=0.25)
