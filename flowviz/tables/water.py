"""What the current does to surfaces and bed, how old the water is, and how it agrees with what was measured."""

from collections.abc import Iterator
from math import isinf

from flowviz.assess.bed import REFERENCE
from flowviz.assess.measured import Agreement, PointFigures
from flowviz.assess.words import share_within
from flowviz.study import Study
from flowviz.tables.table import FIGURE, FROM, WORD, Table, percent
from flowviz.units import System, shown, within

PAIR = (("", WORD), ("", FIGURE))


def water_tables(study: Study) -> tuple[Table, ...]:
    """All of them; without rows where there is nothing to tell."""
    return (bed_table(study), surface_table(study), renewal_table(study), reach_table(study), measured_table(study))


def bed_table(study: Study) -> Table:
    """Where detritus settles and where sand is blown out."""
    system, limits, bed = study.scene.show, study.scene.limits, study.measures.bed
    if not bed.cells:
        return Table("The bed", PAIR, ())
    unsure = bed.uncertainty
    rows = [
        (
            f"detritus settles (below {shown(limits.settle, 'speed', system)})",
            share_within(bed.settling_fraction, unsure["settling_fraction"]),
        ),
        (
            f"detritus is kept moving (above {shown(limits.stir, 'speed', system)})",
            share_within(bed.moving_fraction, unsure["moving_fraction"]),
        ),
    ]
    if study.scene.sand:
        begins = f"sand is blown out (from {shown(bed.threshold_speed, 'speed', system)} on)"
        rows.append((begins, share_within(bed.blown_fraction, unsure["blown_fraction"])))
    rows += [
        ("speed on average", within(bed.mean_speed, unsure["mean_speed"], "speed", system)),
        ("stress on average", within(bed.mean_stress, unsure["mean_stress"], "stress", system)),
        ("stress at most", shown(bed.max_stress, "stress", system, 2)),
    ]
    height = shown(REFERENCE, "length", system, 2)
    return Table(f"The bed, {bed.material}, judged {height} above it", PAIR, tuple(rows))


def surface_table(study: Study) -> Table:
    """The current along the rock and at the surface."""
    system, rock, surface = study.scene.show, study.measures.rock, study.measures.surface
    rows = []
    if rock.cells:
        rows += [
            (
                "along the rock: speed on average",
                within(rock.speed.mean, rock.uncertainty["mean_speed"], "speed", system),
            ),
            ("along the rock: dead", share_within(rock.dead_fraction, rock.uncertainty["dead_fraction"])),
        ]
    slow, depth = isinf(surface.renewal_time), shown(surface.thickness, "length", system, 2)
    renewed = "never by the mean flow" if slow else f"every {shown(surface.renewal_time, 'time', system, 2)}"
    rows += [
        (
            "at the surface: speed on average",
            within(surface.speed.mean, surface.uncertainty["mean_speed"], "speed", system),
        ),
        ("at the surface: dead", share_within(surface.dead_fraction, surface.uncertainty["dead_fraction"])),
        (f"its uppermost {depth} are renewed from below; how sure is not known", renewed),
    ]
    return Table("Rock and surface", PAIR, tuple(rows))


def renewal_table(study: Study) -> Table:
    """How old the water is, and what goes straight through."""
    return Table("Renewal of the water; how sure is not known", PAIR, tuple(renewal_rows(study)))


def renewal_rows(study: Study) -> Iterator[tuple[str, str]]:
    """Without any where it was not computed."""
    system, renewal = study.scene.show, study.renewal
    if renewal is None:
        return
    yield "mean age", shown(renewal.mean_age, "time", system)
    yield "age of what leaves (volume over flow)", shown(renewal.nominal_age, "time", system)
    yield "efficiency (1 a piston, 0.5 well mixed)", f"{renewal.efficiency:.2f}"
    yield "older than twice what leaves", percent(renewal.old_fraction)
    yield f"oldest, {renewal.oldest_place}", shown(renewal.oldest_age, "time", system)
    for outlet, parts in renewal.straight_shares.items():
        yield f"straight from {outlet} into an intake", percent(sum(parts.values()))


def reach_table(study: Study) -> Table:
    """From how far the intakes draw the scene's animals in, on the computed flow."""
    rows = tuple(
        (intake, animal, shown(reach, "length", study.scene.show, 2))
        for intake, reaches in study.measures.reaches.items()
        for animal, reach in reaches.items()
    )
    return Table(
        f"How far currents and suction together draw animals, {FROM}. Cells blur it either way: animals are judged by "
        "formula, this only tells what currents add",
        (("", WORD), ("animal", WORD), ("too fast within", FIGURE)),
        rows,
    )


def measured_table(study: Study) -> Table:
    """How the computed speeds agree with the measured ones."""
    system, agreement = study.scene.show, study.measures.agreement
    columns = (("", WORD), ("measured", FIGURE), ("computed", FIGURE))
    if agreement is None:
        return Table("Measured points", columns, ())
    rows = [
        (
            f"{name} (worst)" if name == agreement.worst else name,
            measured_speed(point, system),
            within(point.computed_speed, point.computed_doubt, "speed", system),
        )
        for name, point in agreement.points.items()
    ]
    return Table(f"Measured points: {agreement_words(agreement)}", columns, tuple(rows))


def agreement_words(agreement: Agreement) -> str:
    """How well all points together agree."""
    if agreement.worst is None:
        return "none lies in the water"
    bias = agreement.fractional_bias
    way = f" (computed {'too slow' if bias > 0 else 'too fast'} on average)" if round(bias, 2) else ""
    return (
        f"bias {bias:+.2f}{way}, within a factor of two {percent(agreement.factor_two_fraction)}, "
        f"explained by the intervals {percent(agreement.explained_fraction)}"
    )


def measured_speed(point: PointFigures, system: System) -> str:
    """What was measured, with its uncertainty where the scene tells one."""
    if point.measured_doubt == 0:
        return shown(point.measured_speed, "speed", system)
    return within(point.measured_speed, point.measured_doubt, "speed", system)
