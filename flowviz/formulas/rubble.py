"""Water that seeps through stones: what they take from it.

Speeds are those of the flow over the whole cross-section, stones included, as if they were not there [m/s].
"""


def laminar_drag(open_share: float, stone: float) -> float:
    """What slow seepage loses to stones, over viscosity and speed [1/m²].

        150 (1 - ε)²/(ε³ d²)

    open_share    ε, of the volume [-], 0.35 to 0.5 in print
    stone         d, diameter of the sphere with the stones' volume over surface [m]

    S. Ergun, Chem. Eng. Prog. 48 (1952) 89-94, first term, from memory; Re = U d/(ν (1 - ε)) from 1 to 3000.
    """
    return 150 * (1 - open_share) ** 2 / (open_share**3 * stone**2)


def turbulent_drag(open_share: float, stone: float) -> float:
    """What fast seepage loses to stones, over the square of its speed [1/m].

        1.75 (1 - ε)/(ε³ d)

    The second term of the same equation; within about a third for broken stone, whose shape differs from heap to heap
    (common practice, no source).
    """
    return 1.75 * (1 - open_share) / (open_share**3 * stone)
