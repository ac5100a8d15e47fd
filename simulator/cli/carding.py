"""Draw the indicator card of a rig's cylinders, by crank angle, with its figures."""

import argparse
import json
import math

import numpy as np

from simulator import air, plot, units
from simulator.adjustable import fault_values, healthy_values
from simulator.cli import asking
from simulator.cli.asking import BadInput, Commands
from simulator.cli.lists import table
from simulator.cli.running import Asked, add_rig_and_faults, asked_machine, picture_file, write_picture
from simulator.components.spec import nearest
from simulator.cylinder.card import Card, Settled, settle
from simulator.cylinder.rigs import machine_of
from simulator.cylinder.timing import time_card
from simulator.rig import Rig

ANGLE_STEP = 10  # of the printed table [degrees]
PENS = (plot.TANK, plot.HEAD_LINE)  # first and second stage


def add_to(commands: Commands) -> None:
    """Add the command `card`."""
    command = commands.add_parser("card", help="turn a cylinder by crank angle: the indicator card")
    add_rig_and_faults(command)
    command.add_argument("--cylinder", metavar="SLUG", help="only this cylinder, such as lp1")
    command.add_argument("--pressure", metavar="PRESSURE", help="gauge pressure in the line (cut-out)")
    command.add_argument("--time", action="store_true", help="also measure how long a card takes")
    shape = command.add_mutually_exclusive_group()
    shape.add_argument("--json", action="store_true", help="answer in JSON")
    shape.add_argument("--plot", metavar="FILE.svg", help="draw the card")
    command.set_defaults(answer=_card)


def _card(asked: argparse.Namespace) -> str:
    machine = asked_machine(asked)
    slugs = _cylinders(machine.rig, asked.cylinder)
    pressure = _pressure(asked.pressure, machine.rig)
    picture = picture_file(asked.plot)
    values = fault_values(machine.rig, machine.catalogue, machine.injected)
    found = settle(machine_of(machine.rig, values, pressure))
    sound = None
    if machine.injected:
        sound = settle(machine_of(machine.rig, healthy_values(machine.rig), pressure))
    timing = time_card(machine.rig, pressure) if asked.time else None
    if asked.json:
        plain = _plain(machine.rig, found, sound, slugs)
        if timing is not None:
            plain["timing"] = timing._asdict()
        return json.dumps(plain, ensure_ascii=False, allow_nan=False) + "\n"
    if picture is not None:
        return write_picture(_drawn(machine, found, sound, slugs, pressure), picture)
    text = _text(machine.rig, found, sound, slugs)
    if timing is not None:
        text += f"\nA settled card takes {timing.seconds * 1e3:.0f} ms: {timing.turns} turns of {timing.steps} steps.\n"
    return text


def _cylinders(rig: Rig, slug: str | None) -> list[str]:
    known = [cylinder.slug for cylinder in rig.pump.cylinders]
    if slug is None:
        return known
    if slug not in known:
        raise BadInput(f"--cylinder: {rig.slug} has no cylinder '{slug}'.{nearest(slug, set(known))}")
    return [slug]


def _pressure(text: str | None, rig: Rig) -> float:
    """Absolute pressure in the line. [Pa]"""
    if text is None:
        return rig.switch.cut_out + air.STANDARD_PRESSURE
    pressure = asking.quantity(text, "gauge_pressure", "--pressure")
    if not 0.0 <= pressure <= rig.receiver.maximum_pressure:
        most = units.show(rig.receiver.maximum_pressure, "gauge_pressure", _system(rig))
        raise BadInput(f"--pressure: '{text}' must lie between 0 and the receiver's MAWP, {most}.")
    return pressure + air.STANDARD_PRESSURE


def _system(rig: Rig) -> units.System:
    return "metric" if rig.display_units == "metric" else "us"


def _litres(mass_flow: float) -> str:
    """Mass flow as litres of free air a minute."""
    return f"{mass_flow / air.FREE_AIR_DENSITY * 60_000.0:.2f} L/min"


