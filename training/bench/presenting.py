"""What the bench's pages draw beyond what `queries` tell: the picture, dials, strip charts and grouped hands."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from training.bench.case import rig_of
from training.bench.drawing.chart import chart_rows, joined, reading, strip_chart
from training.bench.drawing.dials import PSI_PER_BAR, dial
from training.bench.drawing.picture import picture
from training.bench.drawing.wording import SMALL_DIALS, large_dial, pens, psi
from training.bench.handles import handles_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from simulator.rig import Rig
    from training.bench.actions import Outcome
    from training.bench.shown import BenchView, HandDeed, Suspect, TraceJson

CONFIDENCES = (
    ("unsure", "Unsure", "It is the best I have. Wrong costs nothing more."),
    ("fairly", "Fairly sure", "I would order the part. Wrong costs a mark."),
    ("sure", "Sure", "I have ruled the others out. Wrong costs three marks."),
)
METERS = (
    ("Current", "amps", "a"),
    ("Motor volts", "volts", "v"),
    ("Flywheel", "rpm", "n"),
    ("Head", "head_f", "t"),
    ("Line at tank", "line_f", "t"),
    ("Regulated", "reg", "p"),
)
# Hands that undo each other share one button on the page, so that the focus stays where the hand is.
PAIRS = {
    "open-outlet": "outlet", "shut-outlet": "outlet", "open-drain": "drain", "shut-drain": "drain",
    "vent-head": "head-vent", "shut-head-vent": "head-vent", "element-out": "element", "element-in": "element",
    "isolate": "isolator", "restore": "isolator", "lock": "lock", "unlock": "lock", "belt-off": "belt", "belt-on": "belt",
    "pull-ring": "ring", "release-ring": "ring", "hold-trigger": "trigger", "release-trigger": "trigger",
    "toggle-start": "toggle", "toggle-run": "toggle",
}  # fmt: skip
# After these the page says what makes the machine start; a finding stands alone.
HINTED = (None, "hand", "wait")
MAIN_HANDS = ("start", "stop", "outlet", "drain")
HAND_ICONS = {
    "start": "i-start", "stop": "i-stop", "outlet": "i-valve", "drain": "i-drain", "head-vent": "i-up",
    "element": "i-out", "isolator": "i-half", "lock": "i-lock", "reset-protector": "i-tick", "belt": "i-out", "ring": "i-up",
    "trigger": "i-valve", "toggle": "i-half", "roll-leads": "i-next",
}  # fmt: skip


@dataclass(frozen=True)
class HandButton:
    """One button of the hand controls."""

    ident: str
    do: str
    title: str
    icon: str
    open: bool


@dataclass(frozen=True)
class Meter:
    """One figure beside the dials; `shown` is what it reads now."""

    title: str
    channel: str
    kind: str
    unit: str
    shown: str


def bench_context(view: BenchView, system: str) -> dict[str, Any]:
    """Return what the bench page draws."""
    rig = picture(rig_of(view.call.rig))
    now = {channel: _now(view, channel) for channel in view.trace.get("ch", {})}
    hands = hand_buttons(view.hand_deeds)
    pegs = next(part["pegs_psi"] for part in rig["parts"] if part.get("ch") == "tank")
    scales = pens(rig_of(view.call.rig))
    charts = [
        {
            "cls": css,
            **strip_chart(
                history=view.history,
                ahead=view.trace,
                clock=view.clock,
                system=system,
                cuts=pegs,
                marks=[(note.number, note.clock) for note in view.notes if note.kind == "check"],
                width=width,
                height=height,
                ident=ident,
                scales=scales,
            ),
        }
        for css, width, height, ident in (
            ("chart-w", 1000, 372, "chart-wide"),
            ("chart-n", 440, 330, "chart-narrow"),
        )
    ]
    return {
        "rig": rig,
        "marks": {place["slug"]: place["mark"] for place in rig["places"]},
        "dials": _dials(rig_of(view.call.rig), now, pegs, system),
        "meters": _meters(now, system),
        "charts": charts,
        "rows": chart_rows(view.history, system, scales),
        "lower": scales,
        "main_hands": [hand for hand in hands if hand.ident in MAIN_HANDS],
        "more_hands": [hand for hand in hands if hand.ident not in MAIN_HANDS and hand.open],
        "hand_words": _hand_words(view),
        "hint": start_hint(view, now.get("tank"), min(pegs), system),
        "has": " ".join(now),
        "pressure_unit": "bar" if system == "metric" else "psi",
        "system": system,
        "pinned": [note for note in view.notes if note.pinned],
        "in_count": sum(not suspect.out for suspect in view.suspects),
        "confidences": CONFIDENCES,
        "proof_normal": any(row.normal for row in view.proof),
        "locations": locations_of(view.suspects),
        "safe_done": bool(view.safe_steps) and all(step.done for step in view.safe_steps),
    }


def hand_buttons(deeds: tuple[HandDeed, ...]) -> list[HandButton]:
    """Join hands that undo each other into one button: the one that can be done now."""
    slots: dict[str, HandDeed] = {}
    for deed in deeds:
        slot = PAIRS.get(deed.do, deed.do)
        if slot not in slots or (deed.open and not slots[slot].open):
            slots[slot] = deed
    return [
        HandButton(slot, deed.do, deed.title, HAND_ICONS.get(slot, "i-next"), deed.open)
        for slot, deed in slots.items()
    ]


def locations_of(suspects: tuple[Suspect, ...]) -> list[tuple[str, str, str]]:
    """List every place that some suspect can sit in, with the slugs of those that can."""
    found: dict[str, tuple[str, list[str]]] = {}
    for suspect in suspects:
        for code, title in suspect.locations:
            found.setdefault(code, (title, []))[1].append(suspect.slug)
    return [(code, title, " ".join(slugs)) for code, (title, slugs) in found.items()]


def _now(view: BenchView, channel: str) -> float | None:
    trace: TraceJson = view.trace
    return reading(joined({}, trace, channel), view.clock)


def _hand_words(view: BenchView) -> str:
    """Return the names of what stands open, on or locked, for the picture's styles."""
    hands = view.hands
    names: Mapping[str, bool] = {
        "lever-on": hands.lever_on, "isolated": hands.isolated, "locked": hands.locked,
        "outlet-open": hands.outlet_open, "drain-open": hands.drain_open,
        "head-vent-open": hands.head_vent_open, "element-out": hands.element_out, "belt-off": hands.belt_off,
        "ring-pulled": hands.ring_pulled, "trigger-held": hands.trigger_held, "toggle-unloaded": hands.toggle_unloaded,
    }  # fmt: skip
    return " ".join(name for name, stands in names.items() if stands)


