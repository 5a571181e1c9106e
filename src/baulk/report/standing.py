"""How the unit stands: follow-ups, closing check, human remains, backfill, archive, cautions, and what was withheld."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from baulk.closing.check import ClosingResult, Finding
from baulk.closing.rule import Outcome
from baulk.record import Backfill, Burial, Document, FollowUp, Waiver, facts_of
from baulk.report.cover import closing_sentence
from baulk.report.redaction import Withheld
from baulk.report.shown import NOT_RECORDED, WITHHELD, Shown, counted, long_date, sentence
from baulk.report.tree import Caution, Chapter, Heading, KeyValues, Listing, Node, Paragraph, Table
from baulk.report.unit_scope import UnitScope

__all__ = ["archive", "cautions", "closing_chapter", "follow_ups", "human_remains", "references", "withheld_list"]

_HELD_BACK = "Details withheld in the public version."
_SAID = 3


def follow_ups(scope: UnitScope) -> Chapter:
    """Return the open questions with what would settle them, then the settled ones."""
    shown, asked = scope.shown, scope.of_unit(FollowUp)
    if not asked:
        return Chapter("Follow-ups", (Paragraph("No follow-ups are recorded."),))
    fields = ("number", "asks", "settled_by", "lost", "contexts")
    head = tuple(facts_of(FollowUp, name).label for name in fields)
    still_open = [entry for entry in asked if entry.state == "open"]
    settled = [entry for entry in asked if entry.state != "open"]
    parts: list[Node] = []
    if still_open:
        rows = tuple(tuple(shown.field(entry, name) for name in fields) for entry in still_open)
        parts.append(Table(f"Open follow-ups ({len(rows)})", head, rows, weights=(0, 3, 3, 1, 1)))
    else:
        parts.append(Paragraph("No follow-up is open."))
    if settled:
        rows = tuple(tuple(shown.field(entry, name) for name in ("number", "asks", "state", "answer")) for entry in settled)
        parts.append(
            Table(f"Settled follow-ups ({len(rows)})", ("Follow-up", "Question", "State", "Answer"), rows, weights=(0, 3, 0, 3))
        )
    return Chapter("Follow-ups", tuple(parts))


def closing_chapter(scope: UnitScope, closing: ClosingResult | None) -> Chapter:
    """Return the closing result: ready or not, and every rule that fails, cannot be told or was waived."""
    if closing is None:
        return Chapter("Closing result", (Paragraph("The closing check was not run for this report."), *_backfill(scope)))
    parts: list[Node] = [Paragraph(closing_sentence(closing), lead="Ready." if closing.ready else "Not ready.")]
    if closing.in_the_way:
        blocking = ", ".join(finding.rule.id for finding in closing.in_the_way)
        parts.append(Paragraph(f"{blocking}.", lead="In the way of filling in."))
    parts.append(Paragraph(f"{closing.profile}.", lead="Profile of rules."))
    parts.extend(Paragraph(scope.shown.masked(sentence(note))) for note in closing.notes)
    for outcome, title in ((Outcome.FAIL, "Rules that fail"), (Outcome.CANNOT_TELL, "Rules of which nobody can tell")):
        found = [finding for finding in closing.findings if finding.outcome is outcome]
        parts.append(_findings(scope, title, found) if found else Paragraph("None.", lead=f"{title}."))
    parts.append(_waived(scope, closing.waived) if closing.waived else Paragraph("None.", lead="Waivers."))
    parts.extend(_refused(scope, closing))
    for outcome, lead in ((Outcome.PASS, "Rules that pass."), (Outcome.NOT_APPLICABLE, "Rules that do not apply.")):
        numbers = ", ".join(finding.rule.id for finding in closing.findings if finding.outcome is outcome)
        parts.append(Paragraph(f"{numbers or 'none'}.", lead=lead))
    parts.extend(_backfill(scope))
    return Chapter("Closing result", tuple(parts))


def _findings(scope: UnitScope, title: str, found: Sequence[Finding]) -> Table:
    rows = tuple(
        (finding.rule.id, sentence(finding.rule.what), _says(scope.shown, finding), _mend(scope.shown, finding),
         str(finding.rule.severity))
        for finding in found
    )  # fmt: skip
    head = ("Rule", "What must hold", "What was found", "What mends it", "At backfill")
    return Table(f"{title} ({len(rows)})", head, rows, weights=(0, 3, 4, 3, 1))


def _waived(scope: UnitScope, found: Sequence[Finding]) -> Table:
    rows = []
    for finding in found:
        waivers = [kept for waiver in finding.waivers if (kept := scope.record.get(Waiver, waiver.id))]
        who = "; ".join(f"{scope.shown.field(waiver, 'who')}, {long_date(waiver.day)}" for waiver in waivers) or WITHHELD
        why = " ".join(sentence(scope.shown.field(waiver, "why")) for waiver in waivers) or WITHHELD
        rows.append((finding.rule.id, sentence(finding.rule.what), finding.outcome.value, who, why))
    head = ("Rule", "What must hold", "Outcome", "Waived by", "Why")
    return Table(f"Waivers ({len(rows)})", head, tuple(rows), weights=(0, 3, 0, 1.4, 3),
                 note="A rule may fail although some of its records are waived: its outcome stands beside it.")  # fmt: skip


def _refused(scope: UnitScope, closing: ClosingResult) -> Iterator[Node]:
    items = [
        f"{scope.shown.field(kept, 'rule')}: {scope.shown.masked(sentence(why))}"
        for waiver, why in closing.refused_waivers
        if (kept := scope.record.get(Waiver, waiver.id))
    ]
    if items:
        yield Paragraph(f"{len(items)}:", lead="Waivers that do not count.")
        yield Listing(tuple(items))


def _says(shown: Shown, finding: Finding) -> str:
    if shown.public and finding.rule.restricted:
        return _HELD_BACK
    kept = [detail for detail in finding.details if not shown.public or shown.record.by_id.keys() >= set(detail.records)]
    if len(kept) == len(finding.details):
        return shown.masked(sentence(finding.says)) or NOT_RECORDED
    others = "; ".join(detail.says for detail in kept[:_SAID])
    return f"{_HELD_BACK} Of the others: {shown.masked(sentence(others))}" if others else _HELD_BACK


def _mend(shown: Shown, finding: Finding) -> str:
    return _HELD_BACK if shown.public and finding.rule.restricted else sentence(finding.mend)


def _backfill(scope: UnitScope) -> Iterator[Node]:
    yield Heading("Backfill")
    filled = scope.of_unit(Backfill)
    if not filled:
        yield Paragraph("No backfill is recorded.")
    fields = (
        "day",
        "liner",
        "liner_level",
        "token",
        "support",
        "material",
        "imported",
        "volume",
        "compacted",
        "reinstated",
        "copies",
    )
    for entry in filled:
        yield KeyValues(scope.shown.rows(entry, fields))


def human_remains(scope: UnitScope, held: Sequence[Withheld]) -> Chapter:
    """Return the general statement on human remains; details only in the agency's copy."""
    shown = scope.shown
    rule = Paragraph(
        "Where human remains are possible the rule is: stop, cover, notify, leave in place. Law and licence differ from place to "
        "place; nothing here is legal advice."
    )
    if shown.public:
        some = any(line.what.startswith("possible human remains") for line in held)
        says = (
            "Possible human remains are on record at this site. Their number in the unit, their places and what was seen of them "
            "are withheld from this version; the agency's copy holds them."
            if some
            else "No human remains are on record for this site. That is not evidence that there are none."
        )
        return Chapter("Human remains", (rule, Paragraph(says)))
    burials = [
        burial for burial in scope.record.all(Burial) if scope.ids.intersection(burial.contexts or ()) or not burial.contexts
    ]
    if not burials:
        says = "No human remains are on record for this unit. That is not evidence that there are none."
        return Chapter("Human remains", (rule, Paragraph(says)))
    fields = ("number", "contexts", "recognised_on", "evidence", "steps", "cover", "left_exposed", "authority", "disposition")
    parts: list[Node] = [rule, Paragraph("This chapter is for the agency's copy only.", lead="Restricted.")]
    for burial in burials:
        parts += [Heading(f"Possible burial {burial.number or NOT_RECORDED}", level=3), KeyValues(shown.rows(burial, fields))]
    return Chapter("Human remains", tuple(parts))