def _gauge(pressure: float, rig: Rig) -> str:
    return units.show(pressure - air.STANDARD_PRESSURE, "gauge_pressure", _system(rig))


def _efficiency(card: Card, speed: float) -> float:
    """Delivered, over the stroke filled at the pressure and temperature of the intake chamber."""
    filled = air.density(card.intake_pressure, card.intake_temperature) * card.swept_volume
    return card.delivered / (filled * speed / (2.0 * math.pi))


def _figures(card: Card, speed: float, rig: Rig) -> list[tuple[str, str]]:
    return [
        ("indicated power", f"{card.indicated_power:.0f} W"),
        ("mean effective pressure", f"{card.mean_effective_pressure / 1e3:.1f} kPa"),
        ("volumetric efficiency", f"{100.0 * _efficiency(card, speed):.1f} %"),
        ("delivered", _litres(card.delivered)),
        ("past the rings", _litres(card.ring_leak)),
        ("blown back at the intake", _litres(card.blow_back)),
        ("fallen back at the discharge", _litres(card.fallen_back)),
        ("round an inner gasket", _litres(card.gasket_flow)),
        ("highest pressure", _gauge(float(card.pressure.max()), rig)),
        ("lowest pressure", _gauge(float(card.pressure.min()), rig)),
        ("air at the discharge reed", units.show(card.discharge_temperature, "temperature", _system(rig))),
        ("air in the discharge chamber", units.show(card.outlet_temperature, "temperature", _system(rig))),
        ("head", units.show(card.metal_temperature, "temperature", _system(rig))),
    ]


def _text(rig: Rig, found: Settled, sound: Settled | None, slugs: list[str]) -> str:
    parts = [f"{rig.title}\n{_whole(rig, found, sound)}"]
    for slug in slugs:
        card = found.card(slug)
        names = ["cylinder " + slug, "this machine", "sound"][: 3 if sound else 2]
        rows = [[*pair] for pair in _figures(card, found.speed, rig)]
        if sound:
            for row, (_, value) in zip(rows, _figures(sound.card(slug), sound.speed, rig), strict=True):
                row.append(value)
        parts += [table([names, *rows]), _angles(card, rig)]
    return "\n".join(parts)


def _whole(rig: Rig, found: Settled, sound: Settled | None) -> str:
    """What belongs to the machine rather than to one cylinder."""
    columns = [found, sound] if sound else [found]
    rows = [
        ["machine", "this machine", "sound"][: 1 + len(columns)],
        ["head line, mean", *(_gauge(one.mean_pressure[-1], rig) for one in columns)],
        ["delivered", *(_litres(one.delivered) for one in columns)],
        ["indicated power", *(f"{one.indicated_power:.0f} W" for one in columns)],
    ]
    if rig.stages == 2:
        rows += [
            ["interstage, mean", *(_gauge(one.interstage_pressure, rig) for one in columns)],
            [
                "interstage, swing",
                *(units.show(one.interstage_swing, "pressure_drop", _system(rig)) for one in columns),
            ],
        ]
    return table(rows)


def _angles(card: Card, rig: Rig) -> str:
    every = len(card.angle) * ANGLE_STEP // 360
    rows = [
        [
            f"{math.degrees(card.angle[i]):.0f}°",
            f"{card.volume[i] * 1e6:.1f}",
            _gauge(float(card.pressure[i]), rig),
            units.show(float(card.temperature[i]), "temperature", _system(rig)),
            f"{100.0 * card.intake_lift[i]:.0f} %",
            f"{100.0 * card.discharge_lift[i]:.0f} %",
        ]
        for i in range(0, len(card.angle), every)
    ]
    return table([["angle", "cm³", "pressure", "air", "intake reed", "discharge reed"], *rows])


