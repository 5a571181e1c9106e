"""Baulk: record, order, draw, check and report a small excavation unit, from opening to backfill."""

__all__ = ["__version__"]

__version__ = "0.1.0"
