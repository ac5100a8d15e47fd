"""Rank what can be wrong by what was seen, and say which check is worth taking next."""

import argparse
import json
import sys
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from simulator import ENGINE_CACHE
from simulator.checks import check_for, find_check
from simulator.cli.asking import BadInput, Commands
from simulator.cli.lists import table
from simulator.components.spec import nearest
from simulator.evidence import (
    HEALTHY,
    NextCheck,
    OutcomeTable,
    best_next,
    build_table,
    outcome_table,
    suspects_of,
)
from simulator.faults import Fault, load_faults
from simulator.rig import Rig, find_rig, load_rigs

# Weight of a sound machine among the calls that come in, on the scale of the faults' base rates. Common
# practice, no source.
HEALTHY_RATE = 5.0
# Weight of an outcome that a suspect did not give in the tables: production spread is wider than they are.
DOUBT = 0.1
STILL_IN = 0.02  # share below which a suspect is not worth a check of its own
NEXT_SHOWN = 5
MOST_COMPARED = 6  # of the likeliest suspects, for which every check is taken


@dataclass(frozen=True)
class Saw:
    """One finding: the check, its place, its outcome."""

    check: str
    place: str
    outcome: str


def add_to(commands: Commands) -> None:
    """Add the command `suspects`."""
    command = commands.add_parser("suspects", help="rank the causes by what was seen")
    command.add_argument("rig", metavar="RIG", help="a rig's slug, see 'rigs'")
    command.add_argument(
        "--saw",
        action="append",
        default=[],
        metavar="CHECK=OUTCOME",
        help="a finding; CHECK@PLACE=OUTCOME for a check with several places",
    )
    command.add_argument("--json", action="store_true", help="answer in JSON")
    command.set_defaults(answer=_suspects)


def _suspects(asked: argparse.Namespace) -> str:
    rig = find_rig(load_rigs(), asked.rig)
    seen = [read_saw(text) for text in asked.saw]
    catalogue = load_faults()
    for saw in seen:
        check_for(rig, saw.check, saw.place)  # refuses what this machine has not
    found = {(saw.check, saw.place) for saw in seen}
    shares = ranked(build_table(rig, catalogue, progress=_progress, pairs=found), catalogue, seen, rig)
    still_in = [suspect for suspect, share in shares.items() if share >= STILL_IN][:MOST_COMPARED]
    outcomes = outcome_table(rig, catalogue, still_in, ENGINE_CACHE, _progress)
    taken = {(saw.check, saw.place) for saw in seen}
    following = [one for one in best_next(outcomes, still_in) if (one.check, one.place) not in taken][
        :NEXT_SHOWN
    ]
    if asked.json:
        return json.dumps(_plain(shares, following), ensure_ascii=False, allow_nan=False) + "\n"
    return _text(shares, following, catalogue)


def _progress(done: int, whole: int) -> None:
    """Say on a terminal how far the table is, which takes a while the first time."""
    if sys.stderr.isatty():
        sys.stderr.write(
            f"\rtaking every check under every suspect: {done} of {whole}{'' if done < whole else chr(10)}"
        )


def read_saw(text: str) -> Saw:
    """Read CHECK=OUTCOME or CHECK@PLACE=OUTCOME, held to the check's closed lists.

    Parameters
    ----------
    text : str
        As typed.

    Returns
    -------
    Saw
        The finding.

    Raises
    ------
    BadInput
        With the nearest thing that would be right.
    """
    name, equals, outcome = text.partition("=")
    slug, _, place = name.partition("@")
    if not equals or not slug:
        raise BadInput(f"--saw: '{text}' is no finding. Write it as pump-up=slow or soap@lp-shell=bubbles.")
    check = find_check(slug)
    if outcome not in check.outcomes:
        raise BadInput(f"--saw: '{slug}' has no outcome '{outcome}'.{nearest(outcome, set(check.outcomes))}")
    return Saw(slug, check.place(place).slug, outcome)


def ranked(
    outcomes: OutcomeTable, catalogue: Mapping[str, Fault], seen: Iterable[Saw], rig: Rig
) -> dict[str, float]:
    """Share of each suspect after the findings, the likeliest first.

    Parameters
    ----------
    outcomes : OutcomeTable
        Of the checks seen, under every suspect of the rig.
    catalogue : mapping
        The faults.
    seen : iterable of Saw
        What was found, taken as independent.
    rig : Rig
        The rig.

    Returns
    -------
    dict
        Suspect to share; they add up to 1.

    References
    ----------
    Bayes' rule.
    """
    suspects = suspects_of(rig, catalogue)
    weights = {
        suspect: HEALTHY_RATE if suspect == HEALTHY else catalogue[suspect].base_rate for suspect in suspects
    }
    for saw in seen:
        for suspect, given in outcomes.outcomes[saw.check, saw.place].items():
            weights[suspect] *= (given.count(saw.outcome) + DOUBT) / (len(given) + DOUBT)
    whole = sum(weights.values())
    return dict(sorted(((name, weight / whole) for name, weight in weights.items()), key=lambda one: -one[1]))


def _plain(shares: Mapping[str, float], following: Sequence[NextCheck]) -> dict[str, object]:
    return {
        "suspects": [{"fault": name, "share": share} for name, share in shares.items()],
        "next": [
            {
                "check": one.check,
                "place": one.place,
                "minutes": one.minutes,
                "parts": [list(pair) for pair in one.parts],
                "outcomes": {name: list(given) for name, given in one.outcomes.items()},
            }
            for one in following
        ],
    }


def _text(shares: Mapping[str, float], following: Sequence[NextCheck], catalogue: Mapping[str, Fault]) -> str:
    causes = table(
        [
            [f"{100.0 * share:5.1f} %", name, catalogue[name].title if name in catalogue else "Nothing wrong"]
            for name, share in shares.items()
        ]
    )
    if not following:
        return f"{causes}\nNo check parts what is left for certain.\n"
    checks = table(
        [
            [one.check, one.place, f"{one.minutes:.0f} min", f"parts {len(one.parts)} pairs of suspects"]
            for one in following
        ]
    )
    return f"{causes}\nWorth taking next:\n{checks}"
