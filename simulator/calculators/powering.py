"""Amps from power, amps at other volts, and what a run of wire takes away."""

from __future__ import annotations

from math import sqrt
from typing import TYPE_CHECKING

from simulator import electric
from simulator.calculators.asking import Input
from simulator.calculators.calculator import Calculator, Sweep, Worked, must
from simulator.calculators.common_inputs import COPPER_TEMPERATURE, FOOT, percent
from simulator.replacement.verdict import Figure, Standing

if TYPE_CHECKING:
    from collections.abc import Mapping

STRANDING = 1.02  # resistance of a stranded conductor over a solid one; NFPA 70, chapter 9, table 8 [-]
CMIL_PER_SQUARE_MILLIMETRE = 1973.525
BRANCH_LIMIT = 3.0  # advice of NFPA 70 for a branch, from memory [%]
PHASES = {"single-phase": 1.0, "three-phase": 3.0}


def awg_cmil(gauge: int) -> float:
    """Section of a conductor by its American wire gauge.

    Parameters
    ----------
    gauge : int
        AWG number, smaller for thicker wire.

    Returns
    -------
    float
        [cmil]

    References
    ----------
    Definition of the gauge: the diameter is ``5·92**((36 - n)/39)`` thousandths of an inch.

    Examples
    --------
    >>> round(awg_cmil(10))
    10383
    """
    return float((5.0 * 92.0 ** ((36 - gauge) / 39.0)) ** 2)


CONDUCTORS = {
    **{f"{gauge} AWG": awg_cmil(gauge) for gauge in (18, 16, 14, 12, 10, 8, 6, 4, 3, 2)},
    **{
        f"{area:g} mm²": area * CMIL_PER_SQUARE_MILLIMETRE
        for area in (1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0)
    },
}


def current_from_power(
    shaft_power: float, voltage: float, phases: float, efficiency: float, power_factor: float
) -> float:
    """Line current of a motor that gives a power at its shaft.

    Parameters
    ----------
    shaft_power : float
        [W]
    voltage : float
        Between two lines. [V]
    phases : float
        1 or 3. [-]
    efficiency : float
        Shaft power over real power drawn. [-]
    power_factor : float
        Real over apparent power. [-]

    Returns
    -------
    float
        [A]

    References
    ----------
    Definition: ``P/(eff·pf·V)``, over the root of three for three phases.

    Examples
    --------
    >>> round(current_from_power(3875.4, 230.0, 3.0, 0.80, 0.80), 1)
    15.2
    """
    return shaft_power / (efficiency * power_factor * voltage * sqrt(phases))


def voltage_drop(current: float, resistance: float, phases: float) -> float:
    """Voltage lost along a run.

    Parameters
    ----------
    current : float
        [A]
    resistance : float
        Of one conductor, one way. [Ω]
    phases : float
        1 or 3. [-]

    Returns
    -------
    float
        Between two lines. [V]

    References
    ----------
    Ohm's law: there and back for one phase, root of three for three; reactance is left out,
    as is usual for small conductors.

    Examples
    --------
    >>> round(voltage_drop(28.0, 0.124, 1.0), 3)
    6.944
    """
    one_phase: float = electric.voltage_drop_single_phase(current, resistance)
    return one_phase if phases == 1.0 else one_phase * sqrt(3.0) / 2.0


def _amps(given: Mapping[str, float]) -> Worked:
    current = current_from_power(
        given["power"],
        given["voltage"],
        given["phase"],
        given["efficiency"] / 100.0,
        given["power_factor"] / 100.0,
    )
    drawn = given["power"] / given["efficiency"] * 100.0
    figures = {
        "current": Figure("current in each line", current, "current"),
        "drawn": Figure("real power drawn", drawn, "power"),
    }
    return Worked(
        figures,
        (
            "An estimate: small motors are far from these figures. Conductor and breaker go by the code's table, the overload by the plate.",
        ),
    )


def _other_volts(given: Mapping[str, float]) -> Worked:
    current = given["current"] * given["from_voltage"] / given["to_voltage"]
    figures = {"current": Figure("current for the same power", current, "current")}
    return Worked(
        figures,
        (
            "Half the volts, twice the current. A motor that draws the same current at half the volts gives half the power.",
        ),
    )


