"""The door to the flow: what is heard of several marches of one flow."""

from types import SimpleNamespace

from flowviz.flow.solve import Tally
from flowviz.progress import Stage


def test_of_several_marches_it_is_told_how_far_all_of_them_have_come():
    """Four, of which this process makes the first and the third; the others come from elsewhere."""
    heard = []
    tally = Tally(heard.append, 4)
    march = SimpleNamespace(quality=SimpleNamespace(simulated=10.0))

    def come():
        tally(Stage("spinning up", 0.9, 2.0, 800))
        tally(Stage("marching", 0.5, 8.0, 800))
        yield 0, march
        tally(Stage("spinning up", 0.1, 1.0, 800))
        tally(Stage("marching", 0.8, 9.0, 800))
        yield 2, march
        yield 1, march
        tally(Stage("marching", 0.0, 5.0, 800))
        yield 3, march

    assert [number for number, _ in tally.counted(come())] == [0, 2, 1, 3]
    assert [each.share for each in heard] == [0, 0.5 / 4, 1 / 4, 1.8 / 4, 3 / 4]
    assert [each.simulated for each in heard] == [2, 8, 11, 19, 35]
    assert {(each.doing, each.cells) for each in heard} == {("marching 4 times", 800)}
