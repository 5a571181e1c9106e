"""`baulk close`: the check before backfill."""

from __future__ import annotations

from pathlib import Path

import click

from baulk.cli.options import as_json, emit, path_name, site_argument
from baulk.closing import ClosingResult, Finding, Outcome, profile_from_text
from baulk.errors import FileError
from baulk.record import SiteRecord, Unit
from baulk.record.naming import called
from baulk.store import open_site
from baulk.work.study import Study

__all__ = ["close"]

_LARGEST_PROFILE = 1_000_000


@click.command()
@site_argument
@click.argument("unit")
@click.option("--profile", "profile_file", type=path_name, default=None, help="Jurisdiction profile as a TOML file.")
@click.option("--all", "every", is_flag=True, help="List the rules that pass too.")
@as_json
@click.pass_context
def close(ctx: click.Context, site: Path, unit: str, profile_file: Path | None, every: bool, json_out: bool) -> None:
    """Check UNIT before it is filled in. Ends with 1 while something stands in the way."""
    profile = profile_from_text(_text_of(profile_file)) if profile_file else None
    with open_site(site, read_only=True) as store:
        study = Study(store.record(), profile=profile)
    entity = study.record.numbered(Unit, unit)
    result = study.closing(entity.id)
    words = [*_words(study.record, unit, result, every=every), "", *(f"Caution: {one.says}" for one in study.cautions(entity.id))]
    emit(_answer(study.record, unit, result), "\n".join(words), json_out=json_out)
    ctx.exit(0 if result.ready else 1)


def _text_of(path: Path) -> str:
    try:
        if not path.is_file() or path.stat().st_size > _LARGEST_PROFILE:
            raise FileError(f"The profile {path.name} is no text file of at most {_LARGEST_PROFILE:,} bytes. Give a TOML file.")
        return path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError):
        raise FileError(f"The profile {path.name} cannot be read as text. Give a TOML file in UTF-8.") from None


def _answer(record: SiteRecord, unit: str, result: ClosingResult) -> dict[str, object]:
    return {
        "unit": unit,
        "ready": result.ready,
        "profile": result.profile,
        "counts": {str(outcome): count for outcome, count in result.counts.items()},
        "in_the_way": [found.rule.id for found in result.in_the_way],
        "findings": [
            {
                "rule": found.rule.id, "what": found.rule.what, "severity": str(found.rule.severity), "outcome": str(found.outcome),
                "records": [_called(record, identity) for identity in found.records], "says": found.says, "mend": found.mend,
                "details": [
                    {"records": [_called(record, one) for one in detail.records], "outcome": str(detail.outcome),
                     "says": detail.says}
                    for detail in found.details
                ],
            }
            for found in result.findings
        ],
        "refused_waivers": [{"rule": waiver.rule, "why": why} for waiver, why in result.refused_waivers],
    }  # fmt: skip


def _called(record: SiteRecord, identity: str) -> str:
    entity = record.by_id.get(identity)
    return called(record, entity) if entity else record.label(identity)


def _words(record: SiteRecord, unit: str, result: ClosingResult, *, every: bool) -> list[str]:
    counts = ", ".join(f"{count} {outcome}" for outcome, count in result.counts.items() if count)
    verdict = (
        "nothing of the stop-list stands in the way."
        if result.ready
        else f"NOT ready to fill in: {len(result.in_the_way)} rules stand in the way."
    )
    lines = [f"Unit {unit}: {verdict}", f"Profile: {result.profile}. {counts}."]
    for found in result.in_the_way:
        lines += _finding(record, found, mark="STOP")
    for found in result.findings:
        if not found.blocks and (every or found.outcome in (Outcome.FAIL, Outcome.CANNOT_TELL, Outcome.WAIVED)):
            lines += _finding(record, found, mark="    ")
    lines += [f"A waiver of {waiver.rule} does not count: {why}" for waiver, why in result.refused_waivers]
    return [*lines, *result.notes]


def _finding(record: SiteRecord, found: Finding, *, mark: str) -> list[str]:
    blamed = ", ".join(_called(record, identity) for identity in found.records[:12])
    lines = [f"{mark} {found.rule.id} {found.outcome} ({found.rule.severity}): {found.says}"]
    lines += [f"       {words}" for words in found.waiver_words]
    lines += [f"       see {blamed}{' …' if len(found.records) > 12 else ''}"] if blamed else []
    return [*lines, f"       mend: {found.mend}"] if found.mend else lines
