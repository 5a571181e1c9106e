"""Hostile input through the commands: a sentence and an exit code, nothing written, the site as it was, never a traceback."""

from __future__ import annotations

import io
import os
import resource
import subprocess
import sys
import tempfile
import zipfile
from collections.abc import Callable, Iterator
from pathlib import Path
from xml.etree import ElementTree

import pytest
from click.testing import Result
from pypdf import PdfReader

from baulk.store import open_site

from .conftest import Run, answer

LONG = "n" * 10_000
RIGHT_TO_LEFT = "\u202egnp.exe\u202c \u05e9\u05db\u05d1\u05d4"
MARKUP = "<script>alert(1)</script><svg onload=alert(2)><img src=x onerror=alert(3)>]]>&amp;'\"</text>"
GIGABYTES = 4 * 1024**3


@pytest.fixture
def site(run: Run, tmp_path: Path) -> Path:
    """Return a site with one unit and one context."""
    path = tmp_path / "site.gpkg"
    run("new", path, "--code", "HST", "--by", "AK")
    for kind, rows in {"unit": "number\n1\n", "context": "number,kind,units\n1,deposit,1\n"}.items():
        table = tmp_path / f"{kind}.csv"
        table.write_text(rows, encoding="utf-8")
        assert run("take", path, table, "--by", "AK").exit_code == 0
        table.unlink()
    return path


@pytest.fixture
def world_folder() -> Iterator[Path]:
    """Return a folder that another account may reach, unlike the one of the tests."""
    with tempfile.TemporaryDirectory() as name:
        yield Path(name)


def _state(site: Path, tmp_path: Path) -> tuple[int, bytes, bytes, list[str]]:
    """Return what must not change: the revision, the file, a backup of it, and the names of all files."""
    copy = tmp_path / "state.gpkg"
    with open_site(site, read_only=True) as store:
        revision = store.revision()
        store.backup(copy)
    held = copy.read_bytes()
    copy.unlink()
    return revision, site.read_bytes(), held, sorted(str(path) for path in tmp_path.rglob("*"))


@pytest.fixture
def untouched(site: Path, tmp_path: Path) -> Iterator[Callable[[], None]]:
    """Return what marks the state to be kept; at the end of the test it must be the same."""
    marked: list[tuple[int, bytes, bytes, list[str]]] = []
    yield lambda: marked.append(_state(site, tmp_path))
    assert marked, "the test marks the state before it does harm"
    assert _state(site, tmp_path) == marked[0]


def _refused(result: Result, code: int, words: str) -> None:
    assert result.exit_code == code, result.output
    assert words in result.stderr, result.stderr
    assert "Traceback" not in result.output
    said = [line for line in result.stderr.splitlines() if not line.endswith("…")]
    assert said and all(len(line) < 1000 for line in said)
    assert all(mark.isprintable() for line in said for mark in line)


def _zip_of(name: str, content: bytes) -> bytes:
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w") as parts:
        parts.writestr(name, content)
    return held.getvalue()


ZIP_IN_ZIP = _zip_of("inner.zip", _zip_of("../../evil.csv", b"number\n1\n"))

