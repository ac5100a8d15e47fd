"""Does this check valve suit the pump and the receiver: its way, its threads, its side port, its direction?"""

from __future__ import annotations

from simulator import air, flow, units
from simulator.replacement.check_valve_plates import (
    CHECK_LINES,
    CHECK_PLACE_LINES,
    CheckValvePlace,
    CheckValvePlate,
    read_check_valve,
    read_check_valve_place,
)
from simulator.replacement.comparing import BLANK, below, figures, shown
from simulator.replacement.part_rules import PartRule, part_rule
from simulator.replacement.tables import words
from simulator.replacement.threads import goes_into
from simulator.replacement.verdict import Judgement, Reason, judge

__all__ = [
    "CheckValvePlace",
    "CheckValvePlate",
    "judge_check_valve",
    "least_bore",
    "parts_card",
    "pressure_drop",
    "read_check_valve",
    "read_check_valve_place",
]
CAUTIONS = (
    "The valve is in the pressure boundary: make safe, drain open and blowing stopped, gauge at zero, head line vented, before it is unscrewed. The head line burns.",
    "Find the carbon, tape or rust that killed the old one, and leave none of it in the head line.",
    "Sealant on the tank thread only, first two threads bare; none on compression or flare seats.",
    "After fitting: blow through it by hand before it goes in, once each way; then time the receiver's fall with the outlet shut.",
)


def pressure_drop(
    mass_flow: float, flow_area: float, upstream_temperature: float, downstream_pressure: float
) -> float:
    """Pressure that an opening takes from a flow of air.

    Parameters
    ----------
    mass_flow : float
        [kg/s]
    flow_area : float
        Area times discharge coefficient. [m²]
    upstream_temperature : float
        [K]
    downstream_pressure : float
        Absolute. [Pa]

    Returns
    -------
    float
        [Pa]

    References
    ----------
    Nozzle law of `simulator.flow.orifice_mass_flow`, turned round by halving.

    Examples
    --------
    >>> round(pressure_drop(0.0058, 0.8 * 70.9e-6, 423.15, 756_000.0))
    840
    """
    low, high = downstream_pressure, 2.0 * downstream_pressure
    while flow.orifice_mass_flow(flow_area, high, upstream_temperature, downstream_pressure) < mass_flow:
        low, high = high, 2.0 * high
    for _ in range(60):
        middle = 0.5 * (low + high)
        if flow.orifice_mass_flow(flow_area, middle, upstream_temperature, downstream_pressure) < mass_flow:
            low = middle
        else:
            high = middle
    return high - downstream_pressure


def judge_check_valve(new: CheckValvePlate, place: CheckValvePlace, system: units.System = "us") -> Judgement:
    """Judge a check valve for a machine.

    Parameters
    ----------
    new : CheckValvePlate
        The valve that is to be fitted.
    place : CheckValvePlace
        The machine.
    system : str
        Units of the parts card, "us" or "metric"; never of the verdict.

    Returns
    -------
    Judgement
        With every reason, the most dangerous first.
    """
    reasons = [
        _direction(new),
        _pressure(new, place),
        _temperature(new, place),
        _medium(new),
        _side_port(new, place),
        _area(new, place),
        _inlet(new, place),
        _tank_thread(new, place),
    ]
    return judge("check-valve", reasons, parts_card(place, system), CAUTIONS)


def _direction(new: CheckValvePlate) -> Reason:
    rule = part_rule("check-direction")
    if new.direction is None:
        return rule.asks("Which way it will sit is not known.", CHECK_LINES["direction"].look)
    if new.direction == "to-pump":
        return rule.warns(
            "It would sit the wrong way round: the pump works against a shut door until something gives."
        )
    return rule.fits("Its arrow points to the receiver.")