def _drop(given: Mapping[str, float]) -> Worked:
    current, voltage, phases = given["current"], given["voltage"], given["phase"]
    one_way: float = STRANDING * electric.conductor_resistance(
        given["wire"], given["length"], COPPER_TEMPERATURE
    )
    drop = voltage_drop(current, one_way, phases)
    at_start = voltage_drop(current * given["start_times"], one_way, phases)
    must(
        holds=at_start < voltage,
        field="wire",
        words="Such a run could not pass the starting current at all. Take thicker wire or check length and current.",
    )
    share = 100.0 * drop / voltage
    figures = {
        "drop": Figure("voltage lost while running", drop, "voltage"),
        "share": Figure("of the supply", share, "percent"),
        "start": Figure("voltage left at the motor on starting", voltage - at_start, "voltage"),
        "start_torque": Figure(
            "starting torque left, by the square", 100.0 * (1.0 - at_start / voltage) ** 2, "percent"
        ),
    }
    advice = (
        ("More than 3 per cent: take thicker wire or a shorter run.",)
        if share > BRANCH_LIMIT
        else ("Within the 3 per cent that is advised for a branch.",)
    )
    return Worked(
        figures,
        (
            *advice,
            "Volts at START decide, not whether the cord feels warm. A longer air hose is better than a longer cord.",
        ),
    )


_DEFER = "The local code and a licensed electrician decide about conductors and protection."
_PHASE = Input("phase", "phases of the supply", "", "single-phase", choices=PHASES)

AMPS = Calculator(
    slug="amps",
    title="Amps from power",
    question="What current goes with this power?",
    formula=("I = P / (eff·pf·V)", "three-phase: I = P / (eff·pf·V·√3)"),
    source="Definition of efficiency and power factor",
    standing=Standing.PUBLISHED,
    inputs=(
        Input("power", "power at the shaft", "power", "3 hp", 10.0, 500e3),
        Input("voltage", "volts at the motor", "voltage", "230 V", 12.0, 1000.0),
        _PHASE,
        percent("efficiency", "efficiency", "80 %", 10.0, 100.0),
        percent("power_factor", "power factor", "80 %", 10.0, 100.0),
    ),
    work=_amps,
    example={
        "power": "3.875 kW",
        "voltage": "230 V",
        "phase": "three-phase",
        "efficiency": "80 %",
        "power_factor": "80 %",
    },
    example_answer="15.2 A",
    caution=_DEFER,
    sweep=Sweep("voltage", "current", 100.0, 500.0, "Current against volts at the same power", lines="phase"),
)

OTHER_VOLTS = Calculator(
    slug="amps-at-volts",
    title="Amps at other volts",
    question="A plate gives amps at one voltage: what is that at another?",
    formula=("I2 = I1·V1 / V2, at the same power and phases",),
    source="Same power, same efficiency and power factor; common practice",
    standing=Standing.COMMON_PRACTICE,
    inputs=(
        Input("current", "amps on the plate", "current", "15 A", 0.01, 2000.0),
        Input("from_voltage", "volts they are given at", "voltage", "230 V", 12.0, 1000.0),
        Input("to_voltage", "volts wanted", "voltage", "115 V", 12.0, 1000.0),
    ),
    work=_other_volts,
    example={"current": "15 A", "from_voltage": "230 V", "to_voltage": "115 V"},
    example_answer="30 A",
    caution=_DEFER,
)

DROP = Calculator(
    slug="voltage-drop",
    title="Voltage drop of a run",
    question="How many volts does the run take, running and on starting?",
    formula=(
        "single-phase: V_drop = 2·I·R, three-phase: V_drop = √3·I·R",
        "R = 1.02·10.371 Ω·cmil/ft·(1 + 0.00393·55)·L / A, stranded copper at 75 °C",
    ),
    source="Ohm's law; resistance within 0.6 % of NFPA 70, chapter 9, table 8; the 3 % advice is from memory",
    standing=Standing.PUBLISHED,
    inputs=(
        Input("current", "running current", "current", "15 A", 0.01, 2000.0),
        Input("length", "length of the run, one way", "length", "50 ft", 0.1, 3000.0 * FOOT),
        Input("wire", "copper conductor", "", "12 AWG", choices=CONDUCTORS),
        Input("voltage", "volts of the supply", "voltage", "230 V", 12.0, 1000.0),
        _PHASE,
        Input(
            "start_times", "starting current over running current", "", "6", 1.0, 12.0, hint="5 to 8 is usual"
        ),
    ),
    work=_drop,
    example={"current": "28 A", "length": "100 ft", "wire": "10 AWG", "voltage": "230 V"},
    example_answer="6.9 V, 3.0 %",
    caution=_DEFER,
    sweep=Sweep(
        "length",
        "share",
        0.0,
        200.0 * FOOT,
        "Share of the volts lost against length",
        lines="wire",
        only=("16 AWG", "14 AWG", "12 AWG", "10 AWG"),
    ),
)

CALCULATORS = (AMPS, OTHER_VOLTS, DROP)