TABLES = {
    "empty": ("context.csv", b"", "context.csv is empty: it holds no byte."),
    "blank": ("context.csv", b"\r\n" * 50, "holds nothing but blank lines"),
    "binary": ("context.csv", bytes(range(256)) * 40, "context.csv holds a NUL"),
    "NUL in a cell": ("context.csv", b"number,description\n7,clay\x00ey\n", "context.csv holds a NUL"),
    "NUL late": ("context.csv", b"number,description\n" + b"7,clay\n" * 20_000 + b"8,\x00\n", "holds a NUL on line 20002"),
    "picture": ("context.csv", b"\x89PNG\r\n\x1a\n" + b"x" * 99, "context.csv is a picture (PNG), not a table"),
    "zip as CSV": ("context.csv", ZIP_IN_ZIP, "context.csv is a zip file but no XLSX workbook"),
    "zip as XLSX": ("context.xlsx", ZIP_IN_ZIP, "context.xlsx is a zip file but no XLSX workbook"),
    "cut-off zip": ("context.xlsx", ZIP_IN_ZIP[:60], "context.xlsx is"),
    "column twice": ("context.csv", b"number,number\n7,8\n", "“number (2)”: A context has no such field. Did you mean number?"),
    "label and name of one field": ("context.csv", b"number,kind,Kind\n7,cut,fill\n", "“Kind (2)”: A context has no such field"),
    "header of 10 kB": ("context.csv", f"number,{LONG}\n7,8\n".encode(), "A context has no such field"),
    "number of 10 kB": ("context.csv", f"number\n{LONG}\n".encode(), "at most 64 characters; this has 10,000"),
    "lost quotation mark": ("context.csv", b'number,description\n7,"clay\n8,sand\n', "quotation mark"),
    "number that is there": ("context.csv", b"number\n1\n", "The record has this number already"),
    "path as a file": ("photo.csv", b"number,file\n7,../../etc/passwd\n", "A file is named by its SHA-256"),
    "unit that is not there": ("context.csv", b"number,units\n7,../../1\n", "There is no unit “../../1”"),
    "marks of direction": ("context.csv", f"number,length\n7,{RIGHT_TO_LEFT}\n".encode(), "line 2, column “length”"),
}


@pytest.mark.parametrize("case", TABLES)
def test_no_bad_table_is_taken(run: Run, site: Path, tmp_path: Path, untouched: Callable[[], None], case: str) -> None:
    """Each table is refused with its name and reason, as words and as JSON, and nothing of it is kept."""
    name, content, words = TABLES[case]
    table = tmp_path / name
    table.write_bytes(content)
    untouched()
    _refused(run("take", site, table, "--by", "AK"), 3, words)
    told = run("take", site, table, "--by", "AK", "--json")
    assert told.exit_code == 3
    assert answer(told)["error"]["code"] in ("file", "table", "input")
    assert set(answer(told)) == {"error"}


def test_a_wrong_encoding_is_refused_and_a_guess_is_told(
    run: Run, site: Path, tmp_path: Path, untouched: Callable[[], None]
) -> None:
    """Named wrongly the byte and line are named; unnamed the guess is told before anything is written."""
    table = tmp_path / "context.csv"
    table.write_bytes("number,description\n7,café gray\n".encode("cp1252"))
    untouched()
    _refused(run("take", site, table, "--encoding", "utf-8", "--by", "AK"), 3, "is not in utf-8: byte 25, on line 2")
    _refused(run("take", site, table, "--encoding", "utf8x", "--by", "AK"), 3, "“utf8x”, which is not known")
    tried = run("take", site, table, "--try", "--by", "AK")
    assert tried.exit_code == 0 and "it was read as cp1252, which is a guess" in tried.stdout


def test_huge_sparse_files_are_refused_by_their_size(run: Run, site: Path, tmp_path: Path, untouched: Callable[[], None]) -> None:
    """4 GB as table, workbook, mapping, profile or site: refused before it is read."""
    huge = tmp_path / "context.csv"
    with huge.open("wb") as file:
        file.truncate(GIGABYTES)
    untouched()
    _refused(run("take", site, huge, "--by", "AK"), 3, "context.csv has 4 GB; at most 2 GB are read in one go")
    _refused(run("take", site, tmp_path, "--map", huge, "--by", "AK"), 3, "a mapping file has at most 1,000,000")
    _refused(run("close", site, "1", "--profile", huge), 3, "is no text file of at most 1,000,000 bytes")
    _refused(run("show", huge), 4, "is not a site file")
    _refused(run("merge", site, huge), 4, "is not a site file")


