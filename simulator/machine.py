"""A rig with its faults put in: every physical parameter the engine needs, as one tuple of tuples."""

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from simulator.adjustable import Values, fault_values
from simulator.assembly import air_end, air_side, power
from simulator.assembly.reader import Reader
from simulator.components.check_valve import CheckValveParameters
from simulator.components.drive import DriveParameters
from simulator.components.head_line import HeadLineParameters
from simulator.components.intake import IntakeParameters
from simulator.components.motor import MotorParameters
from simulator.components.outlet import OutletParameters
from simulator.components.pressure_switch import PressureSwitchParameters
from simulator.components.pump import PumpParameters
from simulator.components.receiver import ReceiverParameters
from simulator.components.relief_valve import ReliefValveParameters
from simulator.components.supply import SupplyParameters
from simulator.components.unloader import UnloaderParameters
from simulator.faults import Fault, Injected
from simulator.rig import Rig


class Parameters(NamedTuple):
    """Everything the engine needs to know of one machine, faults included."""

    pump: PumpParameters
    drive: DriveParameters
    motor: MotorParameters
    supply: SupplyParameters
    switch: PressureSwitchParameters
    unloader: UnloaderParameters
    head_line: HeadLineParameters
    check_valve: CheckValveParameters
    receiver: ReceiverParameters
    relief: ReliefValveParameters
    interstage_relief: ReliefValveParameters
    head_relief: ReliefValveParameters
    outlet: OutletParameters
    intake: IntakeParameters


def parameters(rig: Rig, catalogue: Mapping[str, Fault], injected: Iterable[Injected] = ()) -> Parameters:
    """Every physical parameter of a rig with faults put in.

    Parameters
    ----------
    rig : Rig
        The rig.
    catalogue : mapping
        Faults by slug.
    injected : iterable of Injected
        Faults to put in; none for a healthy machine.

    Returns
    -------
    NamedTuple
        Every physical parameter, SI.

    Raises
    ------
    BadFault, BadParameter
        See `fault_values`.
    """
    return from_values(rig, fault_values(rig, catalogue, injected))


def from_values(rig: Rig, values: Values) -> Parameters:
    """Every physical parameter of a rig from its adjustable values.

    Parameters
    ----------
    rig : Rig
        The rig.
    values : dict
        See `healthy_values`.

    Returns
    -------
    NamedTuple
        Every physical parameter, SI.
    """
    v = Reader(values)
    return Parameters(
        pump=air_end.pump(rig, v),
        drive=air_end.drive(rig, v),
        motor=power.motor(rig, v),
        supply=power.supply(rig, v),
        switch=power.switch(rig, v),
        unloader=air_side.unloader(rig, v),
        head_line=air_side.head_line(rig, v),
        check_valve=air_side.check_valve(rig, v),
        receiver=air_side.receiver(rig, v),
        relief=air_side.tank_relief(rig, v),
        interstage_relief=air_side.relief(rig.interstage_relief, v.leak("relief.interstage.leak_d_mm")),
        head_relief=air_side.relief(rig.head_relief, 0.0),
        outlet=air_side.outlet(rig, v),
        intake=air_side.intake(rig, v),
    )
