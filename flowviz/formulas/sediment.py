"""Sand and detritus: what the current does to the bed, and what moves a grain of it."""

from math import cbrt, exp, log

from flowviz.formulas.pumps import GRAVITY

VON_KARMAN = 0.40  # as Soulsby has it
SMOOTH = 9.0  # z0 = ν/(9 u*) over a smooth bed
SUBLAYER = 11.6  # u* z/ν up to which the current over a smooth bed is that of the viscous layer
NEAREST = 3.0  # height over z0 below which the log law does not hold
ARAGONITE = 2930.0  # density of solid grains, of coral and shell sand (from memory) [kg/m³]
QUARTZ = 2650.0  # [kg/m³]


def dimensionless_grain(grain: float, relative_density: float, viscosity: float) -> float:
    """Grain size D* [-].

        D* = d [g (s - 1)/ν²]^(1/3)

    grain             median diameter d [m]
    relative_density  s, of grains over water [-]
    viscosity         ν [m²/s]

    R. L. Soulsby, Dynamics of Marine Sands (1997), section 6.4.
    """
    return grain * cbrt(GRAVITY * (relative_density - 1) / viscosity**2)


def threshold_shields(dimensionless: float) -> float:
    """Shields parameter θ at which grains begin to move [-].

        θ = 0.30/(1 + 1.2 D*) + 0.055 [1 - exp(-0.020 D*)]

    dimensionless   D* [-], above 0.1

    Steady currents over a flat bed of grains of one size. Good to 20 to 30 % of the current: eddies move sand at a
    lower mean, and shelly grains differ by half as much again.
    R. L. Soulsby, Dynamics of Marine Sands (1997), equation 77.
    """
    return 0.30 / (1 + 1.2 * dimensionless) + 0.055 * (1 - exp(-0.020 * dimensionless))


def threshold_stress(grain: float, grain_density: float, water_density: float, viscosity: float) -> float:
    """Stress on the bed at which its grains begin to move [Pa].

        τ = θ g (ρ_s - ρ) d

    grain           median diameter d [m]
    grain_density   ρ_s [kg/m³]
    water_density   ρ [kg/m³]
    viscosity       ν [m²/s]

    R. L. Soulsby, Dynamics of Marine Sands (1997), equations 74 and 77.
    """
    dimensionless = dimensionless_grain(grain, grain_density / water_density, viscosity)
    return threshold_shields(dimensionless) * GRAVITY * (grain_density - water_density) * grain


def rough_friction_velocity(speed: float, height: float, grain: float) -> float:
    """Friction velocity u* = √(τ/ρ) over a bed of grains [m/s].

        u* = 0.40 U / ln(z/z0),    z0 = d/12

    speed    U at the height [m/s]
    height   z above the bed [m]; taken as at least 3 z0
    grain    median diameter d [m]

    R. L. Soulsby, Dynamics of Marine Sands (1997), section 3.3; fully rough.
    """
    return VON_KARMAN * speed / log(max(12 * height / grain, NEAREST))


def rough_speed(friction_velocity: float, height: float, grain: float) -> float:
    """Speed at a height above a bed of grains [m/s]: the inverse of rough_friction_velocity."""
    return friction_velocity / VON_KARMAN * log(max(12 * height / grain, NEAREST))


def smooth_friction_velocity(speed: float, height: float, viscosity: float) -> float:
    """Friction velocity u* = √(τ/ρ) over a smooth bed [m/s].

        U/u* = ln(9 z+)/0.40 above z+ = u* z/ν = 11.6,  U/u* = z+ below

    speed       U at the height [m/s]
    height      z above the bed [m]
    viscosity   ν [m²/s]

    R. L. Soulsby, Dynamics of Marine Sands (1997), section 3.3, z0 = ν/(9 u*). Found by Newton's method, whose every
    step is nearer from above.
    """
    friction = (viscosity * speed / height) ** 0.5
    if friction * height / viscosity <= SUBLAYER:
        return friction
    for _ in range(8):
        law = log(SMOOTH * friction * height / viscosity)
        friction -= (friction * law - VON_KARMAN * speed) / (law + 1)
    return friction


def smooth_speed(friction_velocity: float, height: float, viscosity: float) -> float:
    """Speed at a height above a smooth bed [m/s]: the inverse of smooth_friction_velocity."""
    reduced = friction_velocity * height / viscosity
    return friction_velocity * (reduced if reduced <= SUBLAYER else log(SMOOTH * reduced) / VON_KARMAN)
