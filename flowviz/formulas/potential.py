"""Flow without vorticity: towards intakes, and round a sphere."""

from math import pi, sqrt


def sink_speed(flow: float, distance: float, walls: int) -> float:
    """Speed towards a point that draws water where flat walls meet at right angles [m/s].

        |u| = 2ⁿ Q/(4 π r²)

    flow        Q drawn [m³/s]
    distance    r from the point [m], above 0
    walls       n that meet there: 0 in free water, 1 on a wall, 2 in an edge, 3 in a corner

    Exact, by images. H. Lamb, Hydrodynamics, 6th ed., Cambridge 1932, art. 56 (from memory).
    """
    return 2**walls * flow / (4 * pi * distance**2)


def suction_disc_speed(face_speed: float, radius: float, distance: float) -> float:
    """Speed on the axis of a round opening in a flat wall that draws water evenly all over [m/s].

        V/Vf = 1 - z/√(z² + a²)

    face_speed    Vf in the opening [m/s]
    radius        a of the opening [m], above 0
    distance      z from the wall [m], 0 or more

    Exact: the point sinks of the disc summed. H. Lamb, Hydrodynamics, 6th ed., Cambridge 1932, ch. V (from memory).
    """
    return face_speed * (1 - distance / sqrt(distance**2 + radius**2))


def hood_speed(flow: float, area: float, distance: float) -> float:
    """Speed on the axis of a suction opening that is flush with a wall [m/s].

        V = Q/[0.75 (10 X² + A)]

    flow        Q drawn [m³/s]
    area        A of the opening, round or nearly square [m²]
    distance    X from the opening [m], 0.5 to 1.5 of its diameter

    Fitted to measurements, within 15 %; the 0.75 is the gain from the wall.
    J. M. DallaValle, Exhaust Hoods, Industrial Press, New York 1952; ACGIH, Industrial Ventilation (from memory).
    """
    return flow / (0.75 * (10 * distance**2 + area))


def sphere_velocity(stream: float, radius: float, place: tuple[float, float, float]) -> tuple[float, float, float]:
    """Velocity at a place about a fixed sphere in a stream along x [m/s].

        u = U [(1 + a³/(2 r³)) eₓ - 3 a³ x/(2 r⁵) r]

    stream    U far away [m/s]
    radius    a of the sphere [m]
    place     x, y, z from its centre [m], not inside it

    Exact. H. Lamb, Hydrodynamics, 6th ed., Cambridge 1932, art. 96 (from memory).
    """
    x, y, z = place
    distance = sqrt(x * x + y * y + z * z)
    along = stream * (1 + radius**3 / (2 * distance**3))
    inward = 1.5 * stream * radius**3 * x / distance**5
    return along - inward * x, -inward * y, -inward * z
