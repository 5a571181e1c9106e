"""What `baulk weigh` answers as JSON and as CSV."""

from __future__ import annotations

import csv
import io
from typing import Any

from baulk.reading.grouping import Treatment
from baulk.reading.next_test import Ranked
from baulk.reading.plan import Plan, Step
from baulk.work.weigh import WeighedQuestion
from baulk.work.weigh_past import ChangeOfMind

__all__ = ["answer_of", "changes_answer", "next_answer", "overturn_answer", "table_csv", "why_answer"]

_PLACES = 6
_HEAD = (
    "evidence", "seen", "cause", "reading", "expected", "low", "best", "high", "decibans_alone", "decibans_counted", "why",
    "source",
)  # fmt: skip


def _share(value: float) -> float:
    return round(float(value), _PLACES)


def answer_of(found: WeighedQuestion) -> dict[str, Any]:
    """Return the answer: readings with share and range, and what it says."""
    weighed, care = found.argument.weighed, found.argument.care
    return {
        "question": found.asked.number,
        "asks": found.asked.question.asks,
        "treatment": str(weighed.treatment),
        "readings": [
            {
                "id": reading.id, "mark": found.mark(reading.id), "name": reading.name,
                "prior": _share(weighed.prior.shares[place]), "share": _share(weighed.posterior[place]),
                "low": _share(weighed.low[place]), "high": _share(weighed.high[place]), "burial": reading.burial,
            }
            for place in weighed.order
            for reading in (weighed.question.readings[place],)
        ],
        "says": found.argument.says,
        "conclusion": found.asked.held.conclusion or "",
        "burial_care": {"acts": care.acts, "says": found.care_says, "steps": list(care.steps)},
        "notes": [*weighed.prior.notes, *found.notes],
    }  # fmt: skip


def why_answer(found: WeighedQuestion) -> dict[str, Any]:
    """Return every piece with its weights, what is counted, and what the answer would be without it."""
    weighed = found.argument.weighed
    readings = weighed.question.readings
    return answer_of(found) | {
        "evidence": [
            {
                "id": piece.id, "mark": found.mark(piece.id), "saw": piece.told, "cause": piece.cause, "source": piece.source,
                "records": [found.asked.record.label(one) for one in piece.records],
                "cells": [
                    {
                        "reading": reading.id, "expected": held.says if held else None,
                        "decibans": round(float(weighed.piece_weights[place, at]), 3), "why": piece.notes.get(reading.id, ""),
                    }
                    for at, reading in enumerate(readings)
                    for held in (piece.expected.get(reading.id),)
                ],
            }
            for place, piece in enumerate(weighed.question.evidence)
        ],
        "counted": [
            {
                "evidence": [weighed.question.evidence[piece].id for piece in weighed.rows.pieces[row]],
                "cause": weighed.rows.causes[row],
                "decibans": [round(float(weight), 3) for weight in weighed.weights[row]],
            }
            for row in range(len(weighed.rows))
        ],
        "set_aside": [{"id": one.id, "saw": one.saw, "because": one.set_aside} for one in found.asked.set_aside],
        "without": [
            {
                "evidence": [weighed.question.evidence[piece].id for piece in one.pieces], "cause": one.cause,
                "leader": readings[one.leader].id, "leader_share": _share(one.posterior[one.leader]), "keeps_lead": one.keeps_lead,
            }
            for one in found.argument.influences
        ],
    }  # fmt: skip


def overturn_answer(found: WeighedQuestion) -> dict[str, Any]:
    """Return the smallest sets that would overturn the answer, and the answer under other treatments and priors."""
    argument, weighed = found.argument, found.argument.weighed
    readings = weighed.question.readings
    apart = argument.separation
    return answer_of(found) | {
        "overturning": [
            {
                "rival": readings[one.rival].id, "evidence": [weighed.question.evidence[piece].id for piece in one.pieces],
                "ahead_decibans": round(one.ahead, 3),
            }
            for one in argument.overturning
        ],
        "closest_rival": readings[apart.other].id,
        "ahead_decibans": round(apart.total, 3),
        "words_may_move": round(argument.holds_to, 3),
        "treatments": [
            {"treatment": str(one.treatment), "meaning": one.treatment.meaning, "leader": readings[one.leader].id,
             "leader_share": _share(one.posterior[one.leader])}
            for one in argument.treatments
        ],
        "priors": [
            {"prior": one.name, "leader": readings[one.leader].id, "leader_share": _share(one.posterior[one.leader])}
            for one in argument.priors
        ],
    }  # fmt: skip


