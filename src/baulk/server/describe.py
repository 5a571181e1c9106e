"""Writes the description of the routes from which the page's types are made: ``python -m baulk.server.describe FILE``."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import NoReturn

from baulk.server.app import create_app
from baulk.server.study import Study

__all__ = ["description"]


def description() -> str:
    """Return the OpenAPI description of the routes as JSON text."""

    def no_study() -> Study:
        _refuse()

    app = create_app(no_study)
    schema = app.openapi()
    schema["info"]["version"] = "0"  # the types do not change with the version of the package
    return json.dumps(schema, indent=1, ensure_ascii=False, sort_keys=True) + "\n"


def _refuse() -> NoReturn:
    raise RuntimeError("the description is made without a site")


if __name__ == "__main__":
    Path(sys.argv[1]).write_text(description(), encoding="utf-8")
