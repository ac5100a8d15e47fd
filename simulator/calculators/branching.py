"""Breaker, wire and overload of one motor's branch circuit, by the published tables."""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulator.calculators.asking import BadInputs, Input
from simulator.calculators.calculator import Calculator, Worked, must
from simulator.calculators.powering import PHASES
from simulator.replacement import circuit
from simulator.replacement.conductors import NotListed
from simulator.replacement.verdict import Figure, Standing

if TYPE_CHECKING:
    from collections.abc import Mapping

CONTRADICTION = 1.6  # share by which the plate's amps may lie under the table's for the same power and volts
SERVICE_FACTORS = {"1.15 or more": 1.15, "below 1.15": 1.0, "unknown": 1.0}


def _branch(given: Mapping[str, float]) -> Worked:
    power, volts, phases, amps = given["power"], given["voltage"], int(given["phase"]), given["plate_current"]
    try:
        sums = circuit.branch(power, volts, phases, amps, given["service_factor"])
    except NotListed as refusal:
        column = "voltage" if "V" in str(refusal).partition(" has ")[0] else "power"
        raise BadInputs(
            {column: f"The tables do not hold it: {refusal}. Ask a licensed electrician."}
        ) from refusal
    must(
        holds=amps * CONTRADICTION >= sums.table_current,
        field="plate_current",
        words=f"So much power at these volts draws about {sums.table_current:g} A. Read the amps that belong to the volts in use.",
    )
    figures = {
        "breaker": Figure("largest inverse-time breaker to begin with", sums.breaker, "current"),
        "wire_75": Figure("smallest copper at 75 °C, AWG", float(sums.conductor_75)),
        "wire_60": Figure("smallest copper at 60 °C, AWG", float(sums.conductor_60)),
        "table_current": Figure("full-load current of the table", sums.table_current, "current"),
        "conductor_current": Figure("current that the wire must carry", sums.conductor_current, "current"),
        "overload": Figure("highest setting of the overload", sums.overload or 0.0, "current"),
    }
    return Worked(
        figures,
        (
            "Wire and breaker go by the table's current, the overload by the plate's.",
            "A trip is a message: a larger breaker or a higher overload cures nothing. Measure volts and amps.",
            "Work out the voltage drop as well: a long run needs thicker wire than this.",
        ),
    )


BRANCH = Calculator(
    slug="breaker-and-wire",
    title="Breaker, wire and overload of a motor",
    question="Which breaker, wire and overload setting go with this motor?",
    formula=(
        "table current I by power, volts and phases",
        "wire: at least 1.25·I; breaker: at most 2.5·I, next standard size up",
        "overload: at most 1.25 times the plate's amps from a service factor of 1.15 up, else 1.15 times",
    ),
    source="NFPA 70, Tables 430.248 and 430.250, 430.22, Table 430.52, 240.6(A), 430.32(A)(1), Table 310.16",
    standing=Standing.PUBLISHED,
    inputs=(
        Input("power", "motor's power", "power", "5 hp", 100.0, 25e3, hint="on its plate"),
        Input("voltage", "volts of the supply", "voltage", "230 V", 100.0, 700.0),
        Input("phase", "phases of the supply", "", "single-phase", choices=PHASES),
        Input("plate_current", "amps on the plate at these volts", "current", "", 0.5, 300.0),
        Input(
            "service_factor", "service factor", "", "unknown", choices=SERVICE_FACTORS, hint="SF on the plate"
        ),
    ),
    work=_branch,
    example={
        "power": "5 hp",
        "voltage": "230 V",
        "phase": "single-phase",
        "plate_current": "28 A",
        "service_factor": "1.15 or more",
    },
    example_answer="70 A breaker, 10 AWG at 75 °C, overload at most 35 A",
    caution=circuit.DEFERS,
)

CALCULATORS = (BRANCH,)
