"""The one JSON shape of every error that the server answers with."""

from __future__ import annotations

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse
from pydantic import BaseModel, Field
from starlette.exceptions import HTTPException

from baulk.errors import BaulkError, InputError, LoopError, MissingPart, NothingToDraw, Overtaken, StoreError, UnknownRecord
from baulk.server.tokens import TokenExpired, TokenMissing, TokenWrong, TooManyTries

__all__ = ["NoSuchDrawing", "NoSuchFile", "NotForTheCrew", "Problem", "answer_problems", "problem_answer", "refusal_of"]


class Problem(BaseModel):
    """An error: its stable code, what a person reads, and the numbers it names."""

    code: str = Field(description="Stable name of the kind of error.")
    message: str = Field(description="What was asked, the rule, and what to do next.")
    numbers: list[str] = Field(default_factory=list, description="Numbers that the message names, such as those of a loop.")


class NoSuchDrawing(UnknownRecord):
    """There is no drawing of that name."""

    code = "unknown_drawing"


class NoSuchFile(BaulkError):
    """The site keeps no file of that hash, or it is not shown here."""

    code = "unknown_file"


class NotForTheCrew(BaulkError):
    """What was asked tells of burials, and this workbench withholds them."""

    code = "restricted"


_STATUS: tuple[tuple[type[BaulkError], int], ...] = (
    (UnknownRecord, 404),
    (NoSuchFile, 404),
    (NotForTheCrew, 403),
    (NothingToDraw, 404),
    (InputError, 422),
    (MissingPart, 501),
    (TokenMissing, 401),
    (TokenExpired, 401),
    (TokenWrong, 401),
    (TooManyTries, 429),
    (Overtaken, 409),
    (StoreError, 503),
)


def problem_answer(status: int, code: str, message: str, numbers: tuple[str, ...] = ()) -> JSONResponse:
    """Return an error as an answer in the one shape."""
    return JSONResponse(Problem(code=code, message=message, numbers=list(numbers)).model_dump(), status)


def refusal_of(error: BaulkError) -> JSONResponse:
    """Return the answer to an error that Baulk raised on purpose."""
    status = next((status for kind, status in _STATUS if isinstance(error, kind)), 409)
    numbers = error.cycle if isinstance(error, LoopError) else ()
    return problem_answer(status, error.code, str(error), numbers)


def answer_problems(app: FastAPI) -> None:
    """Let `app` answer every error in the one shape."""
    app.add_exception_handler(BaulkError, _of_baulk)
    app.add_exception_handler(RequestValidationError, _of_request)
    app.add_exception_handler(HTTPException, _of_http)
    app.add_exception_handler(Exception, _of_fault)


async def _of_baulk(_request: Request, error: Exception) -> JSONResponse:
    if not isinstance(error, BaulkError):
        raise error
    return refusal_of(error)


async def _of_request(_request: Request, error: Exception) -> JSONResponse:
    if not isinstance(error, RequestValidationError):
        raise error
    fault = error.errors()[0]
    name = fault["loc"][-1] if fault["loc"] else "request"
    return problem_answer(422, "input", f"“{name}” cannot be used: {fault['msg']}. Ask again with another value.")


async def _of_http(request: Request, error: Exception) -> JSONResponse:
    if not isinstance(error, HTTPException):
        raise error
    if error.status_code == 405:
        return problem_answer(
            405,
            "read_only",
            f"{request.method} is not answered at {request.url.path}: that address only shows the record and changes nothing.",
        )
    if error.status_code == 404:
        return problem_answer(404, "no_such_page", f"There is nothing at {request.url.path}. Start from the first page, /.")
    return problem_answer(error.status_code, "too_large" if error.status_code == 413 else "http", str(error.detail))


async def _of_fault(_request: Request, _error: Exception) -> JSONResponse:
    return problem_answer(500, "fault", "The server met a fault of its own; nothing was changed. Its terminal shows the details.")
