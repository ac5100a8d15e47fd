"""What may be changed about a rig: named parameters with healthy value, limits and how several faults add up."""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from simulator.components.spec import nearest
from simulator.faults import Fault, Injected, Value, check_injected
from simulator.fitted import FEATURES, has
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
    needs: str = ""  # what a rig must have for it, one of `simulator.fitted.FEATURES`


def _leak(healthy: float = 0.0, *, per_cylinder: bool = False, needs: str = "") -> Adjustable:
    return Adjustable(healthy, high=25.0, combine="areas", per_cylinder=per_cylinder, needs=needs)


def _factor(low: float = 0.0, high: float = 1.0, *, needs: str = "") -> Adjustable:
    return Adjustable(1.0, low=low, high=high, combine="factor", needs=needs)


def _offset(low: float, high: float, *, healthy: float = 0.0, needs: str = "") -> Adjustable:
    return Adjustable(healthy, low=low, high=high, combine="offset", needs=needs)


def _states(*states: str, per_cylinder: bool = False, needs: str = "") -> Adjustable:
    """One of several states, the first of which is the healthy one."""
    return Adjustable(states[0], states=states, per_cylinder=per_cylinder, needs=needs)


_REED_STATES = ("ok", "broken_open", "stuck_shut")

ADJUSTABLE: dict[str, Adjustable] = {
    "pump.ring_leak_d_mm": _leak(0.25, per_cylinder=True),
    "pump.intake_valve_leak_d_mm": _leak(0.1, per_cylinder=True),
    "pump.discharge_valve_leak_d_mm": _leak(0.1, per_cylinder=True),
    "pump.intake_valve_state": _states(*_REED_STATES, per_cylinder=True),
    "pump.discharge_valve_state": _states(*_REED_STATES, per_cylinder=True),
    "pump.valve_area_factor": _factor(0.2),
    "pump.head_gasket_inner_d_mm": _leak(per_cylinder=True),
    "pump.head_gasket_outer_d_mm": _leak(per_cylinder=True),
    "pump.friction_factor": _factor(0.2, 10.0),
    "pump.knock_level": Adjustable(0.0, high=3.0),
    "pump.locked": _states("no", "yes"),
    "intake.area_factor": _factor(0.01, 1.5),
    "intercooler.approach_c": Adjustable(18.0, low=1.0, high=150.0, needs="two-stage"),
    "intercooler.leak_d_mm": _leak(needs="two-stage"),
    "cooling.fan_factor": _factor(0.05, 1.5),
    "cooling.surface_factor": _factor(0.05, 1.5),
    "cooling.ambient_c": Adjustable(20.0, low=-30.0, high=60.0),
    "cooling.altitude_m": Adjustable(0.0, low=-400.0, high=4500.0),
    "headline.leak_d_mm": _leak(),
    "headline.area_factor": _factor(0.005),
    "headline.stop_valve": _states("none", "open", "closed"),
    # A sound soft-seated valve holds a head charged by a dead unloader at nearly nothing by the morning, as the
    # trade reports; that asks for a tighter seat than the leak which a careful hand can just find.
    "check.reverse_ratio": _offset(0.0, 1.0, healthy=5e-7),
    "check.state": _states("ok", "stuck_shut", "reversed", "missing"),
    "unloader.open_fraction": _factor(),
    "unloader.running_leak_d_mm": _leak(),
    "unloader.tube_area_factor": _factor(needs="unloader-tube"),
    "unloader.tube_leak_d_mm": _leak(needs="unloader-tube"),
    "unloader.tube_side": Adjustable("head", states=("head", "tank"), needs="unloader-tube"),
    "unloader.always_open": _states("no", "yes"),
    "pilot.unload_offset_psi": _offset(-60.0, 60.0, needs="pilot-unloader"),
    "pilot.reload_offset_psi": _offset(-60.0, 60.0, needs="pilot-unloader"),
    "pilot.state": Adjustable("ok", states=("ok", "never_unloads", "never_reloads"), needs="pilot-unloader"),
    "switch.cut_in_offset_psi": _offset(-60.0, 60.0, needs="electric"),
    "switch.cut_out_offset_psi": _offset(-60.0, 60.0, needs="electric"),
    "switch.contact_ohm": _offset(0.0, 10.0, healthy=0.005, needs="electric"),
    "switch.state": Adjustable("ok", states=("ok", "welded", "open"), needs="electric"),
    "switch.sense_area_factor": _factor(needs="electric"),
    "switch.body_leak_d_mm": _leak(needs="electric"),
    "switch.wiring": Adjustable("ok", states=("ok", "one_leg_direct", "overload_bypassed"), needs="electric"),
    "receiver.leak_d_mm": _leak(0.04),
    "receiver.water_fraction": Adjustable(0.001, high=0.95),
    "receiver.wall_mm": Adjustable(math.nan, low=0.1, high=30.0),  # healthy: the rig's own
    "receiver.shell_repair": _states("no", "yes"),
    "receiver.drain_leak_d_mm": _leak(),
    "relief.tank.leak_d_mm": _leak(),
    "relief.interstage.leak_d_mm": _leak(needs="two-stage"),
    "relief.tank.set_offset_psi": _offset(-100.0, 200.0),
    "relief.tank.state": _states("ok", "seized", "plugged", "wrong_high"),
    "outlet.regulator_creep_psi_min": Adjustable(0.0, high=500.0),
    "outlet.area_factor": _factor(0.005),
    "outlet.downstream_leak_d_mm": _leak(),
    "outlet.demand_fad_fraction": Adjustable(0.3, high=5.0),
    "supply.volts_factor": _factor(0.3, 1.3, needs="electric"),
    "supply.upstream_ohm": _offset(0.0, 20.0, needs="electric"),
    "supply.extra_ohm": _offset(0.0, 20.0, needs="electric"),
    "supply.joint_ohm": _offset(0.0, 20.0, needs="electric"),
    "supply.phase_open": Adjustable("no", states=("no", "yes"), needs="three-phase"),
    "supply.unbalance_pct": Adjustable(0.5, high=20.0, needs="three-phase"),
    "motor.start_cap_factor": _factor(0.0, 2.0, needs="capacitors"),
    "motor.run_cap_factor": _factor(0.0, 1.2, needs="run-capacitor"),
    "motor.start_switch": Adjustable("ok", states=("ok", "stuck_open", "stuck_closed"), needs="capacitors"),
    "motor.shorted_turns_pct": Adjustable(0.0, high=60.0, needs="electric"),
    "motor.insulation_Mohm": Adjustable(200.0, high=10_000.0, needs="electric"),
    "motor.friction_factor": _factor(0.5, 30.0),
    "motor.cooling_factor": _factor(0.05, 2.0, needs="electric"),
    "motor.size_factor": _factor(0.1, 3.0, needs="electric"),
    "motor.poles": Adjustable("matched", states=("matched", "swapped"), needs="electric"),
    "motor.connection": Adjustable(
        "matched", states=("matched", "low_on_high", "high_on_low"), needs="electric"
    ),
    "motor.rotation": Adjustable("forward", states=("forward", "reverse"), needs="electric"),
    "motor.trip_factor": _factor(0.3, 10.0, needs="electric"),
    "motor.fit": Adjustable("ok", states=("ok", "wrong_frame"), needs="electric"),
    "starter.state": Adjustable("ok", states=("ok", "coil_open", "contacts_worn"), needs="starter"),
    "drive.slip_pct": Adjustable(1.0, high=95.0, needs="belt"),
    "drive.misalign_deg": Adjustable(0.2, high=15.0, needs="belt"),
    "drive.ratio_factor": _factor(0.3, 3.0, needs="belt"),  # pump speed over what it should be
    "drive.key_state": _states("ok", "loose"),
    "lube.level_fraction": Adjustable(1.0, high=3.0, needs="oil"),
    "lube.grade": Adjustable("ok", states=("ok", "detergent", "thin", "thick"), needs="oil"),
    "lube.water_pct": Adjustable(0.0, high=60.0, needs="oil"),
    "lube.pressure_factor": _factor(0.0, 2.0, needs="oil-pressure-gauge"),
    "lube.carryover_factor": _factor(0.1, 50.0),
    "crankcase.breather_area_factor": _factor(needs="oil"),
    "gauge.tank.offset_psi": _offset(-60.0, 60.0),
    "gauge.tank.state": _states("ok", "stuck", "snubbed"),
    "pipe.material": _states("metal", "plastic"),
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
    values["receiver.wall_mm"] = rig.receiver.wall_new * 1000
    return values


def _combined(name: str, old: Value, new: Value) -> Value:
    """Put a fault's value on top of what is there: leaks on one path add their areas."""
    known = ADJUSTABLE[name]
    if known.states and known.healthy not in (old, new) and old != new:
        raise BadParameter(f"{name} cannot be '{old}' and '{new}' at once; leave one of the two faults out.")
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
        For an effect on a parameter that is not known, out of its range, or not to be had by this rig, and for
        two faults that contradict each other.
    """
    injected = tuple(injected)
    check_injected(catalogue, rig, injected)
    values = healthy_values(rig)
    for one in injected:
        fault = catalogue[one.fault]
        places = fault.cylinders_on(rig) if one.location is None else (one.location,)
        for effect in fault.effects:
            known = ADJUSTABLE.get(effect.parameter)
            for place in places if known and known.per_cylinder else (None,):
                set_value(rig, values, effect.parameter, effect.at(one.severity), place)
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
    needs = ADJUSTABLE[plain].needs
    if needs and not has(rig, needs):
        raise BadParameter(f"{plain} cannot be changed on {rig.slug}. {FEATURES[needs].lacking}")
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
