"""Branch circuits of motors: table current, conductor, breaker, overload, drop; the local code decides."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

from simulator import electric, units
from simulator.replacement.conductors import NotListed, smallest_conductor
from simulator.replacement.tables import table

DEFERS = (
    "These sums follow published tables and are no installation: the local code and a licensed electrician decide"
    " on wire, breaker and overload."
)
METRE_PER_KFT = 304.8


def horsepower(power: float) -> float:
    """Give the rating in horsepower that a power stands for, to the ladder of ratings.

    Parameters
    ----------
    power : float
        Rated power. [W]

    Returns
    -------
    float
        The listed horsepower where it is within 2 per cent, such as 3 for 2.2 kW; else the figure itself. [hp]

    Examples
    --------
    >>> horsepower(2200.0), horsepower(3728.5)
    (3.0, 5.0)
    """
    figure = units.convert(power, "W", "hp")
    near = min(_listed(), key=lambda one: abs(one - figure))
    allowance = float(table("motors")["power"]["conversion_allowance"])
    return near if abs(figure / near - 1.0) <= allowance else figure


def system_volts(volts: float) -> float:
    """Find the column of the current tables for a supply.

    Parameters
    ----------
    volts : float
        Supply or rated volts. [V]

    Returns
    -------
    float
        Heading of the column. [V]

    Raises
    ------
    NotListed
        If no column covers it, as for 400 V.

    References
    ----------
    NFPA 70 Tables 430.248 and 430.250, headings: 110 to 120, 200, 208, 220 to 240, 440 to 480 V.

    Examples
    --------
    >>> system_volts(240.0)
    230.0
    """
    for low, high, column in table("circuit")["currents"]["systems"]:
        if 0.975 * low <= volts <= 1.025 * high:
            return float(column)
    raise NotListed(f"{volts:g} V has no column in the tables (115, 200, 208, 230 and, three-phase, 460 V)")


def table_current(power: float, volts: float, phases: int) -> float:
    """Full-load current that conductors and breaker are chosen by.

    A power between two rows takes the larger row.

    Parameters
    ----------
    power : float
        Rated power. [W]
    volts : float
        Supply or rated volts. [V]
    phases : int
        1 or 3.

    Returns
    -------
    float
        [A]

    Raises
    ------
    NotListed
        For powers and volts that the tables do not hold.

    References
    ----------
    NFPA 70 Table 430.248 (single-phase) and 430.250 (three-phase).

    Examples
    --------
    >>> table_current(3728.5, 230.0, 1)
    28.0
    """
    currents = table("circuit")["currents"]
    name = "single_phase" if phases == 1 else "three_phase"
    columns = [float(one) for one in currents[f"{name}_volts"]]
    column = system_volts(volts)
    if column not in columns:
        raise NotListed(f"the {name.replace('_', '-')} table has no column for {volts:g} V")
    wanted = horsepower(power)
    for row in currents[name]:
        if row[0] >= wanted * (1 - 1e-9):
            amps = float(row[1 + columns.index(column)])
            if amps <= 0:
                break
            return amps
    raise NotListed(f"the {name.replace('_', '-')} table has no row for {wanted:g} hp at {volts:g} V")


def conductor_current(full_load_current: float) -> float:
    """Current that the conductors must carry.

    Parameters
    ----------
    full_load_current : float
        From the table. [A]

    Returns
    -------
    float
        [A]

    References
    ----------
    NFPA 70 430.22: 125 per cent for one continuous-duty motor.

    Examples
    --------
    >>> conductor_current(28.0)
    35.0
    """
    return full_load_current * float(_rules()["conductor_factor"])


def breaker_limit(full_load_current: float) -> float:
    """Largest inverse-time breaker to begin with.

    Parameters
    ----------
    full_load_current : float
        From the table. [A]

    Returns
    -------
    float
        A standard size. [A]

    References
    ----------
    NFPA 70 Table 430.52: 250 per cent, next standard size (240.6(A)) up.

    Examples
    --------
    >>> breaker_limit(28.0), breaker_limit(15.2)
    (70.0, 40.0)
    """
    wanted = full_load_current * float(_rules()["breaker_factor"])
    for size in _rules()["standard_breakers_A"]:
        if size >= wanted * (1 - 1e-9):
            return float(size)
    raise NotListed(f"{wanted:.0f} A is more than the listed breakers (200 A)")


def breaker_end(full_load_current: float) -> float:
    """Size past which no breaker may go, even if the motor trips it on starting.

    Parameters
    ----------
    full_load_current : float
        From the table. [A]

    Returns
    -------
    float
        [A]

    References
    ----------
    NFPA 70 430.52(C)(1), exceptions; from memory: 400 per cent up to 100 A, 300 above.

    Examples
    --------
    >>> breaker_end(28.0)
    112.0
    """
    factors = _rules()["breaker_factor_if_it_trips"]
    return full_load_current * float(
        factors["up_to_100_A"] if full_load_current <= 100.0 else factors["above_100_A"]
    )


def overload_limit(plate_current: float, service_factor: float | None) -> float:
    """Highest setting of the running overload protection.

    Parameters
    ----------
    plate_current : float
        Full-load current of the plate at the connected volts. [A]
    service_factor : float or None
        Of the plate; unknown counts as below 1.15.

    Returns
    -------
    float
        [A]

    References
    ----------
    NFPA 70 430.32(A)(1): 125 per cent from a service factor of 1.15 up, else 115.

    Examples
    --------
    >>> overload_limit(28.0, 1.15)
    35.0
    """
    factors = _rules()["overload_factor"]
    generous = service_factor is not None and service_factor >= 1.15
    return plate_current * float(factors["sf_1_15_or_rise_40C"] if generous else factors["others"])


def code_range(letter: str) -> tuple[float, float]:
    """Give the kVA per horsepower that a code letter stands for.

    Parameters
    ----------
    letter : str
        A to V without I, O, Q.

    Returns
    -------
    tuple of float
        From, and up to but not including; the last has no end. [kVA/hp]

    References
    ----------
    NEMA MG 1 10.37.2, NFPA 70 Table 430.7(B).

    Examples
    --------
    >>> code_range("J")
    (7.1, 8.0)
    """
    low, high = table("circuit")["locked_rotor"][letter]
    return float(low), float(high)


def locked_rotor_currents(letter: str, power: float, volts: float, phases: int) -> tuple[float, float]:
    """Give the least and most a motor draws while it is held still, by its code letter.

    Parameters
    ----------
    letter : str
        Code letter of the plate.
    power : float
        Rated power. [W]
    volts : float
        At the motor. [V]
    phases : int
        1 or 3.

    Returns
    -------
    tuple of float
        [A]

    References
    ----------
    NEMA MG 1 10.37.2.

    Examples
    --------
    >>> [round(one, 1) for one in locked_rotor_currents("J", 3728.5, 230.0, 3)]
    [89.1, 100.4]
    """
    hp = horsepower(power)
    low, high = code_range(letter)
    return (
        float(electric.locked_rotor_current(hp, low, volts, phases)),
        float(electric.locked_rotor_current(hp, high, volts, phases)),
    )


@dataclass(frozen=True)
class Branch:
    """What the tables ask of one motor's branch circuit; None where they hold nothing."""

    table_current: float  # [A]
    conductor_current: float  # [A]
    conductor_75: int  # smallest copper at 75 °C [AWG]
    conductor_60: int  # smallest copper at 60 °C [AWG]
    breaker: float  # largest to begin with [A]
    overload: float | None  # highest setting, by the plate's current [A]


def branch(
    power: float, volts: float, phases: int, plate_current: float | None, service_factor: float | None
) -> Branch:
    """Work out the branch circuit of one motor.

    Parameters
    ----------
    power : float
        Rated power. [W]
    volts : float
        Supply. [V]
    phases : int
        1 or 3.
    plate_current : float or None
        Full-load current of the plate at these volts. [A]
    service_factor : float or None
        Of the plate.

    Returns
    -------
    Branch
        The sums; the local code and a licensed electrician decide.

    Raises
    ------
    NotListed
        If the tables do not hold it.
    """
    amps = table_current(power, volts, phases)
    carried = conductor_current(amps)
    return Branch(
        table_current=amps,
        conductor_current=carried,
        conductor_75=smallest_conductor(carried, 75),
        conductor_60=smallest_conductor(carried, 60),
        breaker=breaker_limit(amps),
        overload=None if plate_current is None else overload_limit(plate_current, service_factor),
    )


@cache
def _listed() -> tuple[float, ...]:
    currents = table("circuit")["currents"]
    return tuple(sorted({float(row[0]) for row in currents["single_phase"] + currents["three_phase"]}))


def _rules() -> dict[str, Any]:
    return dict(table("circuit")["rules"])
