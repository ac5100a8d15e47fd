"""What can be seen, or read with the machine locked out: physical parameters by the names faults change.

Each function takes the machine's parameters by name and answers what an eye or a bench instrument makes of
them. None knows what a fault is; two faults that change the same thing are seen alike.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from simulator.components.motor import MotorSpec
from simulator.units import convert

Parameter = float | str | bool

# What an eye can tell; common practice, no source.
DUSTING_SLIP = 3.0  # belt slip that leaves dust and glaze [%]
CORD_RESISTANCE = 0.05  # added loop resistance of the shortest cord one would notice [ohm]
DIRTY_ELEMENT = 0.7  # free area of a filter element that looks dusty [-]
SUCKED_IN_ELEMENT = 0.12  # the same, drawn inwards [-]
DIRTY_FINS = 0.85  # of clean cooling [-]
LINT_IN_MOTOR = 0.8  # of clean cooling [-]
STOPPED_UP = 0.15  # free area of a breather that looks stopped up [-]
TIGHT_PUMP = 1.6  # friction that a hand feels [-]
RUMBLING_BEARING = 1.7  # friction of a motor's bearings that is heard and felt [-]
# Deflection of a belt over its rule, for each percent of slip beyond a sound belt's one percent. A belt that
# slips five percent deflects about half as much again as it should. Common practice, no source.
DEFLECTION_PER_SLIP = 0.12
STRAIGHTEDGE = 0.3  # length along which the gap is read [m]
# A motor fitted for its amperes alone has far less power than the machine asks for; a plate so near to the
# machine's is taken for the same size. Common practice, no source.
SAME_SIZE = 0.9
SNUBBED_LAG = 40.0  # of a needle behind a choked snubber [s]
UNBALANCED_WINDING_SHARE = 0.5  # of a shorted phase's loss that shows between two lines [-]


def number(parameters: Mapping[str, Parameter], name: str) -> float:
    """Look up a parameter that is a number. [unit of its name]"""
    return float(parameters[name])


def state(parameters: Mapping[str, Parameter], name: str) -> str:
    """Look up a parameter that is a state."""
    return str(parameters[name])


# -- supply and motor ------------------------------------------------------------------------------------


def has_cord(parameters: Mapping[str, Parameter]) -> bool:
    """Whether a long, light cord lies between the machine and the supply."""
    return number(parameters, "supply.extra_ohm") > CORD_RESISTANCE


def vents_are_blocked(parameters: Mapping[str, Parameter]) -> bool:
    """Whether lint chokes the motor's air slots."""
    return number(parameters, "motor.cooling_factor") < LINT_IN_MOTOR


def straps(parameters: Mapping[str, Parameter]) -> str:
    """How the straps in the motor's terminal box stand: matched, low_on_high or high_on_low."""
    return state(parameters, "motor.connection")


def motor_fits(parameters: Mapping[str, Parameter]) -> bool:
    """Whether frame, shaft and key of the motor are those the base and the sheave were made for."""
    return state(parameters, "motor.fit") == "ok"


def motor_rumbles(parameters: Mapping[str, Parameter]) -> bool:
    """Whether the motor's own bearings are heard."""
    return number(parameters, "motor.friction_factor") > RUMBLING_BEARING


def turns_against_arrow(parameters: Mapping[str, Parameter]) -> bool:
    """Whether the motor turns the other way than the arrow on the flywheel."""
    return state(parameters, "motor.rotation") == "reverse"


@dataclass(frozen=True)
class MotorPlate:
    """What stands on the plate of the motor that is fitted.

    Parameters
    ----------
    power, voltage, current, speed_rpm : float
        [W], [V], [A], [rpm]
    """

    power: float
    voltage: float
    current: float
    speed_rpm: float


def motor_plate(parameters: Mapping[str, Parameter], motor: MotorSpec) -> MotorPlate:
    """Plate of the motor that is fitted, which may not be the one the machine was built with.

    Parameters
    ----------
    parameters : mapping
        Physical parameters by name.
    motor : MotorSpec
        The motor the machine was built with.

    Returns
    -------
    MotorPlate
        A smaller motor shows the same amperes at half the volts, as when it was matched by amperes alone; one
        of other poles the speed that goes with them.
    """
    size = number(parameters, "motor.size_factor")
    smaller = size < SAME_SIZE
    speed = motor.rated_speed_rpm
    if state(parameters, "motor.poles") == "swapped":
        speed *= motor.other_poles_speed
    return MotorPlate(
        motor.rated_power * size,
        motor.rated_voltage * (0.5 if smaller else 1.0),
        motor.full_load_current,
        speed,
    )


