"""Pipe threads as people write them, and what goes into what."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from simulator import units
from simulator.replacement.tables import table
from simulator.replacement.verdict import Figure
from simulator.replacement.writing import Unreadable, measure, tidy

if TYPE_CHECKING:
    from simulator.replacement.part_rules import PartRule
    from simulator.replacement.verdict import Reason

# Words for a kind of joint -> the kind. The rest is not cut as a thread: a tube sits in it by its outside diameter.
KINDS = {
    "npt": "npt",
    "mpt": "npt",
    "fpt": "npt",
    "mnpt": "npt",
    "fnpt": "npt",
    "nptf": "npt",
    "g": "g",
    "bspp": "g",
    "bsp": "g",
    "r": "r",
    "rc": "r",
    "bspt": "r",
    "compression": "compression",
    "comp": "compression",
    "flare": "flare",
    "push-in": "push-in",
    "barb": "barb",
}
PIPE = ("npt", "g", "r")
TITLES = {"compression": "compression", "flare": "flare", "push-in": "push-in", "barb": "barb"}
GENDERS = {"male": "male", "m": "male", "ext": "male", "external": "male", "female": "female", "f": "female"}
Adapted = Literal["never", "smaller", "either"]
LEAST_SIZE, LARGEST_SIZE = 0.05, 4.0  # [in]
SAME_SIZE = 1e-3  # [in]
_WORD = re.compile(r"[a-z][a-z-]*")
_METRIC_THREAD = re.compile(r"m ?\d+ ?x ?\d")


@dataclass(frozen=True)
class Thread:
    """A joint: its kind, its nominal size in inches, and male or female where that was said."""

    kind: str
    size: float  # nominal [in]
    gender: str = ""

    @property
    def title(self) -> str:
        """As it is asked for at the counter."""
        size = _inches(self.size)
        if self.kind in PIPE:
            name = table("threads")[self.kind]["title"]
            words = f"{name} {size}" if self.kind != "npt" else f"{size} NPT"
        else:
            words = f"{_tube(self.size)} {TITLES[self.kind]}"
        return f"{words} {self.gender}".strip()

    @property
    def threads_per_inch(self) -> float | None:
        """Of a pipe thread of a listed size."""
        if self.kind not in PIPE:
            return None
        rows = table("threads")[self.kind]["threads_per_inch"]
        return next((float(count) for size, count in rows if abs(size - self.size) < SAME_SIZE), None)


def read_thread(text: str) -> Thread:
    """Read a joint such as "1/4 NPT male", "G 1/2", "1/2 in compression" or "6 mm push-in".

    Parameters
    ----------
    text : str
        As typed.

    Returns
    -------
    Thread
        Its kind, nominal size and gender.

    Raises
    ------
    Unreadable
        If the kind or the size is missing or unknown.

    Examples
    --------
    >>> read_thread("1/4 NPT male").title
    '1/4 NPT male'
    >>> read_thread("G1/2").title
    'G (BSPP) 1/2'
    """
    typed = tidy(text).casefold().replace('"', " in ")
    if _METRIC_THREAD.match(typed):
        raise Unreadable(
            f"'{tidy(text)}' is a metric thread, which no port here has. Measure it again with a gauge"
        )
    found = _WORD.findall(typed.replace("push in", "push-in"))
    kinds = [KINDS[word] for word in found if word in KINDS]
    genders = [GENDERS[word] for word in found if word in GENDERS]
    unknown = [word for word in found if word not in {*KINDS, *GENDERS, *_SAY_NOTHING}]
    if not kinds or unknown:
        raise Unreadable(
            f"'{tidy(text)}' does not say which thread. Write NPT, G or R with its size, or compression with the tube's diameter"
        )
    return Thread(kinds[0], _size(typed, kinds[0], text), genders[0] if genders else "")


_SAY_NOTHING = frozenset({"in", "mm", "od", "inch", "tube", "thread", "pipe"})


def _size(typed: str, kind: str, text: str) -> float:
    number = re.search(r"(?:\d+[- ])?\d+ ?/ ?\d+|\d*\.\d+|\d+", typed)
    if number is None:
        raise Unreadable(f"'{tidy(text)}' gives no size. Write it as 1/4 NPT or G 1/2")
    unit = "mm" if "mm" in typed else "in"
    size = units.convert(measure(f"{number.group()} {unit}", "small_length"), "m", "in")
    if not LEAST_SIZE <= size <= LARGEST_SIZE:
        raise Unreadable(f"'{tidy(text)}' is no size of a joint on these machines")
    thread = Thread(kind, size)
    if kind in PIPE and thread.threads_per_inch is None:
        sizes = ", ".join(_inches(one) for one, _ in table("threads")[kind]["threads_per_inch"])
        raise Unreadable(f"'{tidy(text)}' is no pipe size. There are {sizes}")
    return size


def _inches(size: float) -> str:
    whole, rest = divmod(round(size * 16), 16)
    if abs(size * 16 - round(size * 16)) > SAME_SIZE * 16:
        return f"{size:.3f}"
    if not rest:
        return str(whole)
    over, under = rest, 16
    while over % 2 == 0:
        over, under = over // 2, under // 2
    return f"{whole}-{over}/{under}" if whole else f"{over}/{under}"


def _tube(size: float) -> str:
    millimetres = size * 25.4
    if abs(millimetres - round(millimetres)) < 0.01:
        return f"{round(millimetres)} mm"
    return f"{_inches(size)} in"


def goes_into(rule: PartRule, part: Thread | None, port: Thread | None, *, adapted: Adapted) -> Reason:
    """Judge a part's thread against the port it goes to.

    Parameters
    ----------
    rule : PartRule
        Under which it is judged.
    part : Thread, optional
        On the part; none if it is not known.
    port : Thread, optional
        On the machine; none if it is not known.
    adapted : str
        What an adapter may make good: "never", "smaller" for a smaller part in a larger port, "either".

    Returns
    -------
    Reason
        What came of it.
    """
    if part is None or port is None:
        whose = "new part" if part is None else "machine"
        return rule.asks(
            f"The thread of the {whose} is not known.",
            f"Which thread has the {whose}: NPT, G or R, which size, male or female? Use a thread gauge; 60° or 55° cannot be told by eye.",
        )
    if part.kind != port.kind:
        return _other_kind(rule, part, port)
    if abs(part.size - port.size) >= SAME_SIZE:
        if adapted == "either" or (adapted == "smaller" and part.size < port.size):
            return rule.changes(
                f"It has {part.title}, the port {port.title}.",
                f"Fit an adapter of full bore, {port.title} to {part.title}, rated for the pressure.",
            )
        return rule.refuses(f"It has {part.title}, the port {port.title}: the sizes differ.")
    if part.gender and part.gender == port.gender:
        return rule.changes(
            f"Both are {part.gender}.", "Fit a short nipple or socket of full bore, rated for the pressure."
        )
    return rule.fits(f"Both are {Thread(part.kind, part.size).title}.")


def _other_kind(rule: PartRule, part: Thread, port: Thread) -> Reason:
    if {part.kind, port.kind} == {"r", "g"} and abs(part.size - port.size) < SAME_SIZE:
        return rule.changes(
            f"It has {part.title}, the port {port.title}: one tapers, the other does not.",
            "Seal a tapered male in the parallel port with sealant, or use a sealing washer with a parallel one.",
        )
    figures = tuple(
        Figure(f"threads per inch, {one.title}", count)
        for one in (part, port)
        if (count := one.threads_per_inch) is not None
    )
    why = (
        " They start, bind and never seal: pitch and angle differ."
        if {part.kind, port.kind} <= set(PIPE)
        else ""
    )
    return rule.refuses(f"It has {part.title}, the port {port.title}.{why}", *figures)
