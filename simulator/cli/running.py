"""Run a rig: deeds at their times, channels at even times, events and the figures of the run."""

import argparse
import csv
import io
import json
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from simulator import ENGINE_VERSION, plot, units
from simulator.cli import asking
from simulator.cli.asking import BadInput, Commands, Deed
from simulator.cli.lists import table
from simulator.cli.summary import Figure, summary
from simulator.components.spec import nearest
from simulator.events import Event
from simulator.faults import Fault, Injected, find, load_faults
from simulator.hands import DEEDS
from simulator.plot import Series
from simulator.rig import Rig, find_rig, load_rigs
from simulator.session import Session
from simulator.trace import CHANNELS, UNITS, Trace

USUAL_LENGTH = 600.0  # [s]
AFTER_LAST_DEED = 60.0  # [s]
FIGURES_KEPT = 7  # significant ones in a channel's values

SAID = {
    "contacts-closed": "Contacts closed",
    "contacts-open": "Contacts opened",
    "protector-tripped": "Protector tripped",
    "relief-popped": "Relief valve popped",
    "relief-reseated": "Relief valve reseated",
    "start-switch-open": "Start switch opened",
    "start-switch-closed": "Start switch closed",
}


@dataclass(frozen=True)
class Asked:
    """A machine as it was asked for on the command line."""

    rig: Rig
    catalogue: dict[str, Fault]
    injected: tuple[Injected, ...]
    seed: int

    def session(self, receiver_gauge_pressure: float | None = None) -> Session:
        """Set the machine up."""
        return Session(
            self.rig,
            self.catalogue,
            self.injected,
            self.seed,
            receiver_gauge_pressure=receiver_gauge_pressure,
        )


def add_machine(command: argparse.ArgumentParser) -> None:
    """Add the options that say which machine it is, and how its instruments spread."""
    add_rig_and_faults(command)
    command.add_argument("--seed", default="0", metavar="N", help="of the instruments' spread (0)")


def add_rig_and_faults(command: argparse.ArgumentParser) -> None:
    """Add the options that say which machine it is."""
    command.add_argument("rig", metavar="RIG", help="a rig's slug, see 'rigs'")
    command.add_argument(
        "--fault",
        action="append",
        default=[],
        metavar="SLUG[=S]",
        help="put a fault in, with a severity from 0 to 1; SLUG@PLACE[=S] where it has places",
    )
    command.add_argument(
        "--set", action="append", default=[], metavar="PARAM=VALUE", help="set a physical parameter"
    )
    command.set_defaults(seed="0")


def asked_machine(asked: argparse.Namespace) -> Asked:
    """Make of the options the machine they ask for."""
    rig = find_rig(load_rigs(), asked.rig)
    catalogue = load_faults()
    injected = [asking.fault(text) for text in asked.fault]
    for one in injected:
        fault = find(catalogue, one.fault)
        if one.severity is not None and not fault.graded:
            raise BadInput(f"--fault: '{fault.slug}' has no severity. Write it as --fault {fault.slug}.")
    settings = [asking.setting(text, rig.slug) for text in asked.set]
    names = [setting.effects[0].parameter for setting in settings]
    for name in names:
        if names.count(name) > 1:
            raise BadInput(f"--set: '{name}' is set more than once. Set it once.")
    catalogue |= {setting.slug: setting for setting in settings}
    injected += [Injected(setting.slug) for setting in settings]
    return Asked(rig, catalogue, tuple(injected), asking.seed(asked.seed))


