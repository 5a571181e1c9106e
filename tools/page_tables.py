"""Write the tables that the page carries from the calculations they belong to: soil colour chips, and texture by feel.

Run it after a change of `baulk.ground.colour` or `baulk.ground.feel`; a test tells when that was forgotten.
"""

from __future__ import annotations

import json
from pathlib import Path

from baulk.errors import MeasureError
from baulk.ground.colour import srgb_of
from baulk.ground.feel import SOURCE, texture_by_feel

PARTS = Path(__file__).resolve().parent.parent / "web" / "src" / "parts"

# Hues, values and chromas as soil colour books commonly have them: from memory.
HUES = ("10R", "2.5YR", "5YR", "7.5YR", "10YR", "2.5Y", "5Y", "10Y", "5GY", "10GY", "5G", "5BG", "5B", "5PB")
VALUES = ("8", "7", "6", "5", "4", "3", "2.5", "2")
CHROMAS = ("1", "2", "3", "4", "6", "8")
GREYS = ("8", "7", "6", "5", "4", "3", "2.5", "2")


def chips_text() -> str:
    """Return the table of chips as TypeScript: a page a hue, a row a value, a chip a chroma, `-` where there is none."""
    lines = [
        "/** Soil colour chips in true sRGB. Written by tools/page_tables.py from baulk.ground.colour; change that, not this. */",
        "",
        f"export const CHROMAS = {_quoted(CHROMAS)} as const;",
        "",
        "/** Pages by hue; of each value, from light to dark, the chips by chroma, `-` where there is none. N are the neutral greys. */",
        "export const PAGES: Readonly<Record<string, Readonly<Record<string, string>>>> = {",
    ]
    for hue in HUES:
        lines.append(f"  '{hue}': {{")
        lines += [f"    '{value}': '{' '.join(_chip(f'{hue} {value}/{chroma}') for chroma in CHROMAS)}'," for value in VALUES]
        lines.append("  },")
    lines.append("  N: {")
    lines += [f"    '{value}': '{_chip(f'N {value}/0')}'," for value in GREYS]
    lines += ["  },", "};", ""]
    return "\n".join(lines)


def _chip(notation: str) -> str:
    try:
        return (srgb_of(notation) or "-").removeprefix("#")
    except MeasureError:
        return "-"


def feel_text() -> str:
    """Return the questions of texture by feel as TypeScript: a tree whose leaves are classes."""
    tree = json.dumps(_feel({}), indent=2, ensure_ascii=False)
    return "\n".join(
        [
            "/** Soil texture by feel. Written by tools/page_tables.py from baulk.ground.feel; change that, not this. */",
            "",
            "/** A question with what each answer leads to: another question, or a class. */",
            "export interface Feel {",
            "  readonly name: string;",
            "  readonly asks: string;",
            "  readonly answers: Readonly<Record<string, Feel | string>>;",
            "}",
            "",
            f"export const FEEL_SOURCE = '{SOURCE}';",
            "",
            f"export const FEEL: Feel = {tree};",
            "",
        ]
    )


def _feel(answers: dict[str, str]) -> object:
    felt = texture_by_feel(answers)
    asked = felt.next_question
    if asked is None:
        return felt.texture
    leads = {answer: _feel({**answers, asked.name: answer}) for answer in asked.answers}
    return {"name": asked.name, "asks": asked.asks, "answers": leads}


def _quoted(words: tuple[str, ...]) -> str:
    return "[" + ", ".join(f"'{word}'" for word in words) + "]"


TABLES = {"munsell_chips.ts": chips_text, "feel.ts": feel_text}

if __name__ == "__main__":
    for name, text in TABLES.items():
        (PARTS / name).write_text(text(), encoding="utf-8")
        print(f"written: {PARTS / name}")