_CAUTIONS = (
    Caution(
        "Cave-in",
        "Disturbed and backfilled ground is never stable ground. United States rules ask for protection of the sides from 5 ft "
        "(1.52 m) of depth, or less where a competent person sees signs of a cave-in, a way out from 4 ft (1.22 m), and spoil kept "
        "at least 2 ft (0.61 m) back. Elsewhere other rules hold. Defer to your competent person and your local code.",
        "29 CFR 1926 Subpart P",
    ),
    Caution(
        "Human remains",
        "Stop, cover, notify, and leave in place before anything else. Whom to notify and within what time is set by local law; "
        "defer to the authority and to descendants.",
        "published state statutes and federal guidance",
    ),
    Caution(
        "Location",
        "Exact places of sites are withheld from public versions because they have led to looting. Ask the agency before you "
        "publish a map or a co-ordinate.",
        "guidance on section 304 of the National Historic Preservation Act",
    ),
)


def cautions() -> Chapter:
    """Return the cautions; they decide nothing."""
    intro = Paragraph("These cautions are reminders with their sources. They decide nothing, and they are not legal advice.")
    return Chapter("Cautions", (intro, *_CAUTIONS))


def archive(scope: UnitScope) -> Chapter:
    """Return where finds and records are kept, and what the archive holds."""
    shown = scope.shown
    copies = [shown.field(entry, "copies") for entry in scope.of_unit(Backfill) if shown.has(entry, "copies")]
    kept = (
        ("Archive", shown.field(scope.record.site, "repository")),
        ("Copies of the record", "; ".join(copies) or NOT_RECORDED),
    )
    holds = Paragraph(
        "The site record (every change with who, when and what it replaced), the registers printed in the appendices, and the "
        "files of photos and drawings. The relations are kept as a table, from which the order can be drawn again."
    )
    return Chapter("Archive", (KeyValues(kept), holds))


