"""The routes under /api/readings: questions with their readings weighed; nothing is written here."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Query, Request

from baulk.server.asking import PROBLEMS, shown_to
from baulk.server.readings_view import (
    BegunView,
    ChangesView,
    PostedQuestion,
    ProposalsView,
    ReadingsView,
    begin_view,
    changes_view,
    posted_record,
    proposals_view,
    readings_view,
    then_view,
    weighed_view,
)
from baulk.server.weigh_view import WeighView

__all__ = ["begin", "changes", "propose", "propose_posted", "question", "questions", "readings_routes", "then", "weigh_posted"]

_Word = Annotated[str, Query(max_length=64)]

readings_routes = APIRouter(prefix="/api/readings", responses=PROBLEMS)


@readings_routes.get("", summary="The questions, the patterns and the scale")
def questions(request: Request) -> ReadingsView:
    """Return what leads in each question, and what a new one may be begun from."""
    return readings_view(shown_to(request))


@readings_routes.post("/weigh", summary="A question weighed as a device has it; nothing is kept")
def weigh_posted(request: Request, posted: PostedQuestion) -> WeighView:
    """Weigh the records that are sent along."""
    shown = shown_to(request)
    return weighed_view(shown, posted.question, treatment=posted.treatment, instead=posted_record(shown, posted))


@readings_routes.post("/propose", summary="What the record says to the pattern of a question as a device has it")
def propose_posted(request: Request, posted: PostedQuestion) -> ProposalsView:
    """Return the lines not answered yet."""
    shown = shown_to(request)
    return proposals_view(shown, posted.question, posted_record(shown, posted))


@readings_routes.get("/begin", summary="The records of a question begun from a pattern")
def begin(request: Request, pattern: _Word, about: Annotated[list[str], Query(max_length=100)]) -> BegunView:
    """Return what the device is to create."""
    return begin_view(shown_to(request), pattern, about)


@readings_routes.get("/{question}", summary="One question weighed, by its id or number")
def question(request: Request, question: str, treatment: _Word = "") -> WeighView:
    """Return the table, the answer and what could change it."""
    return weighed_view(shown_to(request), question, treatment=treatment)


@readings_routes.get("/{question}/proposals", summary="What the record says to the question's pattern")
def propose(request: Request, question: str) -> ProposalsView:
    """Return the lines not answered yet."""
    return proposals_view(shown_to(request), question)


@readings_routes.get("/{question}/changes", summary="Changes of mind, earliest first")
def changes(request: Request, question: str) -> ChangesView:
    """Return what was changed, by whom, when and why."""
    return changes_view(shown_to(request), question)


@readings_routes.get("/{question}/then", summary="One question as it stood at a time of the log")
def then(request: Request, question: str, time: _Word) -> WeighView:
    """Return the question as it was weighed then."""
    return then_view(shown_to(request), question, time)
