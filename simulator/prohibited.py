"""What is never done as a test: each act, when it is prohibited, and what it does to whoever tries it.

Reasons are those of the trade and of public safety rules (29 CFR 1910.147, 1910.169, 1910.242 and 1910.333, from
memory); where none is named: common practice, no source. Local codes and the person in charge come before them.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from simulator.components.spec import nearest
from simulator.hazards import BLEED, LOCK_OUT, Prohibited, charged
from simulator.session import Session

HOT = 60.0 + 273.15  # bare skin is burnt above it [K]
BLOWS = 1e-5  # a port that passes more pushes air against a hand laid on it [kg/s]


class UnknownAct(ValueError):
    """No such act; names the nearest."""


def _always(_session: Session) -> bool:
    return True


def _can_start(session: Session) -> bool:
    """Whether the machine can start while somebody has hands in it."""
    return not (session.hands.isolated and session.hands.locked)


def _holds_pressure(session: Session) -> bool:
    return bool(charged(session))


def _port_is_alive(session: Session) -> bool:
    """Whether air moves at some port, or could at any moment."""
    ports = (value for name, value in session.now().items() if name.startswith("leak:"))
    return session.running or _can_start(session) or any(air > BLOWS for air in ports)


def _hot_or_charged(session: Session) -> bool:
    return _holds_pressure(session) or session.now()["head_temperature"] > HOT


def _can_be_opened(session: Session) -> bool:
    """Whether something that holds air may not be opened yet."""
    return _can_start(session) or _holds_pressure(session)


@dataclass(frozen=True)
class Act:
    """Something nobody may try.

    Parameters
    ----------
    title : str
        What is done.
    harm : str
        What it does to people.
    instead : str
        What to do.
    when : callable
        Says of a machine whether the act is prohibited as it stands.
    bites : callable
        Says of a machine whether the harm comes at once.
    """

    title: str
    harm: str
    instead: str
    when: Callable[[Session], bool] = _always
    bites: Callable[[Session], bool] = _always


ACTS: Mapping[str, Act] = {
    "hand-over-port": Act(
        "A hand, finger or cheek over a port",
        "Compressed air goes through skin and into the blood, hot air burns, and an intake draws skin in.",
        "Use a paper strip on a stick, a soap brush on a handle, or a tube.",
        bites=_port_is_alive,
    ),
    "open-under-pressure": Act(
        "Opening a joint that holds pressure",
        "The part is thrown, and a jet of hot air follows it.",
        f"{LOCK_OUT} {BLEED}",
        when=_can_be_opened,
        bites=_holds_pressure,
    ),
    "run-without-relief": Act(
        "Running with a plugged, seized or missing relief valve, a weeping shell or a doubtful weld",
        "Nothing holds the pressure where the vessel can bear it: it bursts, and throws its ends through walls.",
        "Lock it out, let it down slowly, tag it. Renew the relief valve; the vessel is for an authorised inspector.",
        bites=lambda session: session.running or _holds_pressure(session),
    ),
    "air-test-vessel": Act(
        "Testing a vessel's strength with air",
        "Air stores what water does not: a vessel that fails in an air test goes off like a charge.",
        "Strength is tested with water, all air out, by an authorised person.",
    ),
    "spin-by-hand": Act(
        "Spinning the flywheel by hand to start a humming motor",
        "It takes fingers into belt and sheave, and kicks back.",
        f"{LOCK_OUT} Vent the head line, and turn it by the rim, dead.",
        when=_can_start,
    ),
    "bridge-protection": Act(
        "Bridging a switch, overload, low-oil switch or contactor",
        "What was bridged is what would have stopped it: it burns, or bursts, or starts with a hand in it.",
        "Measure across it instead, or let an electrician prove it.",
    ),
    "short-capacitor": Act(
        "Shorting a capacitor with a blade",
        "It arcs, spits metal, and may burst.",
        "Locked out, let it down through 15-20 kilohm, 5 W, for five seconds, and see less than 10 V.",
    ),
    "solvent-inside": Act(
        "Kerosene, petrol or thinners in pump, line or receiver",
        "What is left of it is compressed with hot air: it explodes at the next start.",
        "Soapy water or a cleaner that does not burn, and dry it well.",
    ),
    "tighten-under-pressure": Act(
        "Tightening a leaking joint while it is hot or under pressure",
        "The joint lets go in the face of whoever leans on it.",
        f"Mark the joint. {LOCK_OUT} {BLEED} Then tighten it, cold.",
        when=_hot_or_charged,
        bites=_holds_pressure,
    ),
    "soap-live-switch": Act(
        "Soap on a live switch",
        "It gives a shock.",
        f"{LOCK_OUT} Prove it dead, then soap it.",
        when=_can_start,
    ),
    "trust-the-lever": Act(
        "Taking the gauge, the OFF lever or a cord that somebody else unplugged for isolation",
        "None of them proves anything: a gauge sticks, contacts weld, a cord is plugged in again.",
        LOCK_OUT,
        when=_can_start,
    ),
}


def find_act(slug: str) -> Act:
    """Find a prohibited act by its slug.

    Parameters
    ----------
    slug : str
        One of `ACTS`.

    Returns
    -------
    Act
        The act.

    Raises
    ------
    UnknownAct
        Naming the nearest.
    """
    if slug not in ACTS:
        raise UnknownAct(f"No act is called '{slug}'.{nearest(slug, set(ACTS))}")
    return ACTS[slug]


def check_may_try(session: Session, slug: str) -> None:
    """Refuse an act as the machine stands, saying what it does and what to do instead.

    Parameters
    ----------
    session : Session
        The machine.
    slug : str
        One of `ACTS`.

    Raises
    ------
    UnknownAct
        For an act nobody knows.
    Prohibited
        Wherever it is prohibited, whether or not it would have gone well this once.
    """
    act = find_act(slug)
    if not act.when(session):
        return
    luck = "" if act.bites(session) else " It would have gone well this once; it is not done all the same."
    raise Prohibited(f"{act.title}: never. {act.harm}{luck} {act.instead}")
