"""What can be seen, or read with the machine locked out: physical parameters by the names faults change.

Each function takes the machine's parameters by name and answers what an eye or a bench instrument makes of
them. None knows what a fault is; two faults that change the same thing are seen alike.
"""

from collections.abc import Mapping

Parameter = float | str | bool

# What an eye can tell; common practice, no source.
DUSTING_SLIP = 3.0  # belt slip that leaves dust and glaze [%]
CORD_RESISTANCE = 0.05  # added loop resistance of the shortest cord one would notice [ohm]
DIRTY_ELEMENT = 0.7  # free area of a filter element that looks dusty [-]
SUCKED_IN_ELEMENT = 0.12  # the same, drawn inwards [-]
DIRTY_FINS = 0.85  # of clean cooling [-]
LINT_IN_MOTOR = 0.8  # of clean cooling [-]
TIGHT_PUMP = 1.6  # friction that a hand feels [-]
# Deflection of a belt over its rule, for each percent of slip beyond a sound belt's one percent. A belt that
# slips five percent deflects about half as much again as it should. Common practice, no source.
DEFLECTION_PER_SLIP = 0.12


def number(parameters: Mapping[str, Parameter], name: str) -> float:
    """Look up a parameter that is a number. [unit of its name]"""
    return float(parameters[name])


def has_cord(parameters: Mapping[str, Parameter]) -> bool:
    """Whether a long, light cord lies between the machine and the supply."""
    return number(parameters, "supply.extra_ohm") > CORD_RESISTANCE


def belt_is_dusty(parameters: Mapping[str, Parameter]) -> bool:
    """Whether slipping has left black dust and glazed the belt."""
    return number(parameters, "drive.slip_pct") > DUSTING_SLIP


def element_looks(parameters: Mapping[str, Parameter]) -> str:
    """How the filter element looks: clean, dusty or sucked-in."""
    free = number(parameters, "intake.area_factor")
    if free < SUCKED_IN_ELEMENT:
        return "sucked-in"
    return "dusty" if free < DIRTY_ELEMENT else "clean"


def fins_are_dirty(parameters: Mapping[str, Parameter]) -> bool:
    """Whether dust lies thick on the fins."""
    return number(parameters, "cooling.surface_factor") < DIRTY_FINS


def vents_are_blocked(parameters: Mapping[str, Parameter]) -> bool:
    """Whether lint chokes the motor's air slots."""
    return number(parameters, "motor.cooling_factor") < LINT_IN_MOTOR


def straps(parameters: Mapping[str, Parameter]) -> str:
    """How the straps in the motor's terminal box stand: matched, low_on_high or high_on_low."""
    return str(parameters["motor.connection"])


def belt_deflection(parameters: Mapping[str, Parameter], rule: float) -> float:
    """Deflection of the belt at mid-span under the section's force.

    Parameters
    ----------
    parameters : mapping
        Physical parameters by name.
    rule : float
        Deflection of a belt at its right tension. [m]

    Returns
    -------
    float
        [m]

    References
    ----------
    Common practice, no source.
    """
    slack = max(number(parameters, "drive.slip_pct") - 1.0, 0.0)
    return rule * (1.0 + DEFLECTION_PER_SLIP * slack)


def pump_is_tight(parameters: Mapping[str, Parameter]) -> bool:
    """Whether the pump feels tight when turned by hand."""
    return number(parameters, "pump.friction_factor") > TIGHT_PUMP


def tube_area(parameters: Mapping[str, Parameter], bore_area: float) -> float:
    """Flow area left in the unloader's tube.

    Parameters
    ----------
    parameters : mapping
        Physical parameters by name.
    bore_area : float
        Of a clean tube. [m²]

    Returns
    -------
    float
        [m²]
    """
    return bore_area * number(parameters, "unloader.tube_area_factor")