def test_a_folder_or_a_device_is_no_file(run: Run, site: Path, tmp_path: Path, untouched: Callable[[], None]) -> None:
    """A folder or a pipe where a file is expected, and a file where a folder is, end in a sentence, and no pipe is waited for."""
    folder = tmp_path / "folder.csv"
    folder.mkdir()
    pipe = tmp_path / "pipe.csv"
    os.mkfifo(pipe)
    plain = tmp_path / "plain"
    plain.write_text("mine", encoding="utf-8")
    untouched()
    _refused(run("take", site, folder, "--by", "AK"), 3, "holds no table named after a kind of record")
    _refused(run("take", site, folder, "--kind", "context", "--by", "AK"), 3, "is a folder, in which each table is named")
    _refused(run("take", site, pipe, "--kind", "context", "--by", "AK"), 3, "is a device or a pipe, not a file")
    _refused(run("take", site, plain, "--kind", "context", "--map", folder, "--by", "AK"), 3, "folder.csv")
    _refused(run("close", site, "1", "--profile", folder), 3, "is no text file")
    _refused(run("close", site, "1", "--profile", pipe), 3, "is no text file")
    _refused(run("show", folder), 4, "folder.csv is a folder")
    _refused(run("show", pipe), 4, "is a device or a link to one")
    _refused(run("backup", site, folder), 4, "is a folder or device, not a file")
    _refused(run("give", site, plain), 3, "The folder plain cannot be made")
    _refused(run("draw", site, "order", "--to", plain), 3, "order.svg cannot be written")
    _refused(run("report", site, "1", "--to", plain), 3, "cannot be written")
    assert plain.read_text(encoding="utf-8") == "mine"


def test_names_out_of_the_folder_are_refused(run: Run, site: Path, tmp_path: Path, untouched: Callable[[], None]) -> None:
    """A mapping that names ../, an absolute path or a link out of the folder opens nothing outside."""
    outside = tmp_path / "outside.csv"
    outside.write_text("number\n7\n", encoding="utf-8")
    tables = tmp_path / "tables"
    tables.mkdir()
    (tables / "link.csv").symlink_to(outside)
    for place, file in enumerate(("../outside.csv", str(outside), "link.csv")):
        (tmp_path / f"{place}.toml").write_text(
            f'[[take]]\nkind = "context"\nfile = "{file}"\n[take.columns]\nnumber = "number"\n', encoding="utf-8"
        )
    untouched()
    for place, words in enumerate(("leads out of the folder", "leads out of the folder", "lies outside the folder")):
        _refused(run("take", site, tables, "--map", tmp_path / f"{place}.toml", "--by", "AK"), 3, words)


def test_names_of_10_kb_are_told_in_short(run: Run, site: Path, tmp_path: Path, untouched: Callable[[], None]) -> None:
    """As a path the command's words are off; as a number, kind or drawing there is no such record. No message repeats it whole."""
    untouched()
    words = "has 10,000 characters. A file name has at most 255 bytes"
    for asked in (
        ("new", LONG), ("show", LONG), ("take", site, LONG), ("take", site, "x.csv", "--map", LONG), ("give", site, LONG),
        ("draw", site, "order", "--to", LONG), ("report", site, "1", "--to", LONG), ("backup", site, LONG), ("merge", site, LONG),
        ("close", site, "1", "--profile", LONG), ("open", LONG), ("demo", LONG),
    ):  # fmt: skip
        refused = run(*asked)
        assert refused.exit_code == 2, asked[0]
        assert words in refused.stderr.replace("\n", " ") and len(refused.stderr) < 1000
    for asked in (
        ("show", site, "context", LONG), ("show", site, LONG), ("draw", site, LONG), ("close", site, LONG), ("report", site, LONG),
        ("order", site, "--why", LONG, "1"), ("give", site, tmp_path / "out", "--kind", LONG), ("take", site, site, "--kind", LONG),
    ):  # fmt: skip
        refused = run(*asked)
        assert refused.exit_code == 3, asked
        assert "nnn…”" in refused.stderr and len(refused.stderr) < 600, refused.stderr


