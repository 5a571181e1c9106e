"""`baulk`: the group of commands, and how errors leave it.

Exit codes: 0 done; 1 done, and the check found something; 2 the command's words are off; 3 something given cannot be used;
4 the site file cannot be used; 5 a part is not installed.
"""

from __future__ import annotations

import json
import sys
from importlib import import_module
from typing import Any

import click

from baulk import __version__
from baulk.errors import BaulkError, MissingPart, StoreError, TableError

__all__ = ["COMMANDS", "BaulkGroup", "exit_code", "main"]

COMMANDS = {
    "demo": "Build Otter Weir, an invented site, with a copy that has mistakes.",
    "new": "Make a new, empty site file.",
    "take": "Take tables in: ours, or another office's with a mapping.",
    "set": "Correct one field of one record; settle a difference.",
    "amend": "Correct records from a table; fill in the site itself.",
    "void": "Make a record void; it keeps its number.",
    "undo": "Take a change back by a further change.",
    "give": "Give tables or positions out, with a data dictionary.",
    "show": "Show the site, a kind of record, or one record.",
    "order": "Work out the order of the contexts, and what is wrong with it.",
    "date": "Say when each context was formed: bounds through the order, and the aids to dating.",
    "weigh": "Weigh what a thing was: readings against evidence, what would overturn the answer, what to do next.",
    "draw": "Draw the site, plans, walls and the order as SVG.",
    "rectify": "Turn a photo with marked points into a north-up picture on the site grid.",
    "propose": "Propose outlines of laid pieces picked on a rectified picture.",
    "cloud": "Take levels from a point cloud.",
    "elements": "Say how laid pieces lie: axis, rows, what they turn round, what is cut.",
    "soil": "Name a soil's texture, compare two colours, measure inclusions.",
    "shape": "Work out volumes, buckets, walls and backfill of a unit.",
    "close": "Check a unit before it is filled in.",
    "waive": "Set a rule of the closing check aside, with who and why.",
    "report": "Write the unit report as HTML and PDF.",
    "forms": "Print blank sheets with numbers of their own, to be typed in later.",
    "backup": "Copy a site file, also while it is in use.",
    "merge": "Bring two copies of a site together; nothing is dropped.",
    "open": "Serve the workbench, to look and to record, on this machine or to the site's network.",
}
"""In the order of the job. Each stands in the module of its name and is loaded when called: none waits for another's parts."""


def exit_code(error: BaulkError) -> int:
    """Return the exit code of an error."""
    if isinstance(error, StoreError):
        return 4
    return 5 if isinstance(error, MissingPart) else 3


class BaulkGroup(click.Group):
    """The group: an error that Baulk raises on purpose ends in one sentence and its exit code, never in a traceback."""

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the list of commands without loading them."""
        del ctx
        with formatter.section("Commands"):
            formatter.write_dl([(name, COMMANDS[name]) for name in COMMANDS])

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Return the names of the commands."""
        del ctx
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Return the command of that name, or None."""
        del ctx
        if cmd_name not in COMMANDS:
            return None
        found = getattr(import_module(f"baulk.cli.{cmd_name}"), f"{cmd_name}_command" if cmd_name in ("open", "set") else cmd_name)
        return found if isinstance(found, click.Command) else None

    def invoke(self, ctx: click.Context) -> Any:
        """Run the command and turn errors into words."""
        try:
            return super().invoke(ctx)
        except BaulkError as error:
            if "--json" in sys.argv or ctx.obj == "json":
                said: dict[str, Any] = {"code": error.code, "message": str(error)}
                if isinstance(error, TableError):
                    said["faults"] = [
                        {"line": fault.line, "column": fault.column, "given": fault.given, "reason": fault.reason}
                        for fault in error.faults
                    ]
                click.echo(json.dumps({"error": said}, ensure_ascii=False))
            else:
                click.echo(str(error), err=True)
            ctx.exit(exit_code(error))


@click.group(cls=BaulkGroup, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="baulk")
def main() -> None:
    """Record, order, draw, check and report a small excavation unit, from opening to backfill.

    Start with `baulk demo`, or with `baulk new` and `baulk take`.
    """