def _plain(rig: Rig, found: Settled, sound: Settled | None, slugs: list[str]) -> dict[str, object]:
    answer: dict[str, object] = {
        "rig": rig.slug,
        "machine": _plain_machine(found),
        "cylinders": [_plain_card(found, s) for s in slugs],
    }
    if sound:
        answer["sound"] = {
            "machine": _plain_machine(sound),
            "cylinders": [_plain_card(sound, slug) for slug in slugs],
        }
    return answer


def _plain_machine(found: Settled) -> dict[str, float]:
    return {
        "head_line_pressure_Pa": found.mean_pressure[-1],
        "interstage_pressure_Pa": found.interstage_pressure,
        "interstage_swing_Pa": found.interstage_swing,
        "delivered_kg_s": found.delivered,
        "indicated_power_W": found.indicated_power,
        "turns": float(found.turns),
        "unrest": found.unrest,
    }


def _plain_card(found: Settled, slug: str) -> dict[str, object]:
    card = found.card(slug)
    return {
        "cylinder": slug,
        "stage": card.stage,
        "indicated_power_W": card.indicated_power,
        "mean_effective_pressure_Pa": card.mean_effective_pressure,
        "volumetric_efficiency": _efficiency(card, found.speed),
        "drawn_kg_s": card.drawn,
        "delivered_kg_s": card.delivered,
        "ring_leak_kg_s": card.ring_leak,
        "blow_back_kg_s": card.blow_back,
        "fallen_back_kg_s": card.fallen_back,
        "gasket_kg_s": card.gasket_flow,
        "heat_to_wall_W": card.heat_to_wall,
        "discharge_temperature_K": card.discharge_temperature,
        "outlet_temperature_K": card.outlet_temperature,
        "head_temperature_K": card.metal_temperature,
        "intake_pressure_Pa": card.intake_pressure,
        "discharge_pressure_Pa": card.discharge_pressure,
        "angle_deg": [round(math.degrees(value), 3) for value in card.angle],
        "volume_m3": [float(f"{value:.6g}") for value in card.volume],
        "pressure_Pa": [float(f"{value:.6g}") for value in card.pressure],
        "temperature_K": [float(f"{value:.6g}") for value in card.temperature],
        "intake_lift": [round(float(value), 4) for value in card.intake_lift],
        "discharge_lift": [round(float(value), 4) for value in card.discharge_lift],
    }


def _drawn(machine: Asked, found: Settled, sound: Settled | None, slugs: list[str], pressure: float) -> str:
    rig, system = machine.rig, _system(machine.rig)

    def curve(card: Card, label: str, colour: str, *, dashed: bool) -> plot.Curve:
        shown = [
            units.number(float(p) - air.STANDARD_PRESSURE, "gauge_pressure", system) for p in card.pressure
        ]
        volumes = card.volume * 1e6
        around = [*range(len(volumes)), 0]  # the card closes
        return plot.Curve(label, colour, volumes[around], np.array(shown)[around], dashed)

    curves = []
    for slug in slugs:
        card = found.card(slug)
        if sound:
            curves.append(curve(sound.card(slug), f"{slug}, sound", plot.GRAPHITE, dashed=True))
        curves.append(
            curve(card, f"{slug}: {card.indicated_power:.0f} W", PENS[card.stage - 1], dashed=False)
        )
    faults = ", ".join(one.fault for one in machine.injected) or "nothing wrong"
    at = _gauge(pressure, rig)
    return plot.draw_curves(
        plot.CurveChart(
            title=rig.title,
            words=f"Gauge pressure in the cylinder over its volume through one turn, line at {at}. "
            + ". ".join(f"Cylinder {slug} takes {found.card(slug).indicated_power:.0f} W" for slug in slugs)
            + ".",
            x_name="volume",
            x_unit="cm³",
            y_name=f"Indicator card, line at {at}: {faults}",
            y_unit=units.unit("gauge_pressure", system),
            curves=tuple(curves),
        )
    )
