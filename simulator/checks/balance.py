"""Volts and amps of all three lines, and the leads rolled to see whether the odd one goes with supply or motor."""

from simulator.checks.electrical import AMPS, UNEQUAL_VOLTS, VOLTS, last_start, unbalance
from simulator.checks.hand import Job, need_power, stop_by_lever
from simulator.checks.listening import pump_for_a_while

# Limits of a judgement; common practice, no source, where none is named.
UNEQUAL_AMPS = 0.07  # half a percent between the volts alone makes three or four percent [-]
DEAD_LINE = 0.1  # of the line that carries most [-]
STALL_WATCHED = 3.0  # a motor that hums is clamped so long [s]
ROLLED_CHARGE = 1200.0  # with the leads rolled and put back [s]
ROLLS = 3  # bring every lead back to its place


def phase_balance(job: Job) -> str:
    """Read all three lines while it pumps; if they are unequal, roll the leads and read again."""
    need_power(job.session)
    before = job.session.clock
    began = pump_for_a_while(job)
    if isinstance(began, str):
        return _not_pumping(job, began, last_start(job, before))
    amps, volts = _read(job, AMPS, began), _read(job, VOLTS, began)
    _note(job, "", amps, volts)
    if min(amps) < DEAD_LINE * max(amps):
        return "one-line-dead"
    if unbalance(amps) < UNEQUAL_AMPS and unbalance(volts) < UNEQUAL_VOLTS:
        return "balanced"
    after = _rolled(job)
    if after is None:
        return "moves-with-motor" if unbalance(volts) < UNEQUAL_VOLTS else "stays-with-supply"
    return "moves-with-motor" if _odd(after) == _odd(amps) else "stays-with-supply"


def _not_pumping(job: Job, why: str, closed: float) -> str:
    """Clamp a motor that hums, if it takes any current."""
    if why == "stays-off":
        return why
    amps = [job.instruments.clamp(job.peak(channel, closed, closed + STALL_WATCHED)) for channel in AMPS]
    if why == "dead-silent":
        return "no-current"
    for i, one in enumerate(amps, start=1):
        job.note(f"amps_{i}", f"Lead {i}, while it hums", one, "current")
    return "one-line-dead" if min(amps) < DEAD_LINE * max(amps) else "equal-and-locked"


def _read(job: Job, channels: tuple[str, ...], since: float) -> list[float]:
    """Read the three of a kind, over a few seconds each."""
    read = job.instruments.clamp if channels is AMPS else job.instruments.volts
    return [read(job.mean(channel, since)) for channel in channels]


def _note(job: Job, rolled: str, amps: list[float], volts: list[float]) -> None:
    after = ", leads rolled" if rolled else ""
    for i, (one, between) in enumerate(zip(amps, volts, strict=True)):
        job.note(f"amps_{i + 1}{rolled}", f"Motor's lead {i + 1}{after}", one, "current")
        job.note(
            f"volts_{i + 1}{rolled}",
            f"Between leads {i + 1} and {(i + 1) % 3 + 1}{after}",
            between,
            "voltage",
        )
    job.note(f"amps_unbalance{rolled}", f"Amps, unbalance{after}", 100.0 * unbalance(amps), "percent")
    job.note(f"volts_unbalance{rolled}", f"Volts, unbalance{after}", 100.0 * unbalance(volts), "percent")


def _odd(amps: list[float]) -> int:
    """Which of the motor's leads stands farthest from the mean."""
    mean = sum(amps) / len(amps)
    return max(range(len(amps)), key=lambda i: abs(amps[i] - mean))


def _rolled(job: Job) -> list[float] | None:
    """Amps with every lead moved on by one, and the leads put back afterwards; nothing if it would not run."""
    job.charge = ROLLED_CHARGE
    _roll(job, 1)
    began = pump_for_a_while(job)
    after = None
    if not isinstance(began, str):
        after, volts = _read(job, AMPS, began), _read(job, VOLTS, began)
        _note(job, "_rolled", after, volts)
    _roll(job, ROLLS - 1)
    return after


def _roll(job: Job, times: int) -> None:
    """Lock out, move the leads, take the lock off: the lever stays at OFF."""
    stop_by_lever(job)
    for deed in ("isolate", "lock", *["roll-leads"] * times, "unlock", "restore"):
        job.session.operate(deed)