def _dials(
    rig: Rig, now: Mapping[str, float | None], pegs: tuple[float, ...], system: str
) -> list[dict[str, Any]]:
    limit = psi(rig.receiver.maximum_pressure)
    tank = large_dial(rig)
    rows: list[tuple[str, str, str, dict[str, Any]]] = [
        ("tank", "TANK", "Tank", {**tank, "redline": limit, "pegs": pegs}),
        ("line", "HEAD", "Head line", {**tank, "redline": limit}),
    ]
    if rig.interstage_relief is not None:
        relief = psi(rig.interstage_relief.set_pressure)
        rows.append(("inter", "STAGE", "Interstage", {**SMALL_DIALS["inter"], "redline": relief}))
    rows.append(("oil", "OIL", "Oil pressure", SMALL_DIALS["oil"]))
    return [
        {
            "cap": title,
            "to": f"{scale['full_scale']} psi",
            "face": dial(channel=channel, radius=96, name=name, value=now[channel] or 0.0, **scale),
            "channel": channel,
            "shown": shown(now[channel], "p", system),
        }
        for channel, name, title, scale in rows
        if channel in now
    ]


def _meters(now: Mapping[str, float | None], system: str) -> list[Meter]:
    return [
        Meter(title, channel, kind, _unit(kind, system), shown(now[channel], kind, system))
        for title, channel, kind in METERS
        if channel in now
    ]


def _unit(kind: str, system: str) -> str:
    metric = system == "metric"
    return {"p": "bar" if metric else "psi", "t": "°C" if metric else "°F", "a": "A", "v": "V"}.get(
        kind, "rpm"
    )


def shown(value: float | None, kind: str, system: str) -> str:
    """Show a figure of the trace in the reader's units; the bench's script does the same with the same digits."""
    if value is None:
        return "\N{EN DASH}"
    metric = system == "metric"
    if kind == "p":
        return f"{value / PSI_PER_BAR:.2f}" if metric else f"{value:.1f}"
    if kind == "t":
        return f"{(value - 32) / 1.8:.0f}" if metric else f"{value:.0f}"
    return f"{value:.1f}" if kind == "a" else f"{value:.0f}"


def start_hint(view: BenchView, tank_psi: float | None, cut_in_psi: float, system: str) -> str:
    """Say how the machine is brought to start, by what anybody sees: lever, disconnect, tank gauge, switch scale."""
    if view.machine_state != "rest" or view.stage == "closed" or tank_psi is None:
        return ""
    hands, rig = view.hands, rig_of(view.call.rig)
    if hands.isolated:
        return f"{handles_of(rig)['isolate'].stands} It cannot start."
    if rig.has_engine:
        return "To see it run: toggle to START, turn the key, then toggle to RUN."
    return _lever_hint(view, tank_psi, cut_in_psi, system)


def _lever_hint(view: BenchView, tank_psi: float, cut_in_psi: float, system: str) -> str:
    hands = view.hands
    cut_in = f"{cut_in_psi / PSI_PER_BAR:.1f} bar" if system == "metric" else f"{cut_in_psi:.0f} psi"
    falls = f"once the receiver is down to cut-in, {cut_in}"
    if not hands.lever_on:
        return f"To see it run: lever to AUTO. It starts {falls}."
    if tank_psi <= cut_in_psi:
        return ""
    if hands.drain_open or hands.outlet_open:
        return f"It starts {falls}: let the clock run."
    return f"It starts {falls}. Open the drain or the outlet to bring it down, then let the clock run."


def done_words(rig: str, outcome: Outcome, hand: str) -> str:
    """Say what came of a deed without figures; a hand's deed is told by what stands after it."""
    handle = handles_of(rig_of(rig)).get(hand)
    if outcome.deed != "hand" or outcome.critical or handle is None:
        return outcome.words
    return handle.stands


def told(view: BenchView, outcome: Outcome | None, hand: str = "") -> str:
    """Say what came of a deed, with the readings of a finding; `hand` is what a hand did."""
    if outcome is None:
        return ""
    if outcome.deed == "hand":
        return done_words(view.call.rig, outcome, hand)
    note = next((note for note in view.notes if note.number == outcome.number), None)
    readings = "; ".join(f"{one.title} {one.shown}" for one in note.readings) if note else ""
    where = f"{note.check_title}, {note.place_title}: " if note and note.place_title else ""
    return f"{where}{outcome.words}{' ' + readings + '.' if readings else ''}"