@pytest.mark.skipif(hasattr(os, "geteuid") and os.geteuid() == 0, reason="the superuser may read and write every file")
def test_files_that_may_not_be_read_are_refused(run: Run, site: Path, tmp_path: Path) -> None:
    """Without leave to read or write the sentence says so, and nothing changes."""
    _without_leave(run, site, tmp_path)


def test_files_that_may_not_be_read_are_refused_to_another_account(site: Path, world_folder: Path) -> None:
    """The same in a process that gives up the superuser's rights first, where the tests run with them."""
    if not hasattr(os, "geteuid") or os.geteuid() != 0:
        pytest.skip("not the superuser: the test before this one covers it")
    held = world_folder
    held.chmod(0o777)
    table = held / "context.csv"
    table.write_text("number\n7\n", encoding="utf-8")
    table.chmod(0)
    copy = held / "site.gpkg"
    copy.write_bytes(site.read_bytes())
    copy.chmod(0o666)

    def tried(code: int, words: str, *asked: object) -> None:
        command = [sys.executable, "-c", _AS_NOBODY, *map(str, asked)]
        environment = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path), "BAULK_BY": "AK", "HOME": str(held)}
        done = subprocess.run(command, capture_output=True, text=True, check=False, env=environment, timeout=120)
        assert done.returncode == code, done.stderr
        assert words in done.stderr and "Traceback" not in done.stderr, done.stderr

    tried(3, "context.csv cannot be read (Permission denied). See that you may read it", "take", copy, table)
    held.chmod(0o755)
    tried(4, "site.gpkg cannot be opened for writing: it, or its folder, can only be read here", "take", copy, table)
    tried(3, "The folder out cannot be made: Permission denied. Give another folder.", "give", copy, held / "out")
    copy.chmod(0)
    tried(4, "site.gpkg cannot be", "show", copy)
    assert sorted(path.name for path in held.iterdir()) == ["context.csv", "site.gpkg"]
    assert copy.read_bytes() == site.read_bytes()


_AS_NOBODY = """
import cmath, importlib, os, sys
from baulk.cli import main
for name in ("take", "give", "show"):
    importlib.import_module(f"baulk.cli.{name}")
os.setgroups([])
os.setgid(65534)
os.setuid(65534)
main(sys.argv[1:])
"""


def _without_leave(run: Run, site: Path, tmp_path: Path) -> None:
    table = tmp_path / "context.csv"
    table.write_text("number\n7\n", encoding="utf-8")
    table.chmod(0)
    before = site.read_bytes()
    _refused(run("take", site, table, "--by", "AK"), 3, "context.csv cannot be read")
    site.chmod(0o444)
    _refused(run("take", site, table, "--by", "AK"), 4, "cannot be opened for writing")
    site.chmod(0)
    _refused(run("show", site), 4, "site.gpkg cannot be")
    site.chmod(0o644)
    assert site.read_bytes() == before


@pytest.mark.parametrize("text", [MARKUP, RIGHT_TO_LEFT, "=HYPERLINK(1)", "../../etc/passwd", LONG])
def test_odd_texts_run_through_as_text(run: Run, site: Path, tmp_path: Path, text: str) -> None:
    """Markup, direction marks, formulas and long words are kept whole and never become markup in drawing, report or table."""
    quoted = '"' + text.replace('"', '""') + '"'
    (tmp_path / "context.csv").write_text(
        f"number,kind,units,title,description,interpretation\n2,deposit,1,{quoted},{quoted},{quoted}\n", encoding="utf-8"
    )
    (tmp_path / "photo.csv").write_text(f"number,file_name,subject,unit\n1,{quoted},{quoted},1\n", encoding="utf-8")
    (tmp_path / "relation.csv").write_text(f"later,earlier,basis\n2,1,{quoted}\n", encoding="utf-8")
    for kind in ("context", "photo", "relation"):
        taken = run("take", site, tmp_path / f"{kind}.csv", "--by", "AK")
        assert taken.exit_code == 0, taken.stderr
    assert answer(run("show", site, "context", "2", "--json"))["description"] == text
    assert run("show", site, "context", "2").exit_code == 0
    assert run("order", site).exit_code == 0
    assert answer(run("close", site, "1", "--json"))["unit"] == "1"
    drawn = answer(run("draw", site, "order", "--to", tmp_path, "--json"))["files"][0]
    _harmless_svg(Path(drawn).read_text(encoding="utf-8"))
    written = answer(run("report", site, "1", "--to", tmp_path, "--json"))
    page = Path(written["html"]).read_text(encoding="utf-8")
    for tag in ("<script>alert", "<svg onload", "<img src=x", "onerror=alert(3)>"):
        assert tag not in page
    assert len(PdfReader(written["pdf"]).pages) >= 3
    assert run("give", site, tmp_path / "out").exit_code == 0
    given = (tmp_path / "out" / "context.csv").read_text(encoding="utf-8")
    assert ",=HYPERLINK" not in given and text.replace('"', '""').lstrip("=") in given
    assert not (tmp_path.parent / "etc").exists()