def add_to(commands: Commands) -> None:
    """Add the command `run`."""
    run = commands.add_parser("run", help="run a rig and record it")
    add_machine(run)
    run.add_argument("--log", metavar="FILE", help='deeds, as [{"at": "0 s", "do": "start"}, ..]')
    run.add_argument("--receiver", metavar="PRESSURE", help="gauge pressure at the start (empty)")
    run.add_argument("--for", dest="length", metavar="TIME", help='how long, such as "30 min"')
    run.add_argument("--every", default="1 s", metavar="TIME", help='distance of the rows ("1 s")')
    shape = run.add_mutually_exclusive_group()
    shape.add_argument("--json", action="store_true", help="everything, in JSON")
    shape.add_argument("--csv", action="store_true", help="the channels, a row for each time")
    shape.add_argument("--plot", metavar="FILE.svg", help="draw pressures and current")
    run.set_defaults(answer=_run)


def _run(asked: argparse.Namespace) -> str:
    machine = asked_machine(asked)
    deeds = _deeds(asked.log)
    length = _length(asked.length, deeds)
    times = np.array(asking.sample_times(length, asking.duration(asked.every, "--every")))
    picture = picture_file(asked.plot)
    session = machine.session(_charge(asked.receiver, machine.rig))
    _do(session, deeds, length)
    if asked.json:
        return _as_json(session, times)
    if asked.csv:
        return _as_csv(session, times)
    if picture is not None:
        return _as_picture(session, times, picture)
    return _as_text(session)


def _deeds(path: str | None) -> list[Deed]:
    """Deeds of the log, or the one of switching on."""
    if path is None:
        return [Deed(0.0, "start")]
    deeds = asking.read_log(path)
    for number, deed in enumerate(deeds, start=1):
        if deed.do not in DEEDS:
            raise BadInput(
                f"--log: entry {number}: no deed is called '{deed.do}'.{nearest(deed.do, set(DEEDS))}"
            )
    return deeds


def _length(text: str | None, deeds: Sequence[Deed]) -> float:
    last = deeds[-1].at if deeds else 0.0
    if text is None:
        return min(max(USUAL_LENGTH, last + AFTER_LAST_DEED), asking.LONGEST_RUN)
    length = asking.duration(text, "--for")
    if last > length:
        raise BadInput(f"--log: the last deed is at {last:g} s, after the end of the run at {length:g} s.")
    return length


def _charge(text: str | None, rig: Rig) -> float:
    if text is None:
        return 0.0
    pressure = asking.quantity(text, "gauge_pressure", "--receiver")
    if not 0.0 <= pressure <= rig.receiver.maximum_pressure:
        most = units.show(rig.receiver.maximum_pressure, "gauge_pressure", _system(rig))
        raise BadInput(f"--receiver: '{text}' must lie between 0 and the receiver's MAWP, {most}.")
    return pressure


def picture_file(path: str | None) -> Path | None:
    """Refuse a picture that could not be written before the run, not after it."""
    if path is None:
        return None
    where = Path(path)
    if where.suffix != ".svg":
        raise BadInput(f"--plot: '{path}' is no SVG file. Write a name that ends in .svg.")
    if not where.parent.is_dir():
        raise BadInput(f"--plot: there is no folder '{where.parent}'.")
    return where


def _do(session: Session, deeds: Sequence[Deed], length: float) -> None:
    for deed in deeds:
        session.run(deed.at - session.clock)
        session.operate(deed.do)
    session.run(length - session.clock)


def _rounded(values: Series) -> list[float]:
    return [float(f"{value:.{FIGURES_KEPT}g}") + 0.0 for value in values]  # + 0.0 turns -0.0 into 0.0


def _read(trace: Trace, name: str, times: Series) -> Series:
    """Read a channel at even times, by straight lines between its samples."""
    values: Series = np.interp(times, trace.time, trace.channel(name))
    return values


def _as_json(session: Session, times: Series) -> str:
    trace = session.trace
    answer = {
        "rig": session.rig.slug,
        "engine_version": ENGINE_VERSION,
        "time": times.tolist(),
        "channels": {
            name: {"unit": UNITS[name], "values": _rounded(_read(trace, name, times))} for name in CHANNELS
        },
        "events": [_event(event) for event in session.events],
        "summary": summary(session),
    }
    return json.dumps(answer, ensure_ascii=False, allow_nan=False) + "\n"


