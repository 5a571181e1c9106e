"""Readings, file by file."""
