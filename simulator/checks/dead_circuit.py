"""Electrical checks on the machine that is isolated and locked out: nothing here is live."""

import math

from simulator import instruments as seen
from simulator.checks.hand import Job

# Limits of a judgement; common practice, no source, where none is named.
RUN_CAPACITOR_OFF = 0.1  # a run capacitor may be so far below its mark [-]
OPEN_CAPACITOR = 0.1  # of its mark: less is as good as nothing [-]
OHMS_LOW = 0.04  # below the sheet, put to the same temperature [-]
OHMS_UNEQUAL = 0.03  # between the three readings from line to line, over their mean [-]
# Least insulation of a modern random-wound motor and the floor for an old one: IEEE 43, from memory.
GOOD_INSULATION, LEAST_INSULATION = 5e6, 1e6  # [ohm]
OVERLOAD_OFF = 0.05  # a dial reads no closer [-]
FARAD = 1e-6

_LEGS = {"none": "dead", "one": "one-leg-goes-through", "all": "poles-stay-closed"}


def prove_dead(job: Job) -> str:
    """Prove the tester, test all conductors, prove it again; then see whether the lever parts every leg."""
    return _LEGS[seen.legs_through_open_switch(job.physical)]


def capacitor(job: Job) -> str:
    """Measure the capacitors, discharged and disconnected."""
    motor = job.session.rig.electric_motor
    low, high = motor.start_capacitor
    start = (low + high) / 2.0 * FARAD * job.seen("motor.start_cap_factor")
    start = _note_capacitor(job, "start", "Start capacitor", start, f"marked {low:g} to {high:g} µF")
    if start < OPEN_CAPACITOR * low * FARAD:
        return "start-open"
    if start < low * FARAD:
        return "start-low"
    mark = motor.run_capacitance
    if not mark > 0.0:
        return "both-in-range"
    run = mark * job.seen("motor.run_cap_factor")
    run = _note_capacitor(job, "run", "Run capacitor", run, f"marked {mark / FARAD:g} µF")
    if run < OPEN_CAPACITOR * mark:
        return "run-open"
    return "run-low" if run < (1.0 - RUN_CAPACITOR_OFF) * mark else "both-in-range"


def _note_capacitor(job: Job, name: str, title: str, true: float, marked: str) -> float:
    return job.note(name, title, job.instruments.capacitance(true), "capacitance", marked)


def winding_ohms(job: Job) -> str:
    """Measure the disconnected windings and put the readings to 20 °C."""
    motor = job.session.rig.electric_motor
    ohms = seen.winding_ohms(job.physical, motor)
    if motor.kind == "three-phase":
        return _line_to_line(job, ohms)
    main, start = ohms
    main = job.note("main", "Main winding at 20 °C", job.instruments.ohms(main), "resistance")
    sheet = job.note("main_sheet", "The sheet's figure", motor.main_winding_resistance, "resistance")
    job.note("main_below", "Main winding below the sheet", max(100.0 * (1.0 - main / sheet), 0.0), "percent")
    if math.isinf(start):
        return "start-circuit-open"
    job.note("start", "Start winding at 20 °C", job.instruments.ohms(start), "resistance")
    return "main-low" if main < (1.0 - OHMS_LOW) * sheet else "as-the-sheet"


def _line_to_line(job: Job, ohms: tuple[float, ...]) -> str:
    for i, one in enumerate(ohms, start=1):
        job.note(f"pair_{i}", f"Lead {i} to lead {i % 3 + 1}", job.instruments.ohms(one), "resistance")
    spread = (max(ohms) - min(ohms)) / (sum(ohms) / len(ohms))
    job.note("spread", "Between highest and lowest, over the mean", 100.0 * spread, "percent")
    return "unequal" if spread > OHMS_UNEQUAL else "as-the-sheet"


def megger(job: Job) -> str:
    """Hold 500 V d.c. on the disconnected winding against the frame for a minute, then discharge it."""
    shown = job.instruments.megohms(seen.insulation(job.physical))
    job.note("insulation", "Winding to frame", shown, "resistance")
    if shown < LEAST_INSULATION:
        return "failed"
    return "doubtful" if shown < GOOD_INSULATION else "sound"


def overload_setting(job: Job) -> str:
    """Compare dial, heater or the protector's mark with the plate, and look for a jumper."""
    motor = job.session.rig.electric_motor
    setting = seen.overload_setting(job.physical, motor)
    plate = job.note("plate", "Plate, full-load amps", motor.full_load_current, "current")
    if math.isinf(setting):
        return "jumper-across"
    job.note("setting", "Set or marked for", setting, "current")
    if setting > (1.0 + OVERLOAD_OFF) * plate:
        return "set-high"
    return "set-low" if setting < (1.0 - OVERLOAD_OFF) * plate else "as-the-plate"