def _event(event: Event) -> dict[str, float | str]:
    plain: dict[str, float | str] = {"t": event.t, "what": event.what}
    return plain | {"detail": event.detail} if event.detail else plain


def _as_csv(session: Session, times: Series) -> str:
    trace, out = session.trace, io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(["time [s]", *(f"{name} [{UNITS[name] or '-'}]" for name in CHANNELS)])
    columns = [_rounded(_read(trace, name, times)) for name in CHANNELS]
    writer.writerows(zip(times.tolist(), *columns, strict=True))
    return out.getvalue()


def _as_picture(session: Session, times: Series, where: Path) -> str:
    system = _system(session.rig)
    trace = session.trace
    # Between the even rows an inrush or a vent would be lost: the picture takes the engine's own samples too.
    every = np.unique(np.concatenate([times, trace.time]))

    def pen(label: str, name: str, colour: str, quantity: str) -> plot.Pen:
        shown = [units.number(float(value), quantity, system) for value in _read(trace, name, every)]
        return plot.Pen(label, colour, np.array(shown))

    def pressure(label: str, name: str, colour: str) -> plot.Pen:
        return pen(label, name, colour, "gauge_pressure")

    def temperature(label: str, name: str, colour: str) -> plot.Pen:
        return pen(label, name, colour, "temperature")

    rig = session.rig
    between = (pressure("Interstage", "interstage_gauge_pressure", plot.GRAPHITE),) if rig.stages == 2 else ()
    winding = () if rig.has_engine else (temperature("Winding", "winding_temperature", plot.AMPS),)
    chart = plot.Chart(
        title=session.rig.title,
        time=every,
        pressure_unit=units.unit("gauge_pressure", system),
        pressures=(
            pressure("Receiver", "receiver_gauge_pressure", plot.TANK),
            pressure("Head line", "head_line_gauge_pressure", plot.HEAD_LINE),
            *between,
        ),
        temperature_unit=units.unit("temperature", system),
        temperatures=(
            temperature("Receiver's air", "receiver_temperature", plot.TANK),
            temperature("Hottest head", "head_temperature", plot.HEAD_LINE),
            *winding,
        ),
        current=plot.Pen("Motor current", plot.AMPS, _read(trace, "motor_current", every)),
        marks=tuple(plot.Mark(event.t, _said(event), event.what == "deed") for event in session.events),
    )
    return write_picture(plot.draw(chart), where)


def write_picture(picture: str, where: Path) -> str:
    """Write a picture where it was asked for; the answer names the file."""
    try:
        where.write_text(picture, encoding="utf-8")
    except OSError as refusal:
        raise BadInput(f"--plot: '{where}' cannot be written: {refusal.strerror}.") from refusal
    return f"{where}\n"


def _said(event: Event) -> str:
    if event.what == "deed":
        return event.detail.replace("-", " ").capitalize()
    return SAID.get(event.what, event.what.replace("-", " ").capitalize())


def _as_text(session: Session) -> str:
    system = _system(session.rig)
    head = f"{session.rig.title}\n{units.show(session.clock, 'duration', system)}, engine {ENGINE_VERSION}\n"
    pressure = session.trace
    events = table(
        [
            [
                f"{event.t:.1f} s",
                units.show(float(pressure.at("receiver_gauge_pressure", event.t)), "gauge_pressure", system),
                _said(event),
            ]
            for event in session.events
        ]
    )
    rows = [
        [name, _shown(value), _shown(session.rig.reference.get(name))]
        for name, value in summary(session).items()
    ]
    figures = table([["", "this run", "reference"], *rows])
    return f"{head}\n{events}\n{figures}"


def _shown(value: Figure) -> str:
    if value is None:
        return "-"
    if isinstance(value, list):
        return " ".join(_shown(one) for one in value)
    return f"{value:.4g}"


def _system(rig: Rig) -> units.System:
    return "metric" if rig.display_units == "metric" else "us"
