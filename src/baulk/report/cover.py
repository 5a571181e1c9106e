"""The title page and the summary, both computed from the record alone."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from baulk.closing.check import ClosingResult
from baulk.closing.rule import Outcome
from baulk.record import RESTRICTED_NOTICE, Context, Find, FollowUp, Sample, Unit, View, withheld_from
from baulk.report.given import SequenceFacts
from baulk.report.shown import NOT_RECORDED, Shown, counted, long_date, measure, sentence
from baulk.report.tree import Chapter, Cover, Node, Paragraph
from baulk.report.unit_scope import UnitScope

__all__ = ["closing_sentence", "context_name", "cover_page", "is_restricted", "notice", "summary", "unit_name"]

_INVENTED = "Invented example: this record is made up and is not of a real place."
_PUBLIC = "Public version: restricted and agency details are withheld; what was withheld is listed at the end."


_RESTRICTED = f"{RESTRICTED_NOTICE}. This version holds records of possible human remains or other sensitive records."


def is_restricted(shown: Shown) -> bool:
    """Tell whether a report prints anything that is kept even from the crew's own pages."""
    return not shown.public and bool(withheld_from(shown.record, View.CREW).why)


def notice(shown: Shown) -> str:
    """Return what stands at head and foot of every page."""
    parts = [RESTRICTED_NOTICE] if is_restricted(shown) else []
    parts += ["Invented data, not of a real place"] if shown.record.site.invented else []
    parts += ["Public version"] if shown.public else []
    return " · ".join(parts)


def cover_page(shown: Shown, unit: Unit, written: str | None) -> Cover:
    """Return the title page.

    Parameters
    ----------
    shown : Shown
    unit : Unit
    written : str or None
        Day on which the report was written, ISO 8601; None when it is not to be said.
    """
    site = shown.record.site
    told = {_RESTRICTED: is_restricted(shown), _INVENTED: site.invented, _PUBLIC: shown.public}
    banners = tuple(words for words, holds in told.items() if holds)
    facts = (
        *shown.rows(site, ("code", "organisation", "director", "client", "permit", "place")),
        ("Opened", shown.field(unit, "opened")),
        ("Closed", shown.field(unit, "closed")),
        ("Vertical datum", shown.field(site, "vertical_datum")),
        ("Lengths and levels in", shown.unit_sign),
        ("Archive", shown.field(site, "repository")),
        *((("Record", f"at change {shown.record.revision}"),) if shown.record.revision else ()),
        *((("Report written", long_date(written)),) if written else ()),
    )
    name = shown.field(site, "name")
    title = "Site without a name" if name == NOT_RECORDED else name
    return Cover(title, f"Excavation report: {unit_name(unit)}", facts, banners)


def unit_name(unit: Unit) -> str:
    """Return what the unit is called in running text."""
    return f"Unit {unit.number}" if unit.number else "Unit without a number"


def summary(scope: UnitScope, sequence: SequenceFacts | None, closing: ClosingResult | None) -> Chapter:
    """Return the summary in plain words."""
    paragraphs: tuple[Node, ...] = (
        Paragraph(" ".join(_work_done(scope))),
        Paragraph(" ".join(_found(scope))),
        *_meaning(scope),
        Paragraph(" ".join(_standing(scope, sequence, closing))),
    )
    return Chapter("Summary", paragraphs)


def _work_done(scope: UnitScope) -> Iterator[str]:
    shown, unit, site = scope.shown, scope.unit, scope.record.site
    where = f" at {site.name}" if site.name else ""
    size = NOT_RECORDED
    if unit.design_width is not None and unit.design_length is not None:
        size = f"{measure(unit.design_width)} by {shown.length(unit.design_length)}"
    yield f"{unit_name(unit)}{where} was opened on {_day(shown, unit, 'opened')} and {_closed(shown, unit)}."
    yield f"Its size as designed is {size}; its greatest depth is {shown.field(unit, 'depth')}."
    if unit.reason:
        yield f"Reason for the unit: {sentence(unit.reason)}"
    if unit.stop_reason:
        yield f"Digging stopped: {unit.stop_reason.strip().rstrip('.')}."


def _day(shown: Shown, unit: Unit, name: str) -> str:
    words = shown.field(unit, name)
    return f"a day {words}" if words == NOT_RECORDED else words


def _closed(shown: Shown, unit: Unit) -> str:
    words = shown.field(unit, "closed")
    if words == NOT_RECORDED:
        return "is still open"
    return f"closed on {words}" if unit.closed else f"its day of closing is given as: {words.rstrip('.')}"


def _found(scope: UnitScope) -> Iterator[str]:
    kinds = Counter(context.kind or "context of no recorded kind" for context in scope.contexts)
    listed = ", ".join(counted(count, kind) for kind, count in kinds.most_common())
    yield f"{counted(len(scope.contexts), 'context')} recorded" + (f": {listed}." if listed else ".")
    finds, samples = scope.of_contexts(Find, "context"), scope.of_contexts(Sample, "context")
    pieces = sum(find.count or 0 for find in finds)
    uncounted = sum(1 for find in finds if find.count is None)
    if finds:
        yield f"{counted(len(finds), 'find or bag', 'finds or bags')} with {counted(pieces, 'counted piece')}" + (
            f" ({uncounted} without a count)." if uncounted else "."
        )
    else:
        yield "No finds are recorded."
    yield f"{counted(len(samples), 'sample')} taken." if samples else "No samples are recorded."


def _meaning(scope: UnitScope) -> Iterator[Paragraph]:
    """Yield what the record itself says of its key contexts, with the confidence it gives."""
    for context in scope.contexts:
        if context.key_context and context.interpretation:
            surely = context.confidence or f"confidence {NOT_RECORDED}"
            yield Paragraph(f"{sentence(context.interpretation)} ({surely.capitalize()}.)", lead=f"{context_name(context)}.")


def context_name(context: Context) -> str:
    """Return number and short name of a context."""
    number = context.number or "without a number"
    return f"Context {number}, {context.title}" if context.title else f"Context {number}"


def _standing(scope: UnitScope, sequence: SequenceFacts | None, closing: ClosingResult | None) -> Iterator[str]:
    if sequence is None:
        yield "The order was not computed."
    else:
        yield (
            f"The recorded order holds {counted(len(sequence.loops), 'loop')} to be mended."
            if sequence.loops
            else "The recorded order has no loops."
        )
    if closing is None:
        yield "The closing check was not run."
    else:
        yield closing_sentence(closing)
    open_questions = sum(1 for asked in scope.of_unit(FollowUp) if asked.state == "open")
    yield f"{counted(open_questions, 'follow-up')} still open." if open_questions else "No follow-up is open."


def closing_sentence(closing: ClosingResult) -> str:
    """Return in one sentence how the closing check came out."""
    outcomes = closing.counts
    asked = sum(outcomes.values()) - outcomes[Outcome.NOT_APPLICABLE]
    stand = "is ready" if closing.ready else "is not ready"
    told = {
        Outcome.PASS: ("passes", "pass"), Outcome.FAIL: ("fails", "fail"),
        Outcome.CANNOT_TELL: ("cannot be told", "cannot be told"), Outcome.WAIVED: ("is waived", "are waived"),
    }  # fmt: skip
    came_out = ", ".join(f"{outcomes[outcome]} {one if outcomes[outcome] == 1 else many}" for outcome, (one, many) in told.items())
    apply = "that applies" if asked == 1 else "that apply"
    return f"By the closing check the unit {stand} to be filled in: of {counted(asked, 'rule')} {apply}, {came_out}."
