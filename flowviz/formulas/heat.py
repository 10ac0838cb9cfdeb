"""Heat that pumps leave in the water."""


def warming(power: float, density: float, heat_capacity: float, volume: float) -> float:
    """How fast water that loses nothing warms [K/s], P/(ρ c V).

    power into the water [W], density [kg/m³], heat_capacity [J/(kg K)], volume [m³]; first law of thermodynamics.
    """
    return power / (density * heat_capacity * volume)


def rise_in_pump(shaft_power: float, efficiency: float, flow: float, density: float, heat_capacity: float) -> float:
    """How much warmer water leaves a pump than it enters [K], P (1 - η)/(ρ c Q).

    shaft_power [W], efficiency of the pump alone η [-], flow [m³/s], density [kg/m³], heat_capacity [J/(kg K)]

    What the pump does not turn into head it turns into heat; the head becomes heat further on. First law.
    """
    return shaft_power * (1 - efficiency) / (density * heat_capacity * flow)
