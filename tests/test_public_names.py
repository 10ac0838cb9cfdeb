"""The public interface is complete, sorted and small."""

import flowviz


def test_every_public_name_is_there():
    assert all(getattr(flowviz, name) is not None for name in flowviz.__all__)


def test_the_names_are_few_and_sorted():
    assert flowviz.__all__ == sorted(flowviz.__all__)
    assert len(flowviz.__all__) <= 12


def test_an_unknown_name_is_an_attribute_error():
    assert not hasattr(flowviz, "no_such_name")
