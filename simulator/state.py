"""What a machine remembers, what stands in one of two positions, and where people have left levers and valves."""

from typing import NamedTuple


class State(NamedTuple):
    """What the machine remembers; the last seven are running totals for the balances."""

    receiver_mass: float  # air [kg]
    receiver_temperature: float  # [K]
    receiver_water: float  # vapour and liquid [kg]
    head_line_mass: float  # [kg]
    head_line_temperature: float  # [K]
    shop_line_mass: float  # [kg]
    motor_speed: float  # of motor or engine [rad/s]
    interstage_mass: float  # [kg]
    head_temperature_1: float  # first stage [K]
    head_temperature_2: float  # [K]
    head_temperature_3: float  # second stage [K]
    head_temperature_4: float  # [K]
    winding_temperature: float  # [K]
    protector_temperature: float  # [K]
    oil_pressure: float  # gauge [Pa]
    sensed_pressure: float  # behind the pressure switch's nipple, gauge [Pa]
    air_in: float  # drawn from the room since the start [kg]
    air_out: float  # lost to the room from everywhere [kg]
    electric_energy: float  # [J]
    shaft_energy: float  # given by motor or engine [J]
    pump_energy: float  # taken by the pump's crank [J]
    heat_out: float  # given to the room by metal, belts apart [J]
    enthalpy_out: float  # carried off by air warmer than the room [J]


STATES = len(State._fields)
CORE = 8  # these act on each other; heads, winding, protector, oil and switch follow them without acting back
ACTIVE = 16  # the running totals drive nothing


class Modes(NamedTuple):
    """What is in one of two positions until an event changes it; 1 or 0."""

    contacts_closed: float  # the pressure switch's lever has snapped to on; an engine's key is on
    protector_tripped: float
    start_switch_closed: float
    relief_open: float
    interstage_relief_open: float
    head_relief_open: float
    unloader_shut: float  # of those moved by oil, weights or pilot
    engine_running: float
    winding_burnt: float
    joint_lifting: float
    over_pressure: float  # the receiver stands above what its relief should allow


MODES = len(Modes._fields)


class Hands(NamedTuple):
    """Where people have left levers and valves; 1 or 0."""

    lever_on: float = 0.0
    isolator_closed: float = 1.0
    outlet_open: float = 0.0
    drain_open: float = 0.0
    head_vent_open: float = 0.0
    element_in: float = 1.0
    belt_on: float = 1.0
    ring_pulled: float = 0.0
    trigger_held: float = 0.0
    toggle_unloaded: float = 0.0
    leads_rolled: float = 0.0  # how many places every motor lead was moved round
