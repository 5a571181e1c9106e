"""Write docs/fields.md from the fields' own descriptions."""

from pathlib import Path

from baulk.record.reference import field_reference

if __name__ == "__main__":
    page = Path(__file__).resolve().parent.parent / "docs" / "fields.md"
    page.write_text(field_reference(), encoding="utf-8")
    print(f"written: {page}")
