"""The same deeds on the same rig with another fault: what would have been found instead."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from simulator.checks import CannotTake, Finding, UnsafeCheck, take
from simulator.faults import Fault, Injected, find
from simulator.rig import Rig
from simulator.session import Session

SEVERITIES = (0.3, 0.6, 0.9, 1.0)
HEALTHY = "healthy"  # the suspect that is no fault at all
NOT_TAKEN = "not-taken"  # outcome of a check that could not be taken under that suspect


@dataclass(frozen=True)
class Deed:
    """One thing done on the machine, as the attempt's log has it.

    Parameters
    ----------
    at : float
        When, on the rig's clock. [s]
    do : str
        A deed of `Session.operate`, "wait" for one that only lets time pass, or "check".
    check, place, key : str
        For a check: what `simulator.checks.take` was given.
    """

    at: float
    do: str
    check: str = ""
    place: str = ""
    key: str = ""


@dataclass(frozen=True)
class Separation:
    """A finding that parts the true fault from a suspect.

    Parameters
    ----------
    index : int
        Which of the deeds.
    check, place, seen : str
        What was done, where, and the outcome found.
    instead : tuple of str
        Outcomes the suspect would have given, whatever its severity and location.
    """

    index: int
    check: str
    place: str
    seen: str
    instead: tuple[str, ...]


def variants(rig: Rig, faults: Mapping[str, Fault], suspect: str) -> tuple[tuple[Injected, ...], ...]:
    """List the ways a suspect can sit in the machine: each severity at each location.

    Parameters
    ----------
    rig : Rig
        The rig.
    faults : mapping
        The catalogue.
    suspect : str
        Slug of a fault, or "healthy".

    Returns
    -------
    tuple
        What to inject; one empty tuple for the healthy machine.
    """
    if suspect == HEALTHY:
        return ((),)
    fault = find(faults, suspect)
    severities: tuple[float | None, ...] = SEVERITIES if fault.graded else (None,)
    locations: tuple[str | None, ...] = fault.locations_on(rig) or (None,)
    return tuple((Injected(suspect, s, where),) for where in locations for s in severities)


def replay(session: Session, deeds: Iterable[Deed]) -> tuple[str | None, ...]:
    """Do the deeds on a machine.

    Parameters
    ----------
    session : Session
        At the start; it is worked on.
    deeds : iterable of Deed
        In order of time. Where this machine keeps the hand waiting longer than the log says, the later deeds
        are done as soon as the hand is free.

    Returns
    -------
    tuple
        Outcome per deed; None for what is no check.
    """
    return tuple(_do(session, deed) for deed in deeds)


def _do(session: Session, deed: Deed) -> str | None:
    if deed.at > session.clock:
        session.run(deed.at - session.clock)
    if deed.do == "wait":
        return None
    if deed.do != "check":
        session.operate(deed.do)
        return None
    finding = take_if_it_can_be(session, deed.check, deed.place, deed.key)
    return finding.outcome if finding else NOT_TAKEN


def take_if_it_can_be(session: Session, check: str, place: str, key: str = "") -> Finding | None:
    """Take a check; None where the machine's state does not allow it."""
    try:
        return take(session, check, place, key)
    except (UnsafeCheck, CannotTake):
        return None


def outcomes(
    rig: Rig, faults: Mapping[str, Fault], deeds: Sequence[Deed], hypotheses: Iterable[str], *, seed: int = 0
) -> dict[str, dict[tuple[Injected, ...], tuple[str | None, ...]]]:
    """Rerun the same deeds under other faults.

    Parameters
    ----------
    rig : Rig
        The rig of the attempt.
    faults : mapping
        The catalogue.
    deeds : sequence of Deed
        From the attempt's log.
    hypotheses : iterable of str
        Suspects: fault slugs, or "healthy".
    seed : int
        Of the attempt, so that the instruments err alike.

    Returns
    -------
    dict
        Suspect to what was injected to outcome per deed.
    """
    return {
        suspect: {
            injected: replay(Session(rig, faults, injected, seed), deeds)
            for injected in variants(rig, faults, suspect)
        }
        for suspect in hypotheses
    }


def separates(
    rig: Rig,
    faults: Mapping[str, Fault],
    deeds: Sequence[Deed],
    seen: Sequence[str | None],
    suspects: Iterable[str],
    *,
    seed: int = 0,
) -> dict[str, tuple[Separation, ...]]:
    """Find which findings part what was seen from each suspect.

    A finding parts a suspect when no severity and no location of it gives the outcome that was seen.

    Parameters
    ----------
    rig : Rig
        The rig of the attempt.
    faults : mapping
        The catalogue.
    deeds : sequence of Deed
        From the attempt's log.
    seen : sequence of str or None
        Outcome of each deed in the attempt, None for what is no check.
    suspects : iterable of str
        Fault slugs, or "healthy".
    seed : int
        Of the attempt.

    Returns
    -------
    dict
        Suspect to the findings that part it; empty where none does.
    """
    found: dict[str, tuple[Separation, ...]] = {}
    for suspect, by_variant in outcomes(rig, faults, deeds, suspects, seed=seed).items():
        parted = []
        for i, deed in enumerate(deeds):
            instead = {row[i] for row in by_variant.values()}
            outcome = seen[i]
            if outcome is not None and outcome not in instead:
                other = tuple(sorted(o for o in instead if o is not None))
                parted.append(Separation(i, deed.check, deed.place, outcome, other))
        found[suspect] = tuple(parted)
    return found
