"""The site grid: lengths in feet and metres, levels, laying out, tapes, and the way to a national grid.

Everything here is computed in metres; `lengths` turns what was written on the sheet into metres and back.
"""

__all__: list[str] = []
