"""Arguments and options that several commands share."""

from __future__ import annotations

import getpass
import json
import platform
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, TypeVar

import click

from baulk.work.pen import Pen

__all__ = ["as_json", "by", "emit", "pen_of", "restricted_option", "site_argument", "step"]

F = TypeVar("F", bound=Callable[..., Any])

site_argument = click.argument("site", type=click.Path(path_type=Path), metavar="SITE.gpkg")
as_json = click.option("--json", "json_out", is_flag=True, help="Answer as JSON; the shape is in docs/commands.md.")
by = click.option(
    "--by", "person", envvar="BAULK_BY", default="", help="Your initials; every change says whose it is (or set BAULK_BY)."
)
restricted_option = click.option("--restricted", is_flag=True, help="Include burials and what would give one away.")


def pen_of(person: str) -> Pen:
    """Return the pen of this person on this device; the account's name stands in when no initials are given."""
    return Pen(person or getpass.getuser(), platform.node())


def emit(answer: Mapping[str, Any], words: str, *, json_out: bool) -> None:
    """Write the answer: JSON or words."""
    click.echo(json.dumps(answer, ensure_ascii=False, indent=2, default=str) if json_out else words)


def step(words: str) -> None:
    """Tell on the error stream what is being done, so that long work does not stand silent and the answer stays clean."""
    click.echo(f"{words} …", err=True)
