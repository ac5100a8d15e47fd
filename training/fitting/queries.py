"""What the pages of Will it fit? show. The verdict is the simulator's; nothing is judged here."""

from __future__ import annotations

from typing import TYPE_CHECKING, get_args

from simulator import units
from simulator.replacement.kinds import KINDS, NEW, OLD, PLACE, UnknownKind
from simulator.replacement.verdict import Verdict
from training.fitting import sheets, words
from training.fitting.drawing import drawings
from training.fitting.shown import (
    Cell,
    FitView,
    Group,
    JudgementShown,
    KindShown,
    ReasonShown,
    RigChoice,
    Row,
    Trouble,
)

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping

    from simulator.replacement.kinds import Kind
    from simulator.replacement.plate_lines import Line
    from simulator.replacement.verdict import Judgement, Reason
    from training.fitting.drawing import Drawing
    from training.fitting.sheets import Typed, Wrong

LOOKS = {
    Verdict.FITS: ("ok", "g-safe"),
    Verdict.FITS_WITH_CHANGES: ("must", "g-must"),
    Verdict.UNANSWERED: ("warn", "g-care"),
    Verdict.DOES_NOT_FIT: ("bad", "g-stop"),
    Verdict.UNSAFE: ("bad", "g-stop"),
}
ANSWERED_IN = (NEW, PLACE, OLD)  # where a missing line is looked for


def kinds() -> tuple[KindShown, ...]:
    """Return every kind of part with what counts for it."""
    return tuple(_kind(kind) for kind in KINDS.values())


def fit_view(kind: str, sent: Mapping[str, str], system: units.System) -> FitView | None:
    """Return the page of a kind of part with what was sent, judged where there is something to judge; None for no such kind."""
    try:
        typed = sheets.read_typed(kind, sent)
    except UnknownKind:
        return None
    judgement, wrong = None, typed.wrong
    on_offer = any(value.strip() for value in typed.lines[NEW].values())
    if not wrong and on_offer:
        judgement, wrong = sheets.judged(typed, system)
    return FitView(
        kind=_kind(typed.kind),
        caution=words.caution(typed.kind.name),
        groups=groups(typed, wrong),
        rigs=tuple(RigChoice(value, title) for value, title in sheets.rig_choices(typed.kind.name)),
        rig=typed.rig,
        rig_title=sheets.rig_title(typed.rig) if typed.rig else "",
        told=typed.told,
        waits=not wrong and not on_offer and bool(typed.query()),
        troubles=troubles(typed.kind, wrong),
        judgement=judgement_shown(typed.kind, judgement, typed.lines, system) if judgement else None,
        drawings=_drawings(typed, system) if judgement else (),
        query=typed.query(),
    )


def _kind(kind: Kind) -> KindShown:
    return KindShown(kind.name, kind.title, words.COUNTS[kind.name])


def _drawings(typed: Typed, system: units.System) -> tuple[Drawing, ...]:
    return drawings(typed.lines[OLD], typed.lines[NEW], system) if typed.kind.name == "motor" else ()


def ident_of(sheet: str, line: str) -> str:
    """Return the id of a field on the page."""
    return f"f-{sheet}-{line.replace(' ', '-')}"


def groups(typed: Typed, wrong: Iterable[Wrong], only: Collection[str] = ()) -> tuple[Group, ...]:
    """Return the lines of the sheets in groups, old and new side by side, with what is wrong at its line."""
    kind, errors = typed.kind, {(one.sheet, one.line): one.words for one in wrong if one.line}
    wanted = only or kind.sheets
    pair = tuple(sheet for sheet in (OLD, NEW) if sheet in kind.sheets and sheet in wanted)
    made = []
    for number, (title, names) in enumerate(words.grouped(kind.name, kind.sheets[NEW])):
        rows = [_row(kind.sheets[NEW][name], name, pair, typed, errors) for name in names]
        if number == 0:
            rows.insert(0, _area(pair, typed, errors))
        captions = tuple(words.CAPTIONS[len(pair)][sheet] for sheet in pair)
        made.append(Group(f"g-{number}", title, captions, tuple(rows)))
    if PLACE in kind.sheets and PLACE in wanted:
        place = kind.sheets[PLACE]
        rows = [_row(line, name, (PLACE,), typed, errors) for name, line in place.items()]
        title = words.PLACE_TITLES.get(kind.name, words.PLACE_TITLE)
        made.append(Group("g-place", title, (words.HERE,), (_area((PLACE,), typed, errors), *rows)))
    return tuple(made)


