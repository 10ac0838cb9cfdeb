"""Animals that a blocked intake puts in peril, against their own loop."""

from dataclasses import replace

import pytest

from flowviz.plumbing.animals import perils
from flowviz.plumbing.blocking import blocked_cautions
from flowviz.plumbing.solve import solve_loop
from flowviz.scene.model import Animal, Strainer

GOBY = Animal("goby", 0.04, 0.006, 0.08)


@pytest.fixture
def two(scene):
    """Two intakes alike, joined before the pump, and a goby that swims 8 cm/s."""

    def with_basket(diameter, length):
        first = replace(scene.intakes[0], strainer=Strainer("basket", diameter, length, 0.38, 0.003))
        pipes = (
            replace(scene.pipes[0], end="suction"),
            replace(scene.pipes[0], start="right low", end="suction"),
            replace(scene.pipes[1], start="suction", end="loop pump"),
            *scene.pipes[1:],
        )
        intakes = (first, replace(first, name="right low"))
        return replace(scene, intakes=intakes, pipes=pipes, animals=(GOBY,))

    return with_basket


def test_an_animal_that_only_a_blocked_intake_endangers_is_one_caution(two):
    """Half of the flow passes the slots of 140 by 170 mm more slowly than 8 cm/s, all of it faster."""
    scene = two(0.14, 0.17)
    assert all(peril.safe for peril in perils(scene, solve_loop(scene)))
    (caution,) = blocked_cautions(scene)
    assert caution.where == "intakes"
    assert "goby once left low is blocked; goby once right low is blocked" in caution.what


def test_strainers_large_enough_alone_need_no_caution(two):
    assert blocked_cautions(two(0.25, 0.30)) == ()


def test_an_animal_in_peril_already_is_cautioned_elsewhere(two):
    scene = two(0.06, 0.05)
    assert any("goby" in caution.what for caution in solve_loop(scene).cautions)
    assert blocked_cautions(scene) == ()


def test_a_lone_intake_has_no_other(scene):
    assert blocked_cautions(replace(scene, animals=(GOBY,))) == ()


def test_of_three_intakes_each_is_looked_at(scene):
    """A third of the flow passes the slots of 110 by 120 mm at 7 cm/s, half of it at 10: a goby swims 8."""
    first = replace(scene.intakes[0], strainer=Strainer("basket", 0.11, 0.12, 0.38, 0.003))
    intakes = tuple(replace(first, name=name) for name in ("one", "two", "three"))
    ways = tuple(replace(scene.pipes[0], start=intake.name, end="suction", length=0.2) for intake in intakes)
    pipes = (*ways, replace(scene.pipes[1], start="suction", end="loop pump"), *scene.pipes[1:])
    several = replace(scene, intakes=intakes, pipes=pipes, animals=(GOBY,))
    (caution,) = blocked_cautions(several)
    assert all(f"goby once {intake.name} is blocked" in caution.what for intake in intakes)
