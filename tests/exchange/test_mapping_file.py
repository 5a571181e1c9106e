"""A mapping file is checked key by key; every fault names the key and the nearest right one."""

from __future__ import annotations

from pathlib import Path

import pytest

from baulk.errors import FileError, InputError
from baulk.exchange import read_mapping, takes_of_text
from baulk.exchange.template import template_of

UNIT = '[[take]]\nkind = "unit"\n'
NUMBERED = UNIT + 'columns = {number = "U"}\n'
LEVEL = '[[take]]\nkind = "level"\ncolumns = {level = "L"}\n'
FAULTS = {
    "[[take": r"m\.toml cannot be read as TOML: .* Mend that line; docs/taking-in\.md has an example",
    "": r"m\.toml has no \[\[take\]\] section, so it says nothing",
    "takes = 1": r"m\.toml: there is no key “takes”\. Did you mean take\?",
    "[[take]]": r"take 1, kind: it is missing\. Say which kind of record",
    '[[take]]\nkind = "contxt"': r"take 1, kind: there is no kind “contxt”\. Did you mean context",
    UNIT + 'colums = {number = "U"}': r"there is no key “colums”\. Did you mean columns.* Known are kind, file",
    UNIT + 'columns = "U"': r"take 1, columns: it is given as “U”\. It is a table",
    NUMBERED + 'header_line = -1': r"header_line: it is given as “-1”\. It is a whole number",
    NUMBERED + 'ignore = [1]': r"ignore: it is given as “\[1\]”\. It is a list of texts",
    '[[take]]\nkind = "unit"': r"take 1, columns: nothing fills any field\. Name at least one column",
    UNIT + 'columns = {nmber = "U"}': r"take 1, columns: a unit has no field “nmber”\. Did you mean number",
    UNIT + 'columns = {number = 3}': r"columns\.number: it is given as “3”\. A text in quotation marks belongs here",
    NUMBERED + 'constants = {number = "1"}': r"number is filled twice, by columns and by constants",
    NUMBERED + 'words = {shape = {a = "b"}}': r"words: shape is named here, but nothing fills it",
    NUMBERED + 'words = {number = 3}': r"words\.number: each line is their word = our word",
    NUMBERED + 'measures = {number = "m"}': r"measures\.number: the field is no length, level or size",
    LEVEL + 'measures = {level = "yd"}': r"“yd” is not known\. It is one of m, cm, mm, ft, ft_us, in",
    LEVEL + 'depths = {level = true}': r"depths\.level: give the level that depths are taken from",
    UNIT + 'columns = {depth = "L"}\ndepths = {depth = 1}': r"depths\.depth: the field is no level",
    NUMBERED + 'known = "ignore"': r"known: it is given as “ignore”\. It is “refuse” or “complete” or “skip”",
    NUMBERED + 'decimal = ";"': r"decimal: it is given as “;”\. It is “\.” or “,”",
    NUMBERED + 'dates = "dmy"': r"dates: it is given as “dmy”\. It is “year month day” or “day month year”",
    NUMBERED + 'lists = ""': r"lists: it is blank\. Name the marks that separate items",
    NUMBERED + 'key = ["shape"]': r"key: shape is named here, but nothing fills it",
    NUMBERED + 'skip = {U = "x"}': r"skip\.U: give a list of the words whose rows are left out",
    NUMBERED + 'spread = {value = "v"}': r"spread: give either pattern or columns",
    NUMBERED + 'spread = {columns = {a = 1}}': r"spread\.columns: each line is a header = the word",
    NUMBERED + 'spread = {pattern = "("}': r"spread\.pattern: “\(” is no pattern that can be read",
    NUMBERED + 'spread = {colums = {a = "b"}}': r"no key “spread\.colums”\. Did you mean columns",
    NUMBERED + 'each = {value = "v"}': r"each\.column: it is missing",
    UNIT + 'compose = {number = "{a"}': r"compose\.number: “\{a”: its braces do not pair",
    UNIT + 'compose = {number = "{a:x}"}': r"compose\.number: “\{a:x\}”: between braces stands a column",
    NUMBERED + 'file = "../a.csv"': r"file: “\.\./a\.csv” leads out of the folder of the tables",
    NUMBERED + 'file = "/etc/passwd"': r"file: “/etc/passwd” leads out of the folder",
    NUMBERED + 'file = "C:\\\\a.csv"': r"leads out of the folder",
}  # fmt: skip


@pytest.mark.parametrize("text", FAULTS)
def test_each_fault_names_its_key(text: str) -> None:
    """The message says which take, which key, what was given and what belongs there."""
    with pytest.raises(InputError, match=FAULTS[text]):
        takes_of_text(text, "m.toml")


def test_the_file_itself_may_be_wrong(tmp_path: Path) -> None:
    """A missing, foreign or far too large file is answered as such."""
    with pytest.raises(FileError, match=r"There is no mapping file m\.toml\. See that its name"):
        read_mapping(tmp_path / "m.toml")
    (tmp_path / "l.toml").write_bytes("words = 'ü'".encode("cp1252"))
    with pytest.raises(FileError, match=r"l\.toml is not in UTF-8, as a mapping file must be"):
        read_mapping(tmp_path / "l.toml")
    (tmp_path / "t.toml").write_bytes(b"#" * 1_000_001)
    with pytest.raises(FileError, match=r"t\.toml has 1,000,001 bytes; a mapping file has at most 1,000,000\. Is this the table\?"):
        read_mapping(tmp_path / "t.toml")
    with pytest.raises(FileError, match="cannot be read"):
        read_mapping(tmp_path)


def test_one_take_may_stand_without_double_brackets() -> None:
    """``[take]`` alone is one pass, and defaults are the careful ones."""
    (take,) = takes_of_text('[take]\nkind = "contexts"\ncolumns = {number = "SU"}')
    assert (take.kind, take.known, take.new, take.orphans, take.habits.decimal) == ("context", "refuse", "take", "refuse", ".")


def test_templates_fill_with_zeros_and_stay_blank_without_their_cells() -> None:
    """A width pads digits only; one blank cell leaves the whole blank; doubled braces are braces."""
    template = template_of("{Pit}-{Layer:02}")
    assert [template.fill(cells) for cells in (["P1", "4"], ["P1", "4a"], ["P1", ""])] == ["P1-04", "P1-4a", ""]
    assert template_of("{{{a}}}").fill(["x"]) == "{x}"
