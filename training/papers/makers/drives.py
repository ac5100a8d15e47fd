"""Questions on sheaves, pump speed, frames and shafts."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from training.papers.makers import trade
from training.papers.makers.maker import Choice, Draft, Maker, Miss
from training.papers.makers.signs import MINUS, TIMES
from training.papers.makers.swaps import MACHINES, apply, like_for_like
from training.papers.makers.trade import Verdict
from training.papers.makers.unsuitable import Unsuitable

if TYPE_CHECKING:
    from random import Random

    from simulator.units import System

SHEAVES: Final = {  # pitch diameters on the shelf
    "us": ("2.8 in", "3 in", "3.4 in", "3.8 in", "4 in", "4.6 in", "5 in", "5.6 in", "6 in", "6.6 in", "7 in", "7.4 in", "8 in"),
    "metric": ("71 mm", "80 mm", "90 mm", "100 mm", "112 mm", "125 mm", "140 mm", "160 mm", "180 mm", "200 mm"),
}  # fmt: skip
FLYWHEELS: Final = {
    "us": ("10 in", "11 in", "12 in", "12.8 in", "13 in", "14 in", "16 in", "19 in"),
    "metric": ("250 mm", "280 mm", "315 mm", "355 mm", "400 mm", "450 mm"),
}
PUMPS: Final = (550.0, 1250.0)  # speeds that pumps of this kind run at [rpm]
FRAMES: Final = ("56", "56H", "143T", "145T", "182", "184", "182T", "184T", "213", "215", "213T", "215T")


def _another_speed(rng: Random, system: System) -> Draft:
    sheave, flywheel = rng.choice(SHEAVES[system]), rng.choice(FLYWHEELS[system])
    start = like_for_like(rng).measured(motor_sheave=sheave, flywheel=flywheel)
    offer = apply(rng, start, ["other-speed"])
    reason = offer.judged(system).by_code("speed")
    if reason is None or reason.verdict is not Verdict.FITS_WITH_CHANGES:
        raise Unsuitable("the speed was not found to ask for another sheave")
    key = trade.figure_of(reason, "motor sheave needed, pitch diameter")
    pump = trade.figure_of(reason, "pump, kept")
    old, new = float(offer.old["speed"]), float(offer.new["speed"])
    had = trade.si(sheave, "small_length")
    if not PUMPS[0] < pump < PUMPS[1] or not 0.045 < key < 0.3:
        raise Unsuitable("such a pump or sheave is hardly met")
    return Draft(
        stem=(
            f"{MACHINES[offer.rig][0].upper()}{MACHINES[offer.rig][1:]}: motor {old:g} rpm, motor sheave {sheave}, flywheel {flywheel}, pitch"
            f" diameters. The new motor runs at {new:g} rpm. Which pitch diameter must its sheave have for the pump to turn as"
            " before?"
        ),
        explanation=f"{sheave} {TIMES} {old:g} ÷ {new:g} = {trade.shown(key, 'small_length', system)}; the pump keeps its {pump:.0f} rpm. {reason.rule}",
        source=reason.source,
        drawn={"sheave": had, "old": old, "new": new, "flywheel": trade.si(flywheel, "small_length")},
        quantity="small_length",
        key=key,
        tolerance=0.03,
        misses=(
            Miss(had, "That is the old sheave.", "sheave-stays"),
            Miss(had * new / old, "The ratio was turned over: a faster motor needs a smaller sheave.", "ratio-turned-over"),
        ),
    )  # fmt: skip


def _sheaves(rng: Random, system: System) -> dict[str, str]:
    speed = rng.choice(("1725", "1740", "3450") if system == "us" else ("1440", "1450", "2880"))
    return {
        "motor_speed": f"{speed} rpm",
        "sheave": rng.choice(SHEAVES[system]),
        "flywheel": rng.choice(FLYWHEELS[system]),
        "plate_speed": f"{rng.randrange(560, 1210, 10)} rpm",
    }


def _pump_speed(rng: Random, system: System) -> Draft:
    typed = _sheaves(rng, system)
    answer = trade.reckon("sheave-speed", typed)
    key = answer.figures["pump_speed"].value
    if not PUMPS[0] < key < PUMPS[1]:
        raise Unsuitable("such a pump is hardly met")
    motor = trade.si(typed["motor_speed"], "speed_rpm")
    sheave, flywheel = (trade.si(typed[name], "small_length") for name in ("sheave", "flywheel"))
    return Draft(
        stem=(
            f"The motor runs at {typed['motor_speed']}. Its sheave has a pitch diameter of {typed['sheave']}, the flywheel one of"
            f" {typed['flywheel']}. How fast does the pump turn if the belts do not slip?"
        ),
        explanation=f"{answer.calculator.formula[0]}: {typed['motor_speed']} {TIMES} {typed['sheave']} ÷ {typed['flywheel']} = {key:.0f} rpm. {answer.remarks[-1]}",
        source=answer.calculator.source,
        drawn={"motor": motor, "sheave": sheave, "flywheel": flywheel},
        quantity="speed_rpm",
        key=key,
        tolerance=0.03,
        misses=(
            Miss(motor * flywheel / sheave, "The ratio of the sheaves was turned over.", "ratio-turned-over"),
            Miss(motor, "That is the motor's speed. The pump turns by the ratio of the sheaves.", "ratio-turned-over"),
        ),
    )  # fmt: skip


def _over_its_speed(rng: Random, system: System) -> Draft:
    typed = _sheaves(rng, system)
    turns = trade.reckon("sheave-speed", typed).figures["pump_speed"].value
    typed["plate_speed"] = f"{round(turns / rng.uniform(1.08, 1.35) / 10) * 10} rpm"
    answer = trade.reckon("sheave-speed", typed)
    key = answer.figures["change"].value
    plate = trade.si(typed["plate_speed"], "speed_rpm")
    if not PUMPS[0] < plate < PUMPS[1] - 200 or not 8.0 < key < 36.0:
        raise Unsuitable("such a change is hardly met")
    return Draft(
        stem=(
            f"\"For more air\" somebody has put a sheave of {typed['sheave']} pitch diameter on a motor of {typed['motor_speed']}; the"
            f" flywheel has {typed['flywheel']}. The pump's plate says {typed['plate_speed']}. By how many per cent does the pump, and so"
            " the power it asks, lie over the plate?"
        ),
        explanation=f"It turns {turns:.0f} rpm: {turns:.0f} ÷ {plate:.0f} {MINUS} 1 = {trade.shown(key, 'percent', system)}. {answer.remarks[0]}",
        source=answer.calculator.source,
        drawn={"turns": turns, "plate": plate},
        quantity="percent",
        key=key,
        tolerance=0.08,
        misses=(
            Miss(0.0, "Air that costs nothing is what was hoped for.", "bigger-sheave-is-free"),
            Miss(100.0 + key, "That is the whole speed in per cent of the plate's, not what lies over it.", "bigger-sheave-is-free"),
        ),
    )  # fmt: skip


def _which_sheave(rng: Random, system: System) -> Draft:
    typed = _sheaves(rng, system)
    shelf = SHEAVES[system]
    place = rng.randrange(2, len(shelf) - 2)
    pump = trade.reckon("sheave-speed", {**typed, "sheave": shelf[place]}).figures["pump_speed"].value
    plate = round(pump / 5) * 5
    if not PUMPS[0] < plate < PUMPS[1]:
        raise Unsuitable("such a pump is hardly met")
    others = rng.sample([i for i in range(place - 2, place + 3) if i != place], 3)
    old = {"flywheel": typed["flywheel"], "motor speed": typed["motor_speed"], "pump speed": f"{plate} rpm"}
    choices = []
    for i in (place, *others):
        judged = trade.verdict_on(
            "drive", {"old": {**old, "motor sheave": shelf[place]}, "new": {"motor sheave": shelf[i]}}, system
        )
        reason = judged.by_code("pump-speed")
        if reason is None:
            raise Unsuitable("the speed was not judged")
        fits = reason.verdict is Verdict.FITS
        belief = "bigger-sheave-is-free" if reason.verdict is Verdict.DOES_NOT_FIT else ""
        said = " ".join(part for part in (reason.statement, reason.change) if part)
        choices.append(Choice(f"{shelf[i]} pitch diameter", fits, said, belief))
    source = trade.reckon("sheave-speed", typed).calculator.source
    return Draft(
        stem=(
            f"A pump's plate says {plate} rpm and names no higher limit. The flywheel has a pitch diameter of {typed['flywheel']}, the motor"
            f" runs at {typed['motor_speed']}. Which motor sheave turns the pump at its plate's speed?"
        ),
        explanation="Flywheel times pump speed over motor speed, on pitch diameters. Measure the speed afterwards.",
        source=source,
        drawn={
            "plate": plate,
            "flywheel": trade.si(typed["flywheel"], "small_length"),
            "motor": trade.si(typed["motor_speed"], "speed_rpm"),
        },
        choices=tuple(choices),
    )  # fmt: skip


def _frame_for_the_sheave(rng: Random, system: System) -> Draft:
    start = like_for_like(rng)
    had = rng.choice(FRAMES)
    old = {**start.old, "frame": had}
    height = trade.table_frames()[had].shaft_height
    choices = []
    for name in rng.sample([one for one in FRAMES if one != had], 4):
        sheets = {"old": old, "new": {**old, "frame": name}, "place": start.place}
        judged = trade.verdict_on("motor", sheets, system)
        shaft, key = judged.by_code("shaft"), judged.by_code("key")
        if shaft is None or key is None:
            raise Unsuitable("shaft or key was not judged")
        fits = shaft.verdict is Verdict.FITS and key.verdict is Verdict.FITS
        belief = (
            "shaft-by-the-frame-height"
            if not fits and trade.table_frames()[name].shaft_height == height
            else ""
        )
        choices.append(Choice(f"Frame {name}", fits, f"{shaft.statement} {key.statement}", belief))
    if not any(choice.belief for choice in choices):
        raise Unsuitable("none has the old height and another shaft")
    return Draft(
        stem=(
            f"The sheave of {MACHINES[start.rig]} is bored for its motor, frame {had}, and is to stay. Feet and height can be made to suit."
            " On which of these frames does it go with bore and key as they are?"
        ),
        explanation="The suffix belongs to the shaft: T frames have thicker shafts than the older frames of their height.",
        source=str(trade.table_frames()[had].source),
        choices=tuple(choices),
    )  # fmt: skip


def _shaft_height(rng: Random, system: System) -> Draft:
    name = rng.choice(("143T", "145T", "182T", "184T", "213T", "215T", "254T", "256T", "56"))
    frame = trade.table_frames()[name]
    if frame.shaft_height is None or frame.shaft_diameter is None:
        raise Unsuitable("the table does not say")
    digits = int(name[:2])
    other = 56 / 4 if name == "56" else int(name.strip("T")) / 16
    return Draft(
        stem=f"A motor's plate says frame {name}. How high does the centre of its shaft stand above its feet?",
        explanation=(
            f"{'Two digits over 16' if name == '56' else 'The first two digits over 4'} give inches: {digits} ÷"
            f" {16 if name == '56' else 4} = {trade.shown(frame.shaft_height, 'small_length', 'us')}"
            f" ({trade.shown(frame.shaft_height, 'small_length', 'metric')})."
        ),
        source=frame.source,
        drawn={"digits": float(digits)},
        quantity="small_length",
        key=frame.shaft_height,
        tolerance=0.01,
        misses=(
            Miss(other * 0.0254, "Two-digit names are divided by 16, the first two digits of longer ones by 4."),
            Miss(frame.shaft_diameter, "That is the diameter of the shaft, not its height.", "shaft-by-the-frame-height"),
        ),
    )  # fmt: skip


def _base_plate(rng: Random, system: System) -> Draft:
    start = like_for_like(rng)
    tall, low = rng.choice(
        (
            ("184T", "145T"),
            ("182T", "143T"),
            ("215T", "184T"),
            ("213T", "182T"),
            ("215T", "145T"),
            ("184T", "56H"),
        )
    )
    sheets = {"old": {**start.old, "frame": tall}, "new": {**start.new, "frame": low}, "place": start.place}
    reason = trade.verdict_on("motor", sheets, system).by_code("shaft-height")
    if reason is None or reason.verdict is not Verdict.FITS_WITH_CHANGES:
        raise Unsuitable("the heights are alike")
    had, has = (trade.figure_of(reason, f"{which} shaft height") for which in ("old", "new"))
    key = had - has
    step = abs(int(tall[:2]) - int(low[:2])) / 16 * 0.0254
    return Draft(
        stem=(
            f"The motor of {MACHINES[start.rig]} has frame {tall}; one of enough power comes in frame {low}. On how thick a flat base must its"
            " feet stand for the shaft to be where it was?"
        ),
        explanation=f"{trade.shown(had, 'small_length', system)} {MINUS} {trade.shown(has, 'small_length', system)} = {trade.shown(key, 'small_length', system)}. {reason.change} {reason.rule}",
        source=reason.source,
        drawn={"old": had, "new": has},
        quantity="small_length",
        key=key,
        tolerance=0.03,
        misses=(
            Miss(step, "The first two digits of a three-digit name go over 4, not over 16.", "shaft-by-the-frame-height"),
            Miss(had, "That is the whole height of the old shaft, not what the new one lacks."),
        ),
    )  # fmt: skip


MAKERS: Final = (
    Maker("made-sheave-for-another-speed", "motor", "U7.5a", "number", "application", _another_speed, family="sheaves", fault="sheave-wrong-size", procedure="p-motor"),
    Maker("made-pump-speed", "motor", "U2.4a", "number", "application", _pump_speed, family="sheaves", fault="belt-slack", procedure="p-belt"),
    Maker("made-pump-over-its-speed", "motor", "U7.5a", "number", "analysis", _over_its_speed, family="sheaves", fault="sheave-wrong-size", procedure="p-belt"),
    Maker("made-which-sheave", "motor", "U7.5a", "single", "application", _which_sheave, family="sheaves", fault="sheave-wrong-size", procedure="p-belt"),
    Maker("made-frame-for-the-sheave", "motor", "U7.2d", "single", "recall", _frame_for_the_sheave, family="frames", fault="motor-wrong-frame", procedure="p-motor"),
    Maker("made-height-of-a-frame", "motor", "U7.2d", "number", "recall", _shaft_height, family="frames", fault="motor-wrong-frame", procedure="p-motor"),
    Maker("made-base-under-a-motor", "motor", "U7.5a", "number", "application", _base_plate, family="frames", fault="motor-wrong-frame", procedure="p-motor"),
)  # fmt: skip