def winding_ohms(parameters: Mapping[str, Parameter], motor: MotorSpec) -> tuple[float, ...]:
    """Resistances of the disconnected windings, put to 20 °C.

    Parameters
    ----------
    parameters : mapping
        Physical parameters by name.
    motor : MotorSpec
        The motor the machine was built with.

    Returns
    -------
    tuple of float
        Main winding and start circuit with its switch at rest, or the three from line to line; infinite where
        the circuit is open. [ohm]

    References
    ----------
    Turns that are shorted drop out of the winding's length: resistance falls in proportion. Two phases in series
    lie between two lines of a star, so half of it shows there.
    """
    left = 1.0 - number(parameters, "motor.shorted_turns_pct") / 100.0
    if motor.kind == "single-phase":
        is_open = state(parameters, "motor.start_switch") == "stuck_open"
        start = math.inf if is_open else motor.start_winding_resistance
        return motor.main_winding_resistance * left, start
    shared = 1.0 - (1.0 - left) * UNBALANCED_WINDING_SHARE
    return tuple(motor.main_winding_resistance * share for share in (shared, shared, 1.0))


def insulation(parameters: Mapping[str, Parameter]) -> float:
    """Insulation of the disconnected winding to the frame. [ohm]"""
    return number(parameters, "motor.insulation_Mohm") * 1e6


def overload_setting(parameters: Mapping[str, Parameter], motor: MotorSpec) -> float:
    """Current for which the overload or protector is set or marked; infinite when it is bridged. [A]"""
    if state(parameters, "switch.wiring") == "overload_bypassed":
        return math.inf
    return motor.full_load_current * number(parameters, "motor.trip_factor")


def switch_conducts(parameters: Mapping[str, Parameter]) -> bool:
    """Whether the pressure switch's contacts meet when its lever has snapped to ON."""
    return state(parameters, "switch.state") != "open"


def idle_volts(parameters: Mapping[str, Parameter], mean: float, *, three_phase: bool) -> tuple[float, ...]:
    """Volts at the disconnect with the motor off.

    Parameters
    ----------
    parameters : mapping
        Physical parameters by name.
    mean : float
        What the supply gives there, as a mean between its lines. [V]
    three_phase : bool
        Whether there are three lines to compare.

    Returns
    -------
    tuple of float
        Between the lines, one or three. [V]
    """
    if not three_phase:
        return (mean,)
    if state(parameters, "supply.phase_open") == "yes":
        return mean, 0.0, 0.0
    worst = number(parameters, "supply.unbalance_pct") / 100.0
    return mean * (1.0 + worst), mean * (1.0 - worst / 2.0), mean * (1.0 - worst / 2.0)


def is_open(parameters: Mapping[str, Parameter], place: str) -> bool:
    """Whether a contact that should be closed stands open, with the pressure low and the lever at ON.

    Parameters
    ----------
    parameters : mapping
        Physical parameters by name.
    place : str
        "switch", "starter" or another where there is no contact.

    Returns
    -------
    bool
        A starter whose coil gets nothing or is open itself does not close.
    """
    if place == "starter":
        return not switch_conducts(parameters) or state(parameters, "starter.state") == "coil_open"
    return place == "switch" and not switch_conducts(parameters)


def legs_through_open_switch(parameters: Mapping[str, Parameter]) -> str:
    """What goes through the pressure switch with its lever at OFF: none, one or all."""
    if state(parameters, "switch.state") == "welded":
        return "all"
    return "one" if state(parameters, "switch.wiring") == "one_leg_direct" else "none"


# -- drive -----------------------------------------------------------------------------------------------


def belt_is_dusty(parameters: Mapping[str, Parameter]) -> bool:
    """Whether slipping has left black dust and glazed the belt."""
    return number(parameters, "drive.slip_pct") > DUSTING_SLIP


def hub_is_rusty(parameters: Mapping[str, Parameter]) -> bool:
    """Whether a hub that works on its key has ground out rust-red dust."""
    return state(parameters, "drive.key_state") == "loose"


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


