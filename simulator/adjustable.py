"""What may be changed about a rig: named parameters with healthy value, limits and how several faults add up."""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from simulator.components.spec import nearest
from simulator.faults import Fault, Injected, Value, check_injected
from simulator.rig import Rig


class BadParameter(ValueError):
    """A parameter that is not known, or a value it cannot have."""


@dataclass(frozen=True)
class Adjustable:
    """A parameter that faults and instructors may change: healthy value and limits, in the unit of its name."""

    healthy: Value
    low: float = 0.0
    high: float = math.inf
    combine: str = "replace"  # how several faults add up: areas | factor | offset | replace
    per_cylinder: bool = False
    states: tuple[str, ...] = ()


ADJUSTABLE: dict[str, Adjustable] = {
    "pump.ring_leak_d_mm": Adjustable(0.25, per_cylinder=True, high=25.0, combine="areas"),
    "pump.intake_valve_leak_d_mm": Adjustable(0.1, per_cylinder=True, high=25.0, combine="areas"),
    "pump.discharge_valve_leak_d_mm": Adjustable(0.1, per_cylinder=True, high=25.0, combine="areas"),
    "pump.friction_factor": Adjustable(1.0, low=0.2, high=10.0, combine="factor"),
    "intake.area_factor": Adjustable(1.0, low=0.01, high=1.5, combine="factor"),
    "cooling.ambient_c": Adjustable(20.0, low=-30.0, high=60.0),
    "cooling.altitude_m": Adjustable(0.0, low=-400.0, high=4500.0),
    "cooling.surface_factor": Adjustable(1.0, low=0.05, high=1.5, combine="factor"),
    "headline.leak_d_mm": Adjustable(0.0, high=25.0, combine="areas"),
    # A sound soft-seated valve holds a head charged by a dead unloader at nearly nothing by the morning, as the
    # trade reports; that asks for a tighter seat than the leak which a careful hand can just find.
    "check.reverse_ratio": Adjustable(5e-7, high=1.0, combine="offset"),
    "unloader.open_fraction": Adjustable(1.0, high=1.0, combine="factor"),
    "unloader.running_leak_d_mm": Adjustable(0.0, high=25.0, combine="areas"),
    "unloader.tube_area_factor": Adjustable(1.0, high=1.0, combine="factor"),
    "switch.cut_in_offset_psi": Adjustable(0.0, low=-60.0, high=60.0, combine="offset"),
    "switch.cut_out_offset_psi": Adjustable(0.0, low=-60.0, high=60.0, combine="offset"),
    "switch.contact_ohm": Adjustable(0.005, high=10.0, combine="offset"),
    "switch.body_leak_d_mm": Adjustable(0.0, high=25.0, combine="areas"),
    "receiver.leak_d_mm": Adjustable(0.04, high=25.0, combine="areas"),
    "receiver.water_fraction": Adjustable(0.001, high=0.95),
    "receiver.drain_leak_d_mm": Adjustable(0.0, high=25.0, combine="areas"),
    "relief.tank.leak_d_mm": Adjustable(0.0, high=25.0, combine="areas"),
    "relief.tank.set_offset_psi": Adjustable(0.0, low=-100.0, high=200.0, combine="offset"),
    "outlet.downstream_leak_d_mm": Adjustable(0.0, high=25.0, combine="areas"),
    "outlet.demand_fad_fraction": Adjustable(0.3, high=5.0),
    "supply.volts_factor": Adjustable(1.0, low=0.3, high=1.3, combine="factor"),
    "supply.extra_ohm": Adjustable(0.0, high=20.0, combine="offset"),
    "motor.start_cap_factor": Adjustable(1.0, high=2.0, combine="factor"),
    "motor.cooling_factor": Adjustable(1.0, low=0.05, high=2.0, combine="factor"),
    "motor.trip_factor": Adjustable(1.0, low=0.3, high=10.0, combine="factor"),
    "motor.connection": Adjustable("matched", states=("matched", "low_on_high", "high_on_low")),
    "drive.slip_pct": Adjustable(1.0, high=95.0),
}
Values = dict[str, Value]


def _check_value(name: str, value: Value) -> Value:
    known = ADJUSTABLE[name]
    if known.states:
        if value not in known.states:
            raise BadParameter(f"{name} cannot be '{value}'. It is one of: {', '.join(known.states)}.")
        return value
    if isinstance(value, bool | str) or not known.low <= value <= known.high:
        raise BadParameter(f"{name} = {value} is outside {known.low:g} to {known.high:g}.")
    return float(value)


def healthy_values(rig: Rig) -> Values:
    """Every adjustable parameter of a healthy machine; per-cylinder ones once for each cylinder.

    Parameters
    ----------
    rig : Rig
        The rig.

    Returns
    -------
    dict
        Value by name; "name@cyl1" for a cylinder's own.
    """
    values: Values = {}
    for name, known in ADJUSTABLE.items():
        if known.per_cylinder:
            values.update({f"{name}@{cylinder.slug}": known.healthy for cylinder in rig.pump.cylinders})
        else:
            values[name] = known.healthy
    return values


def _combined(name: str, old: Value, new: Value) -> Value:
    """Put a fault's value on top of what is there: leaks on one path add their areas."""
    known = ADJUSTABLE[name]
    if isinstance(old, str) or isinstance(new, str) or old == known.healthy:
        return new
    match known.combine:
        case "areas":
            return math.hypot(float(old), float(new))
        case "factor":
            return float(old) * float(new)
        case "offset":
            return float(old) + float(new) - float(known.healthy)
    return new


def fault_values(rig: Rig, catalogue: Mapping[str, Fault], injected: Iterable[Injected]) -> Values:
    """Adjustable parameters with faults put in.

    Parameters
    ----------
    rig : Rig
        The rig.
    catalogue : mapping
        Faults by slug.
    injected : iterable of Injected
        Faults to put in.

    Returns
    -------
    dict
        Value by name, see `healthy_values`.

    Raises
    ------
    BadFault
        For a fault this rig cannot have.
    BadParameter
        For an effect on a parameter that is not known or out of its range.
    """
    injected = tuple(injected)
    check_injected(catalogue, rig.slug, injected)
    values = healthy_values(rig)
    for one in injected:
        for effect in catalogue[one.fault].effects:
            set_value(rig, values, effect.parameter, effect.at(one.severity), one.location)
    return values


def set_value(rig: Rig, values: Values, name: str, value: Value, location: str | None = None) -> None:
    """Put one value on top of what is there.

    Parameters
    ----------
    rig : Rig
        The rig.
    values : dict
        Changed in place.
    name : str
        Of the parameter; "name@cyl1" for one cylinder.
    value : float or str
        In the unit the name says.
    location : str, optional
        A cylinder; all cylinders if left out.

    Raises
    ------
    BadParameter
        For an unknown name or a value out of range.
    """
    plain, _, at = name.partition("@")
    if plain not in ADJUSTABLE:
        raise BadParameter(f"No parameter is called '{plain}'.{nearest(plain, set(ADJUSTABLE))}")
    value = _check_value(plain, value)
    location = at or location
    if not ADJUSTABLE[plain].per_cylinder:
        values[plain] = _combined(plain, values[plain], value)
        return
    cylinders = [cylinder.slug for cylinder in rig.pump.cylinders if location in (None, cylinder.slug)]
    if not cylinders:
        raise BadParameter(f"'{location}' is no cylinder of {rig.slug}.")
    for slug in cylinders:
        values[f"{plain}@{slug}"] = _combined(plain, values[f"{plain}@{slug}"], value)
