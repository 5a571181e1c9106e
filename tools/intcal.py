"""Write the project's table of IntCal20 from a CSV of the published figures: python tools/intcal.py PATH.csv.

The CSV has the columns calBP, age and error. The figures are those of Reimer et al. 2020 (CC BY 4.0, see `baulk.dating.curve`); they
are checked against the sums of the published columns, packed as differences, and written to src/baulk/dating/intcal20_table.py.
"""

from __future__ import annotations

import csv
import sys
from base64 import b85encode
from itertools import pairwise
from pathlib import Path
from zlib import compress

TABLE = Path(__file__).parents[1] / "src" / "baulk" / "dating" / "intcal20_table.py"
ROWS, AGES, ERRORS = 9_501, 100_142_442, 488_502
WIDTH = 120


def packed(column: list[int]) -> str:
    """Return a column as text: differences of 16 bits, compressed, in base 85."""
    steps = [column[0], *(after - before for before, after in pairwise(column))]
    return b85encode(compress(b"".join(step.to_bytes(2, "little", signed=True) for step in steps), 9)).decode("ascii")


def literal(name: str, text: str, says: str) -> str:
    """Return one constant as Python."""
    lines = "\n".join(f'    "{text[place : place + WIDTH]}"' for place in range(0, len(text), WIDTH))
    return f'{name} = (\n{lines}\n)\n"""{says}"""\n'


def table(path: Path) -> str:
    """Return the module that holds the figures of a CSV."""
    with path.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    ages, errors = [int(row["age"]) for row in rows], [int(row["error"]) for row in rows]
    if (len(rows), sum(ages), sum(errors)) != (ROWS, AGES, ERRORS):
        raise SystemExit(f"{path} has {len(rows)} rows, ages {sum(ages)} and errors {sum(errors)}: this is not IntCal20.")
    head = '"""IntCal20 as published, packed by tools/intcal.py; `baulk.dating.curve` reads it and says where it is from."""\n\n'
    head += 'from __future__ import annotations\n\n__all__ = ["INTCAL20_AGES", "INTCAL20_ERRORS"]\n\n'
    body = [
        literal("INTCAL20_AGES", packed(ages), "Radiocarbon ages at the published points, as differences."),
        literal("INTCAL20_ERRORS", packed(errors), "Their standard deviations, as differences."),
    ]
    return head + "\n".join(body)


if __name__ == "__main__":
    TABLE.write_text(table(Path(sys.argv[1])), encoding="utf-8")
    print(f"written: {TABLE}")
