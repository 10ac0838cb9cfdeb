"""What lives in the tank and what was measured there, from its tables."""

from collections.abc import Mapping

from flowviz.errors import InputError
from flowviz.scene.model import Animal, Coral, Measured
from flowviz.scene.schema.stock import AnimalTable, CoralTable, MeasuredTable
from flowviz.scene.schema.values import nearest
from flowviz.scene.standards import CoralKind

SUSTAINED = 2.0  # lengths of its body a second that a small fish swims for minutes on end: see animal


def coral(table: CoralTable, where: str, kinds: Mapping[str, CoralKind]) -> Coral:
    """A group with the band that the scene or its kind gives it."""
    if table.kind is None:
        return Coral(table.name, table.centre, table.size, table.speed)
    if table.kind not in kinds:
        remedy = f"{nearest(table.kind, list(kinds))}. Or write its band as speed, or its kind into a file, coral_kinds"
        raise InputError(f"{where}.kind", f"{table.kind!r} is not known", remedy)
    return Coral(table.name, table.centre, table.size, kinds[table.kind].speed, table.kind)


def animal(table: AnimalTable) -> Animal:
    """An animal and what it can swim.

    Where the scene does not say, two lengths of its body a second, the lower end of what is taken for ordinary small
    fish (from memory: F. W. H. Beamish, Fish Physiology 7 (1978) 101-187). Larvae of reef fish swim faster, many
    bottom dwellers, snails and anemones slower or not at all.
    """
    lengths = SUSTAINED if table.lengths_per_second is None else table.lengths_per_second
    speed = table.length * lengths if table.speed is None else table.speed
    return Animal(table.name, table.length, table.width, speed, (table.speed, table.lengths_per_second) == (None, None))


def measured(table: MeasuredTable, number: int) -> Measured:
    """A measured speed; one without a name has its number."""
    return Measured(table.name or f"point {number}", table.at, table.speed, table.uncertainty)