def next_answer(found: WeighedQuestion) -> dict[str, Any]:
    """Return the tests not made yet in the order in which to make them, and the plan."""
    return answer_of(found) | {"tests": [_ranked(found, one) for one in found.argument.tests], "plan": _plan(found.argument.plan)}


def _ranked(found: WeighedQuestion, one: Ranked) -> dict[str, Any]:
    held = one.observation
    return {
        "id": held.id, "mark": found.mark(held.id), "does": held.does, "hours": held.hours,
        "lost_at_backfill": held.lost_at_backfill, "bits": _share(one.bits), "bits_per_hour": _share(one.bits_per_hour),
        "outcomes": [
            {"outcome": name, "chance": _share(chance), "changes_lead": changes}
            for name, chance, changes in zip(held.outcomes, one.likely, one.changes_lead, strict=True)
        ],
        "cause_counted": one.cause_counted, "source": held.source,
    }  # fmt: skip


def _plan(plan: Plan) -> dict[str, Any]:
    return {
        "first": _step(plan.first), "bits": _share(plan.bits), "hours": round(plan.hours, 2),
        "most_hours": plan.most_hours, "says": plan.says,
    }  # fmt: skip


def _step(step: Step | None) -> dict[str, Any] | None:
    if step is None:
        return None
    outcomes = zip(step.observation.outcomes, step.likely, step.then, strict=True)
    return {
        "test": step.observation.id,
        "then": [{"outcome": name, "chance": _share(chance), "next": _step(then)} for name, chance, then in outcomes],
    }


def changes_answer(found: WeighedQuestion, changes: tuple[ChangeOfMind, ...], then: WeighedQuestion | None) -> dict[str, Any]:
    """Return the changes of mind, and beside the answer the one as it stood."""
    told = [
        {"time": one.time, "person": one.person, "says": one.says, "before": one.before, "after": one.after, "why": one.why}
        for one in changes
    ]
    return answer_of(found) | {"changes": told, "then": answer_of(then) if then else None}


def table_csv(found: WeighedQuestion) -> str:
    """Return the table as CSV: one row a cell, with the word, its range, and the decibans that count."""
    weighed = found.argument.weighed
    text = io.StringIO(newline="")
    rows = csv.writer(text, lineterminator="\r\n")
    rows.writerow(_HEAD)
    counted = {piece: row for row, pieces in enumerate(weighed.rows.pieces) for piece in pieces}
    apart = weighed.treatment is Treatment.FULL
    for place, piece in enumerate(weighed.question.evidence):
        row = counted[place]
        first = weighed.rows.pieces[row][0] == place
        for at, reading in enumerate(weighed.question.readings):
            cell, given = piece.cell(reading.id), piece.expected.get(reading.id)
            weight = f"{weighed.weights[row, at]:.3f}" if first or apart else ""
            rows.writerow([
                _safe(found.mark(piece.id) or piece.saw), _safe(piece.told), _safe(piece.cause or ""), _safe(reading.name),
                _safe(given.says if given else ""), f"{cell.low:.4g}", f"{cell.best:.4g}", f"{cell.high:.4g}",
                f"{weighed.piece_weights[place, at]:.3f}", weight, _safe(piece.notes.get(reading.id, "")), _safe(piece.source),
            ])  # fmt: skip
    return text.getvalue()


def _safe(text: str) -> str:
    """Return text that no sheet takes for a formula."""
    return f"'{text}" if text[:1] in ("=", "+", "-", "@") else text