def _row(
    line: Line, name: str, of: tuple[str, ...], typed: Typed, errors: Mapping[tuple[str, str], str]
) -> Row:
    cells = tuple(
        Cell(
            sheets.field_name(sheet, name),
            ident_of(sheet, name),
            typed.lines[sheet].get(name, ""),
            words.CAPTIONS[len(of)].get(sheet, words.HERE),
            errors.get((sheet, name), ""),
        )
        for sheet in of
    )
    return Row(f"r-{of[-1]}-{name.replace(' ', '-')}", _capital(line.title), line.look, cells)


def _area(of: tuple[str, ...], typed: Typed, errors: Mapping[tuple[str, str], str]) -> Row:
    cells = tuple(
        Cell(
            sheets.field_name(sheet, sheets.PASTED),
            ident_of(sheet, sheets.PASTED),
            typed.pasted.get(sheet, ""),
            words.CAPTIONS[len(of)].get(sheet, words.HERE),
            errors.get((sheet, sheets.PASTED), ""),
        )
        for sheet in of
    )
    return Row(f"r-{of[-1]}-{sheets.PASTED}", words.PASTED_TITLE, words.PASTED_LOOK, cells, is_area=True)


def troubles(kind: Kind, wrong: Iterable[Wrong]) -> tuple[Trouble, ...]:
    """Return what is wrong for the summary, each with its field."""
    return tuple(_trouble(kind, one) for one in wrong)


def _trouble(kind: Kind, one: Wrong) -> Trouble:
    sheet = words.SHEETS.get(one.sheet, "")
    line = kind.sheets[one.sheet][one.line].title if one.line in kind.sheets.get(one.sheet, {}) else ""
    title = ", ".join(part for part in (sheet, line) if part)
    return Trouble(ident_of(one.sheet, one.line) if one.line else "", title, one.words)


def judgement_shown(
    kind: Kind, judgement: Judgement, lines: Mapping[str, Mapping[str, str]], system: units.System
) -> JudgementShown:
    """Return a verdict in the reader's units."""
    reasons = tuple(_reason(kind, one, lines, system) for one in judgement.reasons)
    look, sign = LOOKS[judgement.verdict]
    return JudgementShown(
        verdict=judgement.verdict.value,
        title=judgement.verdict.title,
        look=look,
        sign=sign,
        words=words.MEANS[judgement.verdict.value],
        weighty=tuple(one for one in reasons if one.verdict != Verdict.FITS.value),
        fits=tuple(one for one in reasons if one.verdict == Verdict.FITS.value),
        changes=judgement.changes,
        questions=judgement.questions,
        parts_card=(("", judgement.parts_card[0]), *map(_asked_for, judgement.parts_card[1:])),
        cautions=judgement.cautions,
    )


def _reason(
    kind: Kind, reason: Reason, lines: Mapping[str, Mapping[str, str]], system: units.System
) -> ReasonShown:
    look, sign = LOOKS[reason.verdict]
    titles = {
        name: line.title
        for sheet in reversed(ANSWERED_IN)
        for name, line in kind.sheets.get(sheet, {}).items()
    }
    return ReasonShown(
        title=_capital(titles.get(reason.line, reason.line)),
        verdict=reason.verdict.value,
        verdict_title=reason.verdict.title,
        look=look,
        sign=sign,
        statement=reason.statement,
        figures=tuple((figure.title, figure.shown(system)) for figure in reason.figures),
        rule=reason.rule,
        source=reason.source,
        standing=reason.standing.value,
        change=reason.change,
        question=reason.question,
        field=_where_to_answer(kind, reason, lines) if reason.question else "",
    )


def _where_to_answer(kind: Kind, reason: Reason, lines: Mapping[str, Mapping[str, str]]) -> str:
    """Return the field that a question asks for: the first of its name, or of the supply's, that is blank."""
    for sheet in ANSWERED_IN:
        for line in (reason.line, f"supply {reason.line}"):
            if line in kind.sheets.get(sheet, {}) and not lines.get(sheet, {}).get(line, "").strip():
                return ident_of(sheet, line)
    return ""


def _asked_for(line: str) -> tuple[str, str]:
    """Part a line of the parts card into what it is about and what to ask for."""
    title, colon, value = line.partition(": ")
    return (title, value) if colon else ("", line)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def system_of(chosen: str) -> units.System:
    """Return a member's choice of units."""
    return "metric" if chosen == get_args(units.System)[1] else "us"
