"""Plates of motors with drawn differences: what they say, and what the verdict engine makes of them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from training.papers.makers import trade
from training.papers.makers.unsuitable import Unsuitable

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from random import Random

    from simulator.units import System
    from training.papers.makers.trade import Judgement, Verdict

MACHINES: Final = {
    "single-20": "a single-cylinder machine",
    "twin-60": "a belt-driven twin",
    "two-stage-80": "a two-stage machine",
}
KILOWATTS: Final = {1.0: 0.75, 1.5: 1.1, 2.0: 1.5, 3.0: 2.2, 5.0: 3.7, 7.5: 5.5, 10.0: 7.5}
LADDER: Final = tuple(KILOWATTS)
SPEEDS: Final = {"3450": "1725", "1740": "3450"}
SUPPLIES: Final = tuple(range(227, 242))


def power_text(horsepower: float, system: System) -> str:
    """Write a rating as a plate has it, in the member's units."""
    return f"{horsepower:g} hp" if system == "us" else f"{KILOWATTS[horsepower]:g} kW"


def power_with_hp(horsepower: float, system: System) -> str:
    """Write a rating where a table in horsepower is used, so that nothing hangs on a conversion."""
    return f"{horsepower:g} hp" if system == "us" else f"{KILOWATTS[horsepower]:g} kW ({horsepower:g} hp)"


@dataclass(frozen=True)
class Offer:
    """A motor that comes out, one that is offered, and the place; in lines as a person types them."""

    rig: str
    old: Mapping[str, str]
    new: Mapping[str, str]
    place: Mapping[str, str]

    def judged(self, system: System) -> Judgement:
        """What the verdict engine says."""
        return trade.verdict_on("motor", {"old": self.old, "new": self.new, "place": self.place}, system)

    def has(self, **lines: str) -> Offer:
        """The same offer with other lines on the new plate; an empty line is taken away."""
        named = {name.replace("_", " "): value for name, value in lines.items()}
        changed = {name: value for name, value in {**self.new, **named}.items() if value}
        return Offer(self.rig, self.old, changed, self.place)

    def measured(self, **lines: str) -> Offer:
        """The same offer at a place of which more is known."""
        return Offer(
            self.rig, self.old, self.new, {**self.place, **{k.replace("_", " "): v for k, v in lines.items()}}
        )


def like_for_like(rng: Random) -> Offer:
    """Draw a machine, its motor on 230 V with drawn amps, and an offer that is its twin."""
    rig = rng.choice(tuple(MACHINES))
    sheets = trade.sheets_of_rig("motor", rig)
    plate = dict(sheets["old"])
    usual = float(plate["amps"].split("/")[-1])
    plate["volts"], plate["amps"] = "230", f"{usual + rng.choice((-1.0, -0.5, 0.0, 0.5, 1.0)):g}"
    plate["speed"] = plate["speed"] if plate["speed"] in SPEEDS else "3450"
    place = {**sheets["place"], "supply volts": f"{rng.choice(SUPPLIES)} V"}
    return Offer(rig, plate, dict(plate), place)


def plate_power(plate: Mapping[str, str], system: System) -> str:
    """Write a plate's power in the member's units; the plates themselves are in horsepower."""
    return power_text(float(plate["power"].removesuffix(" hp")), system)


def horsepower_of(offer: Offer) -> float:
    """Rating of the motor that comes out. [hp]."""
    return trade.horsepower(trade.si(offer.old["power"], "power"))


def step(horsepower: float, by: int) -> float:
    """Rating so many steps up or down the ladder. [hp]."""
    place = LADDER.index(horsepower) + by
    if not 0 <= place < len(LADDER):
        raise Unsuitable("there is no such step on the ladder")
    return LADDER[place]


@dataclass(frozen=True)
class Change:
    """One thing that is other on the new plate: what it does to the offer, and how a line tells it."""

    code: str  # of the reason that judges it
    apply: Callable[[Random, Offer], Offer]
    line: Callable[[Offer, System], str]
    belief: str = ""


def _smaller(rng: Random, offer: Offer) -> Offer:
    had = horsepower_of(offer)
    has = step(had, -rng.choice((1, 2)))
    amps = float(offer.old["amps"]) * has / had * 1.05  # small motors are a little less efficient
    return offer.has(power=f"{has:g} hp", amps=f"{round(amps * 2) / 2:g}")


def _larger(_rng: Random, offer: Offer) -> Offer:
    has = step(horsepower_of(offer), 1)
    amps = float(offer.old["amps"]) * has / horsepower_of(offer)
    return offer.has(power=f"{has:g} hp", amps=f"{round(amps * 2) / 2:g}")


def _half_volts(rng: Random, offer: Offer) -> Offer:
    had = horsepower_of(offer)
    has = max(one for one in LADDER if one <= had / 2)
    amps = float(offer.old["amps"]) + rng.choice((0.0, 0.0, 0.5))
    return offer.has(power=f"{has:g} hp", volts="115", amps=f"{amps:g}")


