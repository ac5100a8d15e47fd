"""The sums of the handbook for a compressor that need not be a rig: power, stages, clearance, size."""

import argparse
import json
import math

from simulator import heat, units
from simulator.cli import asking
from simulator.cli.asking import BadInput, Commands
from simulator.cli.lists import table

MOST_STAGES = 4


def add_to(commands: Commands) -> None:
    """Add the command `sums`."""
    command = commands.add_parser("sums", help="the handbook's sums: power, interstage, temperature, size")
    command.add_argument("--flow", required=True, metavar="FLOW", help="drawn in, at the inlet's conditions")
    command.add_argument("--inlet", default="101.325 kPa", metavar="PRESSURE", help="absolute (101.325 kPa)")
    command.add_argument("--outlet", required=True, metavar="PRESSURE", help="absolute")
    command.add_argument("--temperature", default="20 °C", metavar="T", help="of the inlet (20 °C)")
    command.add_argument("--exponent", default="1.4", metavar="N", help="of the compression, 1 to 1.4 (1.4)")
    command.add_argument(
        "--stages", default="1", metavar="N", help=f"1 to {MOST_STAGES}, perfectly cooled between"
    )
    command.add_argument("--clearance", default="0", metavar="C", help="clearance over swept volume (0)")
    command.add_argument("--speed", metavar="RPM", help="of the crank: gives the swept volume of a stroke")
    command.add_argument("--strokes", default="1", metavar="N", help="that draw in, in one turn (1)")
    command.add_argument("--stroke-over-bore", metavar="RATIO", help="gives the bore, with --speed")
    command.add_argument("--mechanical-efficiency", default="1", metavar="E", help="0 to 1 (1)")
    command.add_argument(
        "--drive-efficiency", default="1", metavar="E", help="of belt or coupling, 0 to 1 (1)"
    )
    command.add_argument("--json", action="store_true", help="answer in JSON, in SI units")
    command.set_defaults(answer=_sums)


def _sums(asked: argparse.Namespace) -> str:
    figures = worked(asked)
    if asked.json:
        return json.dumps(figures, allow_nan=False) + "\n"
    return table(
        [[name.rpartition("_")[0].replace("_", " "), _shown(name, value)] for name, value in figures.items()]
    )


def worked(asked: argparse.Namespace) -> dict[str, float]:
    """Work the sums out.

    Parameters
    ----------
    asked : Namespace
        The options, as typed.

    Returns
    -------
    dict
        SI; names end with their unit.

    References
    ----------
    Machinery's Handbook, 31st ed., air compression; Eastop and McConkey, Applied Thermodynamics, reciprocating
    compressors: see `simulator.heat`.
    """
    flow = asking.quantity(asked.flow, "air_flow", "--flow")
    inlet = asking.quantity(asked.inlet, "absolute_pressure", "--inlet")
    outlet = asking.quantity(asked.outlet, "absolute_pressure", "--outlet")
    warm = asking.quantity(asked.temperature, "temperature", "--temperature")
    if not flow > 0.0 or not 0.0 < inlet < outlet:
        raise BadInput("--flow must be above zero, and --outlet above --inlet above zero; both are absolute.")
    exponent = _number(asked.exponent, "--exponent", 1.0, 1.4)
    stages = _whole(asked.stages, "--stages", MOST_STAGES)
    ratio = (outlet / inlet) ** (1.0 / stages)
    filled = heat.volumetric_efficiency(_number(asked.clearance, "--clearance", 0.0, 0.3), ratio, exponent)
    indicated = heat.polytropic_power(inlet, flow, outlet, stages, exponent)
    shaft = indicated / _number(asked.mechanical_efficiency, "--mechanical-efficiency", 0.05, 1.0)
    figures = {"pressure_ratio_of_a_stage_-": ratio}
    figures |= {f"behind_stage_{stage}_Pa": inlet * ratio**stage for stage in range(1, stages)}
    figures |= {
        "volumetric_efficiency_-": filled,
        "discharge_temperature_K": heat.discharge_temperature(warm, ratio, exponent),
        "indicated_power_W": indicated,
        "shaft_power_W": shaft,
        "motor_power_W": shaft / _number(asked.drive_efficiency, "--drive-efficiency", 0.05, 1.0),
    }
    return figures | _size(asked, flow, filled)


def _size(asked: argparse.Namespace, flow: float, filled: float) -> dict[str, float]:
    """Swept volume of a stroke and bore of the first stage, where the speed is given."""
    if asked.speed is None:
        if asked.stroke_over_bore is not None:
            raise BadInput("--stroke-over-bore gives the bore only together with --speed.")
        return {}
    speed = asking.quantity(asked.speed, "speed_rpm", "--speed")
    if not speed > 0.0 or not filled > 0.0:
        raise BadInput("--speed must be above zero, and --clearance must leave something of the stroke.")
    swept = flow / (filled * speed / 60.0 * _whole(asked.strokes, "--strokes", 16))
    if asked.stroke_over_bore is None:
        return {"swept_volume_of_a_stroke_m3": swept}
    shape = _number(asked.stroke_over_bore, "--stroke-over-bore", 0.2, 5.0)
    return {"swept_volume_of_a_stroke_m3": swept, "bore_m": (4.0 * swept / (math.pi * shape)) ** (1.0 / 3.0)}


def _number(text: str, option: str, low: float, high: float) -> float:
    value = asking.plain_number(text)
    if value is None or not low <= value <= high:
        raise BadInput(f"{option}: '{text}' must be a number from {low:g} to {high:g}.")
    return value


def _whole(text: str, option: str, most: int) -> int:
    if not (text.isascii() and text.isdigit() and len(text) < 4 and 1 <= int(text) <= most):
        raise BadInput(f"{option}: '{text}' must be a whole number from 1 to {most}.")
    return int(text)


def _shown(name: str, value: float) -> str:
    match name.rpartition("_")[2]:
        case "Pa":
            return f"{units.convert(value, 'Pa', 'bar'):.3f} bar absolute, {units.convert(value, 'Pa', 'psi'):.2f} psi absolute"
        case "K":
            return f"{value:.1f} K, {units.show(value, 'temperature', 'metric')}, {units.show(value, 'temperature', 'us')}"
        case "W":
            return f"{value / 1e3:.3f} kW, {units.show(value, 'power', 'us')}"
        case "m3":
            return f"{value * 1e3:.4g} L"
        case "m":
            return f"{value * 1e3:.2f} mm"
    return f"{value:.4g}"