def references(scope: UnitScope) -> Chapter:
    """Return the papers that the record itself names."""
    documents = [_reference(scope.shown, document) for document in scope.record.all(Document)]
    if not documents:
        return Chapter("References", (Paragraph("The record names no documents."),))
    return Chapter("References", (Listing(tuple(documents)),))


def _reference(shown: Shown, document: Document) -> str:
    years = "–".join(str(year) for year in dict.fromkeys((document.begin, document.end)) if year is not None)
    parts = [shown.field(document, "title"), years, document.kind or "", shown.field(document, "source")]
    return f"{document.number or NOT_RECORDED}. {sentence(', '.join(part for part in parts if part))}"


def withheld_list(held: Iterable[Withheld]) -> Chapter:
    """Return what was withheld from the public version and why."""
    rows = tuple((line.what, str(line.count), line.why) for line in held)
    if not rows:
        return Chapter("What was withheld", (Paragraph("Nothing was withheld."),), appendix=True)
    table = Table(
        f"Withheld from this version ({counted(len(rows), 'line')})",
        ("What", "How many", "Why"), rows, weights=(2, 0, 3), numbers=(1,),
        note=f"In their place stand the words “{WITHHELD}” or “[withheld]”. The agency's copy is made from the same record.",
    )  # fmt: skip
    return Chapter("What was withheld", (table,), appendix=True)