def straightedge_gap(parameters: Mapping[str, Parameter]) -> float:
    """Widest gap under a straightedge laid over both sheaves' faces. [m]"""
    return STRAIGHTEDGE * math.tan(math.radians(number(parameters, "drive.misalign_deg")))


# -- pump, pipes and receiver ----------------------------------------------------------------------------


def element_looks(parameters: Mapping[str, Parameter]) -> str:
    """How the filter element looks: clean, dusty or sucked-in."""
    free = number(parameters, "intake.area_factor")
    if free < SUCKED_IN_ELEMENT:
        return "sucked-in"
    return "dusty" if free < DIRTY_ELEMENT else "clean"


def fins_are_dirty(parameters: Mapping[str, Parameter]) -> bool:
    """Whether dust lies thick on the fins."""
    return number(parameters, "cooling.surface_factor") < DIRTY_FINS


def breather_is_stopped_up(parameters: Mapping[str, Parameter]) -> bool:
    """Whether something stops the breather: a bolt, tape, paint or sludge."""
    return number(parameters, "crankcase.breather_area_factor") < STOPPED_UP


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


def tube_starts_at_receiver(parameters: Mapping[str, Parameter]) -> bool:
    """Whether the unloader's tube was run to a port of the receiver."""
    return state(parameters, "unloader.tube_side") == "tank"


def stop_valve(parameters: Mapping[str, Parameter]) -> str:
    """What hand valve sits in the head line: none, open or closed."""
    return state(parameters, "headline.stop_valve")


def relief_is_fitted(parameters: Mapping[str, Parameter]) -> bool:
    """Whether a relief valve sits in the receiver's relief port, and not a plug."""
    return state(parameters, "relief.tank.state") != "plugged"


def relief_tag(parameters: Mapping[str, Parameter], set_pressure: float) -> float:
    """Set pressure on the tag of the receiver's relief valve.

    Parameters
    ----------
    parameters : mapping
        Physical parameters by name.
    set_pressure : float
        Of the valve the machine was built with, gauge. [Pa]

    Returns
    -------
    float
        Gauge; of a valve off another machine its own figure. One that has drifted still carries the right tag. [Pa]
    """
    if state(parameters, "relief.tank.state") != "wrong_high":
        return set_pressure
    return set_pressure + convert(number(parameters, "relief.tank.set_offset_psi"), "psi", "Pa")


def shell_is_patched(parameters: Mapping[str, Parameter]) -> bool:
    """Whether somebody has welded, brazed, glued or plugged the shell."""
    return state(parameters, "receiver.shell_repair") == "yes"


def line_is_plastic(parameters: Mapping[str, Parameter]) -> bool:
    """Whether the shop line is plastic water pipe."""
    return state(parameters, "pipe.material") == "plastic"


# -- receiver gauge --------------------------------------------------------------------------------------


def receiver_gauge(
    parameters: Mapping[str, Parameter], times: np.ndarray, pressures: np.ndarray, stuck_at: float
) -> np.ndarray:
    """What the gauge fitted on the receiver shows, by its own state, before anybody reads it.

    Parameters
    ----------
    parameters : mapping
        Physical parameters by name.
    times : numpy.ndarray
        Rising, shape (samples,). [s]
    pressures : numpy.ndarray
        True pressure in the receiver, gauge, shape (samples,). [Pa]
    stuck_at : float
        Where a needle that no longer moves has stopped. [Pa]

    Returns
    -------
    numpy.ndarray
        Shape (samples,); a needle rests on its pin and shows nothing below it. [Pa]
    """
    match state(parameters, "gauge.tank.state"):
        case "stuck":
            return np.full(np.shape(pressures), stuck_at)
        case "snubbed":
            pressures = _lagging(times, pressures)
    offset = convert(number(parameters, "gauge.tank.offset_psi"), "psi", "Pa")
    return np.maximum(np.asarray(pressures) + offset, 0.0)


def _lagging(times: np.ndarray, pressures: np.ndarray) -> np.ndarray:
    """Follow the pressure as a needle does behind a choked snubber: first order."""
    shown = np.array(pressures, dtype=float)
    for i in range(1, len(shown)):
        left = math.exp(-(times[i] - times[i - 1]) / SNUBBED_LAG)
        shown[i] = pressures[i] + (shown[i - 1] - pressures[i]) * left
    return shown
