"""Measure how fast the engine is, and against what."""

import argparse
import json

from simulator.cli.asking import BadInput, Commands


def add_to(commands: Commands) -> None:
    """Add the command `benchmark`."""
    command = commands.add_parser("benchmark", help="measure the engine against SciPy, in one run")
    command.add_argument("--json", action="store_true", help="answer in JSON")
    command.set_defaults(answer=_benchmark)


def _benchmark(asked: argparse.Namespace) -> str:
    # Only this command needs SciPy, which loads slowly and is there for development alone.
    try:
        from simulator.benchmark import measure, plain, table  # noqa: PLC0415
    except ModuleNotFoundError as refusal:
        if refusal.name is None or refusal.name.partition(".")[0] != "scipy":
            raise
        raise BadInput(
            "benchmark compares with SciPy, a development dependency that is not installed: run 'uv sync'."
        ) from refusal
    result = measure()
    if asked.json:
        return json.dumps(plain(result), ensure_ascii=False, allow_nan=False) + "\n"
    return table(result)