def _pressure(new: CheckValvePlate, place: CheckValvePlace) -> Reason:
    rule = part_rule("check-pressure")
    known = figures(
        ("rated", new.pressure, "gauge_pressure"), ("highest allowed", place.mawp, "gauge_pressure")
    )
    if new.pressure is None or place.mawp is None:
        look = CHECK_LINES["pressure"].look if new.pressure is None else CHECK_PLACE_LINES["mawp"].look
        return rule.asks("Its rated pressure and that of the vessel are not both known.", look, *known)
    if below(new.pressure, place.mawp):
        return rule.warns("It is not rated for what the vessel may reach.", *known)
    return rule.fits("It is rated for what the vessel may reach.", *known)


def _temperature(new: CheckValvePlate, place: CheckValvePlace) -> Reason:
    rule = part_rule("check-temperature")
    known = figures(("rated", new.temperature, "temperature"), ("wanted", place.temperature, "temperature"))
    if new.temperature is None or place.temperature is None:
        look = (
            CHECK_LINES["temperature"].look
            if new.temperature is None
            else CHECK_PLACE_LINES["temperature"].look
        )
        return rule.asks("The heat that it bears and must bear is not both known.", look, *known)
    if below(new.temperature, place.temperature):
        return rule.refuses(
            "Its seat does not bear the air of the head line: it hardens or melts and leaks back.", *known
        )
    return rule.fits("Its seat bears the air of the head line.", *known)


def _medium(new: CheckValvePlate) -> Reason:
    rule = part_rule("check-medium")
    if new.medium is None:
        return rule.asks("It is not known what it is made for.", CHECK_LINES["medium"].look)
    if new.medium != "air":
        return rule.warns("It is made for something else than hot compressed air.")
    return rule.fits("It is made for compressed air.")


def _side_port(new: CheckValvePlate, place: CheckValvePlace) -> Reason:
    rule = part_rule("check-side-port")
    if place.side_port is None:
        return rule.asks(
            "It is not known whether the unloader tube joins at the valve.",
            CHECK_PLACE_LINES["side port"].look,
        )
    if new.side_port is None:
        return rule.asks(
            "It is not known whether it has a side port, and on which side of the disc.",
            CHECK_LINES["side port"].look,
        )
    return _needed_side_port(rule, new) if place.side_port == "yes" else _idle_side_port(rule, new)


def _idle_side_port(rule: PartRule, new: CheckValvePlate) -> Reason:
    if new.side_port == "none":
        return rule.fits("No side port is needed, and it has none.")
    return rule.changes(
        "It has a side port that this machine does not use.",
        "Plug the side port, gas-tight and rated for the pressure.",
    )


def _needed_side_port(rule: PartRule, new: CheckValvePlate) -> Reason:
    if new.side_port == "tank":
        return rule.refuses(
            "Its side port is on the tank's side of the disc: at every stop the receiver would empty through the unloader."
        )
    if new.side_port == "none":
        return rule.changes(
            "It has no side port for the unloader tube.",
            "Join the unloader tube by a tee in the head line, on the pump's side of the valve, rated for its heat.",
        )
    return rule.fits("Its side port is on the pump's side of the disc.")


def _area(new: CheckValvePlate, place: CheckValvePlace) -> Reason:
    rule = part_rule("check-area")
    if new.bore is None:
        return rule.asks("Its free diameter is not known.", CHECK_LINES["bore"].look)
    if place.free_air is None or place.free_air_empty is None or place.cut_in is None:
        return rule.asks(
            "The pump's free air at cut-in and into an empty receiver is not known.",
            CHECK_PLACE_LINES["free air"].look,
        )
    at_cut_in = (new.crack or 0.0) + _drop(new.bore, place.free_air, place.cut_in)
    when_empty = (new.crack or 0.0) + _drop(new.bore, place.free_air_empty, 0.0)
    known = figures(
        ("free diameter", new.bore, "small_length"),
        ("loss at cut-in", at_cut_in, "pressure_drop"),
        ("borne at cut-in", rule.limit("drop_at_cut_in"), "pressure_drop"),
        ("loss into an empty receiver", when_empty, "pressure_drop"),
        ("borne into an empty receiver", rule.limit("drop_when_empty"), "pressure_drop"),
    )
    if at_cut_in > rule.limit("drop_at_cut_in") or when_empty > rule.limit("drop_when_empty"):
        return rule.refuses(
            "It is too narrow for the pump's air: head and line stand higher and hotter at every stroke.",
            *known,
        )
    if new.crack is None:
        return rule.asks(
            "It is wide enough; the pressure that opens it is not known.", CHECK_LINES["crack"].look, *known
        )
    return rule.fits("It passes the pump's air with little loss.", *known)


