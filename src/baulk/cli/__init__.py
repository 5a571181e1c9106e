"""The command line."""

from baulk.cli.main import main

__all__ = ["main"]
