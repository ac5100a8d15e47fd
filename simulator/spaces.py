"""Pressures of the spaces that hold air, from what they hold."""

from simulator import air
from simulator.compiled import law
from simulator.components import receiver
from simulator.machine import Parameters
from simulator.state import State


@law
def liquid_in_receiver(state: State, p: Parameters) -> float:
    """Water standing at the bottom of the receiver.

    Parameters
    ----------
    state : State
        The machine's state.
    p : Parameters
        The machine.

    Returns
    -------
    float
        [kg]

    References
    ----------
    See `simulator.components.receiver.liquid_water`.
    """
    return receiver.liquid_water(
        p.receiver.volume, state.receiver_water, state.receiver_mass, state.receiver_temperature
    )


@law
def receiver_pressure(state: State, p: Parameters, liquid: float) -> float:
    """Absolute pressure of the receiver's air, above the water.

    Parameters
    ----------
    state : State
        The machine's state.
    p : Parameters
        The machine.
    liquid : float
        Water standing at the bottom. [kg]

    Returns
    -------
    float
        [Pa]

    References
    ----------
    Ideal gas law.
    """
    gas = p.receiver.volume - liquid / receiver.WATER_DENSITY
    return state.receiver_mass * air.GAS_CONSTANT * state.receiver_temperature / gas


@law
def head_pressure(state: State, p: Parameters) -> float:
    """Absolute pressure in the head line.

    Parameters
    ----------
    state : State
        The machine's state.
    p : Parameters
        The machine.

    Returns
    -------
    float
        [Pa]

    References
    ----------
    Ideal gas law.
    """
    return state.head_line_mass * air.GAS_CONSTANT * state.head_line_temperature / p.head_line.volume


@law
def interstage_pressure(state: State, p: Parameters) -> float:
    """Absolute pressure between the stages; the room's on a single-stage pump.

    Parameters
    ----------
    state : State
        The machine's state.
    p : Parameters
        The machine.

    Returns
    -------
    float
        [Pa]

    References
    ----------
    Ideal gas law.
    """
    return state.interstage_mass * air.GAS_CONSTANT * p.pump.interstage_temperature / p.pump.interstage_volume


@law
def pressures(state: State, p: Parameters) -> tuple[float, float, float]:
    """Absolute pressures in receiver, head line and shop line.

    Parameters
    ----------
    state : State
        The machine's state.
    p : Parameters
        The machine.

    Returns
    -------
    tuple of float
        [Pa]

    References
    ----------
    Ideal gas law.
    """
    return (
        receiver_pressure(state, p, liquid_in_receiver(state, p)),
        head_pressure(state, p),
        state.shop_line_mass * air.GAS_CONSTANT * p.intake.ambient_temperature / p.outlet.line_volume,
    )
