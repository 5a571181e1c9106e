"""Setting a typst program as PDF with the fonts that are shipped."""

from __future__ import annotations

from importlib import resources
from pathlib import Path

import typst

from baulk.errors import TypesettingError

__all__ = ["set_as_pdf"]


def set_as_pdf(program: Path, *, archival: bool, system_fonts: bool) -> bytes:
    """Return what a typst program sets; it may read what lies beside it and nothing else.

    Parameters
    ----------
    program : Path
        The program, in a folder of its own.
    archival : bool
        Whether the PDF is to be PDF/A-2a.
    system_fonts : bool
        Whether the machine's fonts are asked for signs that the shipped ones lack.

    Raises
    ------
    TypesettingError
        When nothing comes out.
    typst.TypstError
        When the program is refused.
    """
    fonts = resources.files("font_source_sans_pro") / "files"
    with resources.as_file(fonts) as font_folder:
        compiler = typst.Compiler(
            str(program), root=str(program.parent), font_paths=[str(font_folder)], ignore_system_fonts=not system_fonts
        )
        made = compiler.compile(format="pdf", pdf_standards="a-2a" if archival else None)
    if not isinstance(made, bytes):
        raise TypesettingError("The report cannot be set as PDF: no file came out. The web version holds the same report.")
    return made
