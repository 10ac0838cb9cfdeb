"""The door to the flow: what is heard of several marches of one flow."""

from flowviz.flow.solve import of_several
from flowviz.progress import Stage


def test_of_several_marches_it_is_told_which_has_come_so_far():
    heard = []
    of_several(heard.append, 2, 12)(Stage("averaging", 0.25, 3.0, 800))
    assert heard == [Stage("march 2 of 12, averaging", 0.25, 3.0, 800)]