def _harmless_svg(drawing: str) -> None:
    root = ElementTree.fromstring(drawing)
    for part in root.iter():
        assert part.tag.rpartition("}")[2] not in ("script", "image", "img", "foreignObject")
        assert not any(name.lower().startswith("on") for name in part.attrib)


def test_markup_in_the_number_of_a_unit_gives_a_plain_file_name(run: Run, tmp_path: Path) -> None:
    """A unit called ../../<b> is drawn and reported under a name of letters, digits and dashes inside the folder asked for."""
    site, out = tmp_path / "site.gpkg", tmp_path / "out"
    run("new", site, "--code", MARKUP[:60], "--name", MARKUP, "--by", "AK")
    (tmp_path / "unit.csv").write_text("number\n../../<b>\n", encoding="utf-8")
    (tmp_path / "context.csv").write_text("number,kind,units\n1,deposit,../../<b>\n", encoding="utf-8")
    for kind in ("unit", "context"):
        assert run("take", site, tmp_path / f"{kind}.csv", "--by", "AK").exit_code == 0
    before = sorted(path.name for path in tmp_path.iterdir())
    written = run("report", site, "../../<b>", "--to", out, "--json")
    assert written.exit_code == 0, written.stderr
    assert run("draw", site, "order", "--to", out).exit_code == 0
    assert sorted(path.name for path in out.iterdir()) == ["order.svg", "unit--------b--report.html", "unit--------b--report.pdf"]
    assert sorted(path.name for path in tmp_path.iterdir()) == sorted([*before, "out"])
    page = Path(answer(written)["html"]).read_text(encoding="utf-8")
    assert "<script>alert" not in page and "&lt;script&gt;" in page


@pytest.mark.slow
def test_a_million_bad_rows_are_answered_in_bounded_memory(site: Path, tmp_path: Path, untouched: Callable[[], None]) -> None:
    """10^6 rows, each with a fault: one answer of a screen, less than 3 GB of memory, nothing written."""
    table = tmp_path / "context.csv"
    with table.open("w", encoding="utf-8") as file:
        file.write("number,kind,length\n")
        file.writelines(f"{n},deposit,long\n" for n in range(2, 1_000_002))
    untouched()
    limit = 3 * 1024**3
    done = subprocess.run(
        [sys.executable, "-c", "from baulk.cli import main; main()", "take", str(site), str(table), "--by", "AK"],
        capture_output=True, text=True, check=False, timeout=600,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)},
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_AS, (limit, limit)),
    )  # fmt: skip
    assert done.returncode == 3, done.stderr[-2000:]
    assert "context.csv: 1000000 faults, so none of its rows was taken." in done.stderr
    assert "… and 999980 more" in done.stderr and len(done.stderr) < 5000


def test_the_check_for_markup_finds_markup() -> None:
    """The negative control: a drawing with a script or a handler is told from a harmless one."""
    for bad in ("<svg><script/></svg>", "<svg onload='x()'/>"):
        with pytest.raises(AssertionError):
            _harmless_svg(bad)