def _wrong_volts(_rng: Random, offer: Offer) -> Offer:
    return offer.has(volts="115", amps=f"{2 * float(offer.new['amps']):g}")


def _other_amps(rng: Random, offer: Offer) -> Offer:
    return offer.has(amps=f"{float(offer.new['amps']) + rng.choice((-1.0, -0.5, 0.5, 1.0)):g}")


def _power(offer: Offer, system: System) -> str:
    return f"Power: {plate_power(offer.new, system)} for {plate_power(offer.old, system)}"


def _pair(title: str, line: str) -> Callable[[Offer, System], str]:
    return lambda offer, _s: f"{title}: {offer.new[line]} for {offer.old[line]}"


def _units(title: str, line: str, unit: str) -> Callable[[Offer, System], str]:
    return lambda offer, _s: f"{title}: {offer.new[line]} {unit} for {offer.old[line]} {unit}"


CHANGES: Final[Mapping[str, Change]] = {
    "smaller": Change("power", _smaller, _power, "smaller-takes-longer"),
    "larger": Change("power", _larger, _power),
    "half-volts": Change(
        "volts",
        _half_volts,
        lambda offer, _s: f"Volts: {offer.new['volts']} V on a supply of {offer.place['supply volts']}",
        "amps-are-a-size",
    ),
    "wrong-volts": Change(
        "volts",
        _wrong_volts,
        lambda offer, _s: f"Volts: {offer.new['volts']} V on a supply of {offer.place['supply volts']}",
        "power-is-all",
    ),
    "other-amps": Change(
        "amps",
        _other_amps,
        _units("Amps", "amps", "A"),
        "amps-are-a-size",
    ),
    "other-speed": Change(
        "speed",
        lambda _r, offer: offer.has(speed=SPEEDS[offer.old["speed"]]),
        _units("Speed", "speed", "rpm"),
        "sheave-stays",
    ),
    "no-overload": Change(
        "overload",
        lambda _r, offer: offer.has(overload="none"),
        lambda _offer, _s: "Overload: none, for one with manual reset",
        "overload-is-in-the-way",
    ),
    "automatic": Change(
        "overload",
        lambda _r, offer: offer.has(overload="automatic"),
        lambda _offer, _s: "Overload: automatic reset for manual",
        "overload-is-in-the-way",
    ),
    "split-phase": Change(
        "start",
        lambda _r, offer: offer.has(start="split-phase", start_capacitor="", run_capacitor=""),
        lambda _offer, _s: "Start: split-phase for capacitor start",
        "power-is-all",
    ),
    "air-over": Change(
        "enclosure",
        lambda _r, offer: offer.has(enclosure="air-over"),
        lambda _offer, _s: "Enclosure: air-over for open drip-proof",
        "power-is-all",
    ),
    "closed": Change(
        "enclosure",
        lambda _r, offer: offer.has(enclosure="TEFC"),
        lambda _offer, _s: "Enclosure: fan-cooled for open drip-proof",
    ),
    "no-reserve": Change(
        "service-factor",
        lambda _r, offer: offer.has(service_factor="1.0"),
        _pair("Service factor", "service factor"),
        "service-factor-is-free",
    ),
    "more-reserve": Change(
        "service-factor",
        lambda _r, offer: offer.has(service_factor="1.25"),
        _pair("Service factor", "service factor"),
    ),
    "fifty-hertz": Change(
        "hertz",
        lambda _r, offer: offer.has(hertz="50", speed=f"{round(int(offer.new['speed']) * 5 / 6 / 5) * 5}"),
        _units("Hertz", "hertz", "Hz"),
        "power-is-all",
    ),
    "short-time": Change(
        "duty",
        lambda _r, offer: offer.has(duty="intermittent"),
        _pair("Duty", "duty"),
        "power-is-all",
    ),
    "better-insulation": Change(
        "insulation",
        lambda _r, offer: offer.has(insulation="H"),
        _pair("Insulation class", "insulation"),
    ),
}


def apply(rng: Random, offer: Offer, names: list[str]) -> Offer:
    """Make the changes of these names, each of which is judged by itself."""
    codes = [CHANGES[name].code for name in names]
    if len(set(codes)) < len(codes) or {"power", "service-factor"} <= set(codes):
        raise Unsuitable("two changes touch one line, or make up for each other")
    for name in names:
        offer = CHANGES[name].apply(rng, offer)
    return offer


def finding(judgement: Judgement, code: str) -> tuple[Verdict, str]:
    """The most dangerous verdict among the reasons of one code, and what it says."""
    for reason in judgement.reasons:  # most dangerous first
        if reason.code == code:
            said = " ".join(part for part in (reason.statement, reason.change) if part)
            return reason.verdict, said
    raise Unsuitable(f"the verdict has no word on {code}")
