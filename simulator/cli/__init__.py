"""The simulator on the command line: list, run, check and measure without the site."""

import argparse
import difflib
import sys
from collections.abc import Sequence
from typing import NoReturn

from simulator.adjustable import BadParameter
from simulator.calculators import BadInputs, UnknownCalculator
from simulator.checks import CannotTake, UnknownCheck, UnsafeCheck
from simulator.cli import (
    calculating,
    carding,
    checking,
    fitting,
    lists,
    measuring,
    running,
    summing,
    suspecting,
    trying,
)
from simulator.cli.asking import BadInput
from simulator.components.spec import BadSpec
from simulator.cylinder.card import NotPeriodic
from simulator.engine import EngineFailed
from simulator.faults import BadFault
from simulator.rig import UnknownRig

BAD_INPUT = 2
REFUSALS = (
    BadInput,
    BadInputs,
    BadFault,
    BadParameter,
    BadSpec,
    CannotTake,
    EngineFailed,
    NotPeriodic,
    UnknownCalculator,
    UnknownCheck,
    UnknownRig,
    UnsafeCheck,
)


class Parser(argparse.ArgumentParser):
    """A parser that refuses in one line and names the nearest thing that would do."""

    def error(self, message: str) -> NoReturn:
        """Leave with status 2 and one line."""
        one_line = " ".join(message.split())
        self.exit(BAD_INPUT, f"{self.prog}: {one_line.removesuffix('.')}. See {self.prog} --help.\n")


def main(arguments: Sequence[str] | None = None) -> int:
    """Read the command line, do it, and give the exit status.

    Parameters
    ----------
    arguments : sequence of str, optional
        As typed after the program's name; the process's own if left out.

    Returns
    -------
    int
        0, or 2 on bad input.
    """
    parser = _parser()
    given = list(sys.argv[1:] if arguments is None else arguments)
    _check_command(parser, given)
    asked = parser.parse_args(given)
    try:
        sys.stdout.write(asked.answer(asked))
    except REFUSALS as refusal:
        sys.stderr.write(f"{parser.prog}: {' '.join(str(refusal).split())}\n")
        return BAD_INPUT
    return 0


def _parser() -> Parser:
    parser = Parser(
        prog="python -m simulator", description="An air compressor with faults, on the command line."
    )
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", required=True, parser_class=Parser)
    rooms = (lists, running, trying, checking, suspecting, carding, summing, fitting, calculating, measuring)
    for room in rooms:
        room.add_to(commands)
    return parser


def _check_command(parser: Parser, given: Sequence[str]) -> None:
    """Refuse an unknown command before argparse does, so as to name the nearest."""
    own = ("run", "trial", "check", "suspects", "card", "sums", "fit", "calculate", "benchmark")
    known = [*lists.COMMANDS, *own]
    if given and not given[0].startswith("-") and given[0] not in known:
        near = difflib.get_close_matches(given[0], known, n=1)
        advice = f"Did you mean '{near[0]}'?" if near else f"Commands: {', '.join(known)}."
        parser.error(f"There is no command '{given[0]}'. {advice}")
