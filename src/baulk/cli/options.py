"""Arguments and options that several commands share."""

from __future__ import annotations

import getpass
import json
import os
import platform
import shutil
import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, TypeVar

import click

from baulk.errors import shorten
from baulk.work.pen import Pen

__all__ = ["as_json", "as_typed", "by", "emit", "path_name", "pen_of", "restricted_option", "site_argument", "step"]

F = TypeVar("F", bound=Callable[..., Any])


class _PathName(click.ParamType[Path]):
    """A path as given; a name that no disk can hold is refused here, so that no message has to repeat it."""

    name = "path"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Path:
        """Return the path; ``.`` becomes the folder's own name."""
        path = Path(value)
        longest = max((len(os.fsencode(part)) for part in path.parts), default=0)
        if longest > _LONGEST_NAME or len(os.fsencode(path)) > _LONGEST_PATH:
            said = f"“{shorten(value, 30)}” has {len(str(value)):,} characters. A file name has at most {_LONGEST_NAME} bytes"
            self.fail(f"{said} and a path {_LONGEST_PATH:,}: give a shorter one.", param, ctx)
        return path if path.name else path.resolve()


_LONGEST_NAME, _LONGEST_PATH = 255, 4_000
path_name = _PathName()
site_argument = click.argument("site", type=path_name, metavar="SITE.gpkg")
as_json = click.option("--json", "json_out", is_flag=True, help="Answer as JSON; the shape is in docs/commands.md.")
by = click.option(
    "--by", "person", envvar="BAULK_BY", default="", help="Your initials; every change says whose it is (or set BAULK_BY)."
)
restricted_option = click.option("--restricted", is_flag=True, help="Include burials and what would give one away.")


def pen_of(person: str) -> Pen:
    """Return the pen of this person on this device; the account's name stands in, and is told, when no initials are given."""
    if not person.strip():
        person = _account()
        if person:
            click.echo(f"Signed as {person}, the account's name: give --by or set BAULK_BY.", err=True)
    return Pen(person, platform.node())


def _account() -> str:
    """Return the account's name; empty when the machine knows none, so that the pen asks for initials."""
    try:
        return getpass.getuser()
    except (OSError, KeyError, ImportError):
        return ""


def as_typed() -> str:
    """Return what a person types for Baulk here: ``baulk`` when the shell finds it, else the program's own place.

    Seen from the folder one stands in, as ``.venv/bin/baulk``.
    """
    if shutil.which("baulk"):
        return "baulk"
    program = Path(sys.argv[0])
    if program.name != "baulk":
        return "baulk"
    here = Path.cwd()
    return str(program.relative_to(here)) if program.is_relative_to(here) else str(program)


def emit(answer: Mapping[str, Any], words: str, *, json_out: bool) -> None:
    """Write the answer: JSON or words."""
    click.echo(json.dumps(answer, ensure_ascii=False, indent=2, default=str) if json_out else words)


def step(words: str) -> None:
    """Tell on the error stream what is being done, so that long work does not stand silent and the answer stays clean."""
    click.echo(f"{words} …", err=True)
