"""Questions on air in figures: leak, hole, store, starts, water, filling."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from training.papers.makers import trade
from training.papers.makers.maker import Draft, Maker, Miss
from training.papers.makers.signs import MINUS, TIMES
from training.papers.makers.unsuitable import Unsuitable

if TYPE_CHECKING:
    from random import Random

    from simulator.units import System

RECEIVERS: Final = {
    "us": ("20 gal", "30 gal", "60 gal", "80 gal", "120 gal"),
    "metric": ("50 L", "100 L", "150 L", "200 L", "270 L", "500 L"),
}
HOLES: Final = {
    "us": ("1/32 in", "3/64 in", "1/16 in", "3/32 in", "1/8 in"),
    "metric": ("0.8 mm", "1 mm", "1.5 mm", "2 mm", "3 mm"),
}
INCHES: Final = {
    "1/32 in": "0.03125 in",
    "3/64 in": "0.046875 in",
    "1/16 in": "0.0625 in",
    "3/32 in": "0.09375 in",
    "1/8 in": "0.125 in",
}
ATMOSPHERE: Final = {"us": "14.7 psi", "metric": "1.013 bar"}
BAND: Final = {  # cut-in, cut-out
    "us": (("90 psi", "125 psi"), ("95 psi", "125 psi"), ("100 psi", "135 psi"), ("140 psi", "175 psi"), ("120 psi", "150 psi")),
    "metric": (("6 bar", "8 bar"), ("6.5 bar", "8.5 bar"), ("8 bar", "10 bar"), ("7 bar", "9.5 bar"), ("9 bar", "11 bar")),
}  # fmt: skip
SEA_LEVEL: Final = 101_325.0  # [Pa]
GALLON_IN_FEET: Final = 1728.0 / 231.0  # gallons in a cubic foot, exact


def _free_air(rng: Random, receiver: str, system: System) -> str:
    """Draw a pump that is met on such a receiver."""
    size = trade.si(receiver, "volume") * 1000  # [L]
    litres = size * rng.uniform(0.9, 1.8)
    return (
        f"{max(2, round(litres / 28.3168))} cfm"
        if system == "us"
        else f"{max(50, round(litres / 10) * 10)} L/min"
    )


def _pa(text: str) -> float:
    return trade.si(text, "gauge_pressure")


def _leak(rng: Random, system: System) -> Draft:
    receiver = rng.choice(RECEIVERS[system])
    start = rng.choice(BAND[system])[1]
    step, unit = (1.0, "psi") if system == "us" else (0.1, "bar")
    fall = rng.choice((3, 4, 5, 6, 8, 10)) * step
    end = f"{float(start.split()[0]) - fall:g} {unit}"
    minutes = rng.choice((10, 15, 20))
    typed = {"receiver": receiver, "start": start, "end": end, "time": f"{minutes} min"}
    answer = trade.reckon("leak-rate", typed)
    key = answer.figures["mean"].value
    volume = trade.si(receiver, "volume")
    other = key * GALLON_IN_FEET if system == "us" else volume * (_pa(start) - _pa(end)) / SEA_LEVEL / minutes
    return Draft(
        stem=(
            f"After work on a pressure joint a receiver of {receiver} has cooled for 15 min at {start}, shut in. {minutes} min later a proven"
            f" gauge reads {end}. How much free air does it lose on the average? The air around it stands at {ATMOSPHERE[system]}."
        ),
        explanation=(
            f"{answer.calculator.formula[0]}: {receiver} {TIMES} {fall:g} {unit} ÷ ({ATMOSPHERE[system]} {TIMES} {minutes} min) ="
            f" {trade.shown(key, 'air_flow', system)}. {answer.remarks[0]}"
        ),
        source=answer.calculator.source,
        drawn={"volume": volume, "fall": _pa(start) - _pa(end), "time": 60.0 * minutes},
        quantity="air_flow",
        key=key,
        misses=(
            Miss(key * _pa(end) / (_pa(start) - _pa(end)), "The pressure left was taken, not the pressure lost.", "gauge-counts-all"),
            Miss(other, "Gallons were taken for cubic feet: one holds 7.48 gal.") if system == "us" else Miss(other, "Minutes were taken for seconds."),
        ),
    )  # fmt: skip


def _hole(rng: Random, system: System) -> Draft:
    small, large = sorted(rng.sample(range(5), 2))
    one, two = HOLES[system][small], HOLES[system][large]
    pressure = rng.choice(BAND[system])[1]
    typed = {"pressure": pressure, "diameter": INCHES.get(one, one)}
    known = trade.reckon("orifice", typed).figures["free_air"].value
    answer = trade.reckon("orifice", {**typed, "diameter": INCHES.get(two, two)})
    key = answer.figures["free_air"].value
    ratio = (key / known) ** 0.5
    return Draft(
        stem=(
            f"A round hole of {one} in an air line at {pressure} loses {trade.shown(known, 'air_flow', system)} of free air. A leak like it, but of"
            f" {two}, is found on the same line. How much does that one lose?"
        ),
        explanation=(
            f"The hole is {ratio:.3g} times as wide: {ratio:.3g}² {TIMES} {trade.shown(known, 'air_flow', system)} = {trade.shown(key, 'air_flow', system)}."
            f" {answer.remarks[0]} {answer.calculator.caution}"
        ),
        source=answer.calculator.source,
        drawn={"known": known, "one": trade.si(INCHES.get(one, one), "small_length"), "two": trade.si(INCHES.get(two, two), "small_length")},
        quantity="air_flow",
        key=key,
        misses=(
            Miss(known * ratio, "The diameters were compared, not the areas.", "hole-by-diameter"),
            Miss(known, "The larger hole was taken to lose as much at the same pressure.", "hole-by-diameter"),
        ),
    )  # fmt: skip


def _store(rng: Random, system: System) -> Draft:
    receiver, pressure = rng.choice(RECEIVERS[system]), rng.choice(BAND[system])[1]
    answer = trade.reckon("pump-up", {"receiver": receiver, "start": "0 psi", "end": pressure})
    key = answer.figures["air"].value
    volume = trade.si(receiver, "volume")
    return Draft(
        stem=(
            f"Before a lockout a receiver of {receiver} stands at {pressure}. How much free air blows out of its drain until the blowing stops? The"
            f" air around it stands at {ATMOSPHERE[system]}."
        ),
        explanation=f"V·p ÷ pa: {trade.shown(volume, 'air_volume', system)} {TIMES} {pressure} ÷ {ATMOSPHERE[system]} = {trade.shown(key, 'air_volume', system)}. Bleed it slowly, by the drain, standing aside.",
        source=answer.calculator.source,
        drawn={"volume": volume, "pressure": _pa(pressure)},
        quantity="air_volume",
        key=key,
        misses=(
            Miss(volume, "That is the room in the receiver, as if the air in it were not pressed together.", "gauge-counts-all"),
            Miss(volume * (_pa(pressure) + SEA_LEVEL) / SEA_LEVEL, "That counts the air that stays in the open receiver.", "gauge-counts-all"),
        ),
    )  # fmt: skip


def _starts(rng: Random, system: System) -> Draft:
    low, high = rng.choice(BAND[system])
    flow = f"{rng.randint(6, 26)} cfm" if system == "us" else f"{rng.randrange(150, 760, 10)} L/min"
    starts = rng.choice((6, 8, 10, 12))
    typed = {"free_air": flow, "starts": str(starts), "cut_in": low, "cut_out": high}
    answer = trade.reckon("receiver-starts", typed)
    key = answer.figures["volume"].value
    if not 0.04 < key < 1.0:
        raise Unsuitable("such a receiver is hardly met")
    return Draft(
        stem=(
            f"A pump delivers {flow} of free air, cut-in is {low}, cut-out {high}. Its motor bears {starts} starts in an hour. How large must the"
            f" receiver be at the least, whatever is drawn? The worst draw is half of what the pump delivers; air around {ATMOSPHERE[system]}."
        ),
        explanation=f"{answer.calculator.formula[0]}: {trade.shown(key, 'volume', system)}. {answer.remarks[0]}",
        source=answer.calculator.source,
        drawn={"flow": trade.si(flow, "air_flow"), "band": _pa(high) - _pa(low), "starts": starts},
        quantity="volume",
        key=key,
        misses=(
            Miss(4 * key, "The worst draw was left out: at half the flow filling and emptying take as long.", "short-cycling-is-the-switch"),
            Miss(key * (_pa(high) - _pa(low)) / _pa(high), "The cut-out was taken in place of the band between cut-in and cut-out.", "gauge-counts-all"),
        ),
    )  # fmt: skip


def _water(rng: Random, system: System) -> Draft:
    receiver = rng.choice(RECEIVERS[system][2:])
    flow = _free_air(rng, receiver, system)
    hours, days = rng.choice((2, 3, 4, 5)), rng.choice((10, 15, 20, 25))
    warm, hot = rng.choice(
        (("75 °F", "95 °F"), ("80 °F", "100 °F"), ("85 °F", "105 °F"))
        if system == "us"
        else (("24 °C", "35 °C"), ("27 °C", "38 °C"), ("30 °C", "40 °C"))
    )
    humidity = rng.choice((60, 70, 75, 80))
    typed = {
        "free_air": flow,
        "time": f"{hours} h",
        "intake_temperature": warm,
        "humidity": f"{humidity} %",
        "receiver_temperature": hot,
        "pressure": rng.choice(BAND[system])[1],
    }
    answer = trade.reckon("condensate", typed)
    taken, carried = answer.figures["taken_in"].value, answer.figures["carried_on"].value
    key = days * answer.figures["condensate"].value
    shown = [trade.shown(value, "water_volume", system) for value in (taken, carried)]
    if key < 0.02 * trade.si(receiver, "volume"):
        raise Unsuitable("so little water does not matter")
    return Draft(
        stem=(
            f"A pump of {flow} runs {hours} h a day in air of {warm}, {humidity} % humid. In a day it takes in {shown[0]} of water as vapour; {shown[1]}"
            f" goes on to the shop line. Nobody opens the drain of the {receiver} receiver for {days} working days. How much water lies in it?"
        ),
        explanation=f"{days} {TIMES} ({shown[0]} {MINUS} {shown[1]}) = {trade.shown(key, 'water_volume', system)}. {answer.remarks[1]}",
        source=answer.calculator.source,
        drawn={"taken": taken, "carried": carried, "days": days},
        quantity="water_volume",
        key=key,
        tolerance=0.04,
        misses=(
            Miss(key / days, "That is one day's water.", "drain-when-it-spits"),
            Miss(days * taken, "What goes on to the shop line was counted too."),
        ),
    )  # fmt: skip


def _filling(rng: Random, system: System) -> Draft:
    receiver = rng.choice(RECEIVERS[system])
    low, high = rng.choice(BAND[system])
    flow = _free_air(rng, receiver, system)
    answer = trade.reckon("pump-up", {"receiver": receiver, "start": low, "end": high, "free_air": flow})
    key = answer.figures["time"].value
    volume = trade.si(receiver, "volume")
    return Draft(
        stem=(
            f"A sound pump delivers {flow} of free air. Outlet shut, how long should it take to bring a receiver of {receiver} from cut-in at {low} to"
            f" cut-out at {high}? Reckon with air at room temperature and {ATMOSPHERE[system]} around."
        ),
        explanation=f"{answer.calculator.formula[0]}: {trade.shown(key, 'duration', system)}. {answer.remarks[0]}",
        source=answer.calculator.source,
        drawn={"volume": volume, "rise": _pa(high) - _pa(low), "flow": trade.si(flow, "air_flow")},
        quantity="duration",
        key=key,
        misses=(
            Miss(key * _pa(high) / (_pa(high) - _pa(low)), "The whole cut-out was taken, as for an empty receiver.", "slow-means-worn"),
            Miss(volume / trade.si(flow, "air_flow"), "That fills the room of the receiver once, to one atmosphere.", "gauge-counts-all"),
        ),
    )  # fmt: skip


def _delivered(rng: Random, system: System) -> Draft:
    receiver = rng.choice(RECEIVERS[system])
    low, high = rng.choice(BAND[system])
    band = _pa(high) - _pa(low)
    usual = trade.si(_free_air(rng, receiver, system), "air_flow")
    seconds = round(trade.si(receiver, "volume") * band / SEA_LEVEL / usual / 5) * 5
    typed = {"receiver": receiver, "start": low, "end": high, "time": f"{seconds} s"}
    answer = trade.reckon("measured-free-air", typed)
    key = answer.figures["free_air"].value
    return Draft(
        stem=(
            f"Outlet and drain shut, a receiver of {receiver} rises from {low} to {high} in {seconds} s, air back at room temperature,"
            f" {ATMOSPHERE[system]} around. How much free air does the pump deliver?"
        ),
        explanation=f"{answer.calculator.formula[0]}: {trade.shown(key, 'air_flow', system)}. {answer.remarks[1]}",
        source=answer.calculator.source,
        drawn={"volume": trade.si(receiver, "volume"), "rise": band, "time": seconds},
        quantity="air_flow",
        key=key,
        misses=(
            Miss(key * _pa(high) / band, "The pressure at the end was taken, not the rise.", "gauge-counts-all"),
            Miss(key * seconds / 60.0, "The time was taken for one minute.", "slow-means-worn"),
        ),
    )  # fmt: skip


def _leak_share(rng: Random, system: System) -> Draft:
    on, off = rng.choice((30, 40, 45, 60, 75, 90, 120)), rng.randint(4, 14) * 60
    flow = f"{rng.randint(8, 26)} cfm" if system == "us" else f"{rng.randrange(200, 760, 10)} L/min"
    answer = trade.reckon("leak-cycle", {"on": f"{on} s", "off": f"{off} s", "free_air": flow})
    key = answer.figures["share"].value
    times = [trade.shown(value, "duration", system) for value in (float(on), float(off))]
    return Draft(
        stem=(
            f"At night, no tool in use and the shop line open, a pump runs for {times[0]} and rests for {times[1]}, again and again. What per cent of"
            " what it delivers leaks away?"
        ),
        explanation=f"{answer.calculator.formula[0]}: {on} ÷ ({on} + {off}) = {trade.shown(key, 'percent', system)}. {answer.remarks[0]}",
        source=answer.calculator.source,
        drawn={"on": on, "off": off},
        quantity="percent",
        key=key,
        tolerance=0.02,
        misses=(
            Miss(100.0 * on / off, "The time on was set against the time at rest alone.", "off-time-counts"),
            Miss(100.0 - key, "That is the share of the time at rest.", "off-time-counts"),
        ),
    )  # fmt: skip


MAKERS: Final = (
    Maker("made-leak-after-the-work", "safety", "U9.2b", "number", "application", _leak, family="leak", fault="check-valve-seep", procedure="p-leak-rate"),
    Maker("made-air-through-a-hole", "safety", "U2.4a", "number", "application", _hole, family="leak", fault="downstream-leaks", procedure="p-leak-rate"),
    Maker("made-air-held-in-a-receiver", "safety", "U1.1a", "number", "application", _store, family="stored-air", procedure="p-make-safe"),
    Maker("made-water-in-a-receiver", "safety", "U8.2b", "number", "application", _water, family="water", fault="receiver-water-filled", procedure="p-receiver"),
    Maker("made-receiver-for-the-starts", "motor", "U2.4a", "number", "analysis", _starts, family="starts", fault="nofault-undersized-receiver"),
    Maker("made-time-to-fill", "diagnosis", "U2.4a", "number", "application", _filling, family="timed-fill", fault="ring-wear"),
    Maker("made-air-from-a-timed-fill", "diagnosis", "U2.4a", "number", "application", _delivered, family="timed-fill", fault="intake-reed-leak"),
    Maker("made-leak-share-at-night", "diagnosis", "U2.4a", "number", "application", _leak_share, family="leak-share", fault="downstream-leaks", procedure="p-leak-rate"),
)  # fmt: skip
