"""Introduction, setting, background, aims and methods as carried out: what the record says, and where it says nothing."""

from __future__ import annotations

from collections.abc import Iterator

from baulk.record import DayEntry, Document, Entity, Survey, Visit, facts_of
from baulk.report.shown import NOT_RECORDED, Shown, counted, long_date, sentence
from baulk.report.tree import Chapter, Heading, KeyValues, Listing, Node, Paragraph, Table
from baulk.report.unit_scope import UnitScope

__all__ = ["aims", "background", "introduction", "methods", "told"]


def told(shown: Shown, entity: Entity, name: str, lead: str = "") -> Paragraph:
    """Return one field as a paragraph: its words, why it is absent, or that it is not recorded."""
    return Paragraph(sentence(shown.field(entity, name)), lead=f"{lead or facts_of(type(entity), name).label}.")


def introduction(scope: UnitScope) -> Chapter:
    """Return why, by whom, when and under which permit the unit was dug, and how the ground was before."""
    shown, unit, site = scope.shown, scope.unit, scope.record.site
    days = scope.of_unit(DayEntry)
    return Chapter(
        "Introduction",
        (
            told(shown, unit, "reason", "Reason"),
            told(shown, unit, "question", "Question"),
            Heading("Who, when and under which permit"),
            KeyValues(
                (
                    *shown.rows(site, ("organisation", "director", "client", "permit", "profile")),
                    *shown.rows(unit, ("opened", "closed")),
                    ("Days in the diary", _diary_days(days)),
                    ("Person-hours", _hours(days)),
                    *((("Crew", _crew(shown, days)),) if days else ()),
                )
            ),
            Heading("The ground before, and what limited the work"),
            told(shown, unit, "surface_before"),
            told(shown, unit, "protection"),
            told(shown, unit, "stop_reason"),
            *_visits(scope),
        ),
    )


def _diary_days(days: tuple[DayEntry, ...]) -> str:
    dated = sorted(entry.day for entry in days if entry.day)
    if not dated:
        return NOT_RECORDED
    return f"{len(dated)}, from {long_date(dated[0])} to {long_date(dated[-1])}" if len(dated) > 1 else f"1, {long_date(dated[0])}"


def _hours(days: tuple[DayEntry, ...]) -> str:
    booked = [entry.hours for entry in days if entry.hours is not None]
    if not booked:
        return NOT_RECORDED
    missing = len(days) - len(booked)
    return f"{sum(booked):g}" + (f" ({counted(missing, 'day')} without hours)" if missing else "")


def _crew(shown: Shown, days: tuple[DayEntry, ...]) -> str:
    return "; ".join(dict.fromkeys(shown.field(entry, "crew") for entry in days))


def _visits(scope: UnitScope) -> Iterator[Node]:
    visits = scope.of_unit(Visit)
    if visits:
        yield Heading("Visits")
        yield Listing(
            tuple(
                f"{long_date(visit.day)}: {scope.shown.field(visit, 'who')}, {scope.shown.field(visit, 'answer')}. "
                + (sentence(visit.said) if visit.said else "")
                for visit in visits
            )
        )


def background(scope: UnitScope) -> Chapter:
    """Return setting and background as the site record gives them, and the documents that were consulted."""
    shown, site = scope.shown, scope.record.site
    documents = scope.record.all(Document)
    parts: list[Node] = [told(shown, site, "setting"), told(shown, site, "background")]
    if documents:
        fields = ("number", "kind", "title", "source", "begin", "end", "says")
        parts.append(
            Table(
                "Maps, documents and other papers that bear on the site",
                tuple(facts_of(Document, name).label for name in fields),
                tuple(tuple(shown.field(document, name) for name in fields) for document in documents),
                weights=(0, 0, 2, 2, 0, 0, 3),
            )
        )
    else:
        parts.append(Paragraph("No documents are recorded."))
    surveys = scope.record.all(Survey)
    parts.append(Paragraph(f"{counted(len(surveys), 'survey')} on record." if surveys else "No survey of the ground is recorded."))
    return Chapter("Setting and background", tuple(parts))


def aims(scope: UnitScope) -> Chapter:
    """Return what the work was to answer."""
    return Chapter(
        "Aims",
        (told(scope.shown, scope.record.site, "aims", "Of the work"), told(scope.shown, scope.unit, "question", "Of the unit")),
    )


_METHOD_FIELDS = ("shape", "design_width", "design_length", "method", "mesh", "sieved", "recovery", "sampling_plan", "unexcavated",
                  "unexcavated_note", "probe", "depth")  # fmt: skip
_LAYOUT_FIELDS = ("corners", "datum_corner", "sides", "diagonals", "ties", "opening_levels", "base_levels")
_GRID_FIELDS = ("crs", "grid_rotation", "declination", "vertical_datum")


def methods(scope: UnitScope) -> Chapter:
    """Return the methods as carried out: what was planned is not repeated here, changes of method are listed with their day."""
    shown, unit, site = scope.shown, scope.unit, scope.record.site
    parts: list[Node] = [
        KeyValues(shown.rows(unit, _METHOD_FIELDS)),
        Heading("Laying out, grid and levels"),
        KeyValues((*shown.rows(unit, _LAYOUT_FIELDS), *shown.rows(site, _GRID_FIELDS))),
        Heading("How much of each context was dug and sieved"),
        *_shares(scope),
        Heading("Decisions and changes of method"),
        *_decisions(scope),
    ]
    return Chapter("Methods as carried out", tuple(parts))


def _shares(scope: UnitScope) -> Iterator[Node]:
    partly = [context for context in scope.contexts if context.dug is not None and context.dug < 100]
    blank = [context.number or context.id for context in scope.contexts if context.is_blank("dug")]
    yield Paragraph(f"{counted(len(scope.contexts), 'context')} recorded; {len(partly)} not dug whole.")
    if partly:
        shares = "; ".join(f"{context.number or context.id}: {scope.shown.field(context, 'dug')}" for context in partly)
        yield Paragraph(f"{shares}.", lead="Dug in part, by context.")
    if blank:
        yield Paragraph(f"{', '.join(blank)}.", lead="Share dug not recorded.")


def _decisions(scope: UnitScope) -> Iterator[Node]:
    decided = [entry for entry in scope.of_unit(DayEntry) if scope.shown.has(entry, "decisions")]
    if not decided:
        yield Paragraph("The diary holds no decisions for this unit: whether the method was changed is not recorded.")
        return
    yield Table(
        "Decisions and reasons, from the diary",
        ("Date", "Decision and reason"),
        tuple(
            (long_date(entry.day), sentence(scope.shown.field(entry, "decisions")))
            for entry in sorted(decided, key=lambda entry: entry.day or "")
        ),
        weights=(0, 1),
    )
