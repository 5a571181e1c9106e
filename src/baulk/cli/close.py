"""`baulk close`: the check before backfill."""

from __future__ import annotations

from pathlib import Path

import click

from baulk.cli.options import as_json, emit, path_name, restricted_option, site_argument
from baulk.closing import ClosingResult, Outcome, profile_from_text
from baulk.errors import FileError
from baulk.record import RESTRICTED_NOTICE, SiteRecord, Unit, View, view_of
from baulk.record.naming import called
from baulk.store import open_site
from baulk.work.closing_told import ToldClosing, ToldFinding, told_closing
from baulk.work.study import Study

__all__ = ["close"]

_LARGEST_PROFILE = 1_000_000


@click.command()
@site_argument
@click.argument("unit")
@click.option("--profile", "profile_file", type=path_name, default=None, help="Jurisdiction profile as a TOML file.")
@click.option("--all", "every", is_flag=True, help="List the rules that pass too.")
@restricted_option
@as_json
@click.pass_context
def close(
    ctx: click.Context, site: Path, unit: str, profile_file: Path | None, every: bool, restricted: bool, json_out: bool
) -> None:
    """Check UNIT before it is filled in. Ends with 1 while something stands in the way."""
    profile = profile_from_text(_text_of(profile_file)) if profile_file else None
    with open_site(site, read_only=True) as store:
        study = Study(store.record(), profile=profile)
    entity = study.record.numbered(Unit, unit)
    result = study.closing(entity.id)
    view = view_of(restricted=restricted)
    told = told_closing(study.record, result, study.cautions(entity.id), view)
    words = [*([f"{RESTRICTED_NOTICE}."] if view is View.RESTRICTED else []), *_words(unit, result, told, every=every)]
    words += ["", *(f"Caution: {one.says}" for one in told.cautions)]
    emit(_answer(unit, result, told), "\n".join(words), json_out=json_out)
    ctx.exit(0 if result.ready else 1)


def _text_of(path: Path) -> str:
    try:
        if not path.is_file() or path.stat().st_size > _LARGEST_PROFILE:
            raise FileError(f"The profile {path.name} is no text file of at most {_LARGEST_PROFILE:,} bytes. Give a TOML file.")
        return path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError):
        raise FileError(f"The profile {path.name} cannot be read as text. Give a TOML file in UTF-8.") from None


def _answer(unit: str, result: ClosingResult, told: ToldClosing) -> dict[str, object]:
    record = told.record
    return {
        "unit": unit,
        "ready": result.ready,
        "profile": result.profile,
        "counts": {str(outcome): count for outcome, count in result.counts.items()},
        "in_the_way": [found.rule.id for found in told.in_the_way],
        "findings": [
            {
                "rule": found.rule.id, "what": found.rule.what, "severity": str(found.rule.severity), "outcome": str(found.outcome),
                "records": _known(record, found.records), "says": found.says, "mend": found.mend, "withheld": found.withheld,
                "details": [
                    {"records": _known(record, detail.records), "outcome": str(detail.outcome), "says": detail.says}
                    for detail in found.details
                ],
            }
            for found in told.findings
        ],
        "refused_waivers": [{"rule": waiver.rule, "why": why} for waiver, why in told.refused_waivers],
    }  # fmt: skip


def _known(record: SiteRecord, identities: tuple[str, ...]) -> list[str]:
    entities = ((identity, record.by_id.get(identity)) for identity in identities)
    return [called(record, entity) if entity else record.label(identity) for identity, entity in entities]


def _words(unit: str, result: ClosingResult, told: ToldClosing, *, every: bool) -> list[str]:
    counts = ", ".join(f"{count} {outcome}" for outcome, count in result.counts.items() if count)
    in_the_way = len(told.in_the_way)
    verdict = (
        "nothing of the stop-list stands in the way."
        if result.ready
        else f"NOT ready to fill in: {in_the_way} {'rule stands' if in_the_way == 1 else 'rules stand'} in the way."
    )
    lines = [f"Unit {unit}: {verdict}", f"Profile: {result.profile}. {counts}."]
    lines += [f"  {found.rule.id}  {found.rule.what}" for found in told.in_the_way]
    lines += [""] if told.in_the_way else []
    for found in told.in_the_way:
        lines += _finding(told.record, found, mark="STOP")
    for found in told.findings:
        if not found.blocks and (every or found.outcome in (Outcome.FAIL, Outcome.CANNOT_TELL, Outcome.WAIVED)):
            lines += _finding(told.record, found, mark="    ")
    lines += [f"A waiver of {waiver.rule} does not count: {why}" for waiver, why in told.refused_waivers]
    return [*lines, *result.notes]


def _finding(record: SiteRecord, found: ToldFinding, *, mark: str) -> list[str]:
    blamed = ", ".join(_known(record, found.records[:12]))
    lines = [f"{mark} {found.rule.id} {found.outcome} ({found.rule.severity}): {found.says}"]
    lines += [f"       {words}" for words in found.waivers]
    lines += [f"       see {blamed}{' …' if len(found.records) > 12 else ''}"] if blamed else []
    return [*lines, f"       mend: {found.mend}"] if found.mend else lines
