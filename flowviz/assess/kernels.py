"""Loops of the measures over cells of the bed."""

from numba import njit

from flowviz.formulas import sediment

kernel = njit(cache=True)
part = njit(cache=True, no_cpython_wrapper=True, no_cfunc_wrapper=True)  # called from kernels only
rough_friction_velocity, rough_speed = part(sediment.rough_friction_velocity), part(sediment.rough_speed)
smooth_friction_velocity, smooth_speed = part(sediment.smooth_friction_velocity), part(sediment.smooth_speed)


@kernel
def over_sand(speed, height, reference, grain, friction, there):
    """Write the friction velocity over sand, and the speed at a reference height above it (n,) [m/s].

    speed, height   time-mean speed (n,) [m/s] and how far above the bed it is [m]
    reference       height [m]
    grain           median diameter [m]
    """
    for n in range(len(speed)):
        friction[n] = rough_friction_velocity(speed[n], height, grain)
        there[n] = rough_speed(friction[n], reference, grain)


@kernel
def over_glass(speed, height, reference, viscosity, friction, there):
    """Write the friction velocity over a smooth floor, and the speed at a reference height above it (n,) [m/s].

    viscosity       of the water [m²/s]; the rest as in over_sand
    """
    for n in range(len(speed)):
        friction[n] = smooth_friction_velocity(speed[n], height, viscosity)
        there[n] = smooth_speed(friction[n], reference, viscosity)