def _drop(bore: float, free_air: float, receiver_gauge_pressure: float) -> float:
    """Loss at the disc, fully lifted, from the free air that passes it. [Pa]."""
    rule = part_rule("check-area")
    area = rule.limit("discharge_coefficient") * flow.disc_area(bore)
    mass_flow = free_air * air.FREE_AIR_DENSITY
    return pressure_drop(mass_flow, area, rule.limit("air"), air.STANDARD_PRESSURE + receiver_gauge_pressure)


def _inlet(new: CheckValvePlate, place: CheckValvePlace) -> Reason:
    rule = part_rule("check-inlet")
    if new.inlet is None or place.inlet is None:
        look = CHECK_LINES["inlet"].look if new.inlet is None else CHECK_PLACE_LINES["inlet"].look
        return rule.asks("How head line and inlet are joined is not known of both.", look)
    if new.inlet.kind == place.inlet.kind and abs(new.inlet.size - place.inlet.size) < 1e-3:
        return rule.fits("The head line goes into its inlet.")
    return rule.changes(
        f"Its inlet is {new.inlet.title}, the head line ends in {place.inlet.title}.",
        "Fit an adapter of full bore, metal, rated for the heat, or make a new end to the head line; never bend it to reach.",
    )


def _tank_thread(new: CheckValvePlate, place: CheckValvePlace) -> Reason:
    if new.form is not None and place.form is not None and new.form != place.form:
        forms = words("part_words", "check_form")
        return part_rule("check-tank-thread").changes(
            f"It {forms[new.form].title}; the old one {forms[place.form].title}.",
            "Fit a metal nipple of full bore, as short as can be, with nothing between valve and receiver that could be shut.",
        )
    return goes_into(part_rule("check-tank-thread"), new.tank_thread, place.tank_thread, adapted="smaller")


def parts_card(place: CheckValvePlace, system: units.System) -> list[str]:
    """Say what exactly to ask for."""
    form = words("part_words", "check_form")[place.form].title if place.form else BLANK
    return [
        f"Check valve for an air compressor, which {form}",
        f"For {shown(place.free_air_empty, 'air_flow', system)} of free air; free diameter at least {shown(least_bore(place), 'small_length', system)}",
        f"Inlet {place.inlet.title if place.inlet else BLANK}; tank thread {place.tank_thread.title if place.tank_thread else BLANK}",
        f"Side port for the unloader tube: {'on the pump side of the disc' if place.side_port == 'yes' else 'none' if place.side_port else BLANK}",
        f"Rated at least {shown(place.mawp, 'gauge_pressure', system)} and {shown(place.temperature, 'temperature', system)}; arrow to the receiver",
    ]


def least_bore(place: CheckValvePlace) -> float | None:
    """Smallest free diameter that passes the pump's air; none if that air is not known. [m]"""
    if place.free_air is None or place.free_air_empty is None or place.cut_in is None:
        return None
    rule = part_rule("check-area")
    low, high = 1e-4, 0.2
    for _ in range(50):
        middle = 0.5 * (low + high)
        narrow = _drop(middle, place.free_air, place.cut_in) > rule.limit("drop_at_cut_in") - rule.limit(
            "usual_crack"
        ) or _drop(middle, place.free_air_empty, 0.0) > rule.limit("drop_when_empty") - rule.limit(
            "usual_crack"
        )
        low, high = (middle, high) if narrow else (low, middle)
    return high
