"""Every message that Baulk raises on purpose is tested by its text: some test file holds a part of it."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[2]
SOURCE, TESTS = ROOT / "src" / "baulk", ROOT / "tests"
ERRORS = frozenset(
    node.name
    for node in ast.parse((SOURCE / "errors.py").read_text(encoding="utf-8")).body
    if isinstance(node, ast.ClassDef)
) | {"ValueError", "CellFault", "RowFault"}  # fmt: skip
LEAST = 12
"""Characters that a part of a message must have to be worth a look."""
WORDS = 3
"""Words in a row that a test must share with the message."""

OUT_OF_REACH: dict[str, str] = {}
"""A part of a message, and why nothing outside can bring it about."""


@dataclass(frozen=True)
class Message:
    """The fixed parts of one message, and where it is raised."""

    place: str
    parts: tuple[str, ...]


def _text_parts(node: ast.expr) -> Iterator[str]:
    """Yield the fixed text of an expression, an f-string's pieces one by one."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        yield node.value
    elif isinstance(node, ast.JoinedStr):
        for piece in node.values:
            if isinstance(piece, ast.Constant):
                yield str(piece.value)
    elif isinstance(node, ast.BinOp):
        yield from _text_parts(node.left)
        yield from _text_parts(node.right)
    elif isinstance(node, ast.IfExp):
        yield from _text_parts(node.body)
        yield from _text_parts(node.orelse)


def messages_in(text: str, place: str) -> Iterator[Message]:
    """Yield the messages of a module's error calls, each with its fixed parts."""
    for node in ast.walk(ast.parse(text)):
        if not isinstance(node, ast.Call):
            continue
        name = node.func.id if isinstance(node.func, ast.Name) else getattr(node.func, "attr", "")
        if name not in ERRORS:
            continue
        given = [*node.args, *(word.value for word in node.keywords)]
        parts = tuple(part for one in given for part in _text_parts(one) if len(part.strip()) >= LEAST)
        if parts:
            yield Message(f"{place}:{node.lineno}", parts)


def _plain(text: str) -> str:
    """Return text in words only, as a test's pattern and a message can be compared: without escapes and marks."""
    return " ".join(re.findall(r"\w+", text.replace("\\", "").lower()))


def _strings_of(text: str) -> Iterator[str]:
    """Yield every string that a test file holds, docstrings left out, f-strings piece by piece."""
    tree = ast.parse(text)
    described = {
        id(node.body[0].value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Module | ast.FunctionDef | ast.ClassDef) and node.body and isinstance(node.body[0], ast.Expr)
    }
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in described:
            yield node.value


def words_in_tests() -> str:
    """Return the words of every string in the tests, one string a line."""
    files = [file for file in TESTS.rglob("*.py") if file != Path(__file__)]
    return "\n".join(f" {_plain(part)} " for file in files for part in _strings_of(file.read_text(encoding="utf-8")))


def is_tested(message: Message, tested: str) -> bool:
    """Tell whether some string of a test holds `WORDS` words in a row of the message, or a shorter part of it whole."""
    for part in message.parts:
        words = _plain(part).split()
        runs = [words[start : start + WORDS] for start in range(max(len(words) - WORDS + 1, 1))]
        if any(f" {' '.join(run)} " in tested for run in runs if run):
            return True
    return False


def untested() -> list[Message]:
    """Return the messages that no test holds a part of and that are not listed as out of reach."""
    tested = words_in_tests()
    found = []
    for file in sorted(SOURCE.rglob("*.py")):
        for message in messages_in(file.read_text(encoding="utf-8"), str(file.relative_to(SOURCE))):
            listed = any(words in part for words in OUT_OF_REACH for part in message.parts)
            if not listed and not is_tested(message, tested):
                found.append(message)
    return found


def test_every_message_is_tested_by_its_text() -> None:
    """Each error raised on purpose shares words in a row with a string of some test."""
    missing = untested()
    assert not missing, "\n".join(f"{one.place}: {one.parts[0][:90]}" for one in missing)


def test_what_is_out_of_reach_is_still_there() -> None:
    """Each entry of the list names a message that the code still has, with a reason."""
    parts = [
        part
        for file in SOURCE.rglob("*.py")
        for message in messages_in(file.read_text(encoding="utf-8"), "")
        for part in message.parts
    ]
    for words, reason in OUT_OF_REACH.items():
        assert any(words in part for part in parts), words
        assert len(reason) > 20, words


def test_the_check_finds_a_message_without_a_test() -> None:
    """The negative control: a message that no test repeats is found, one that a test repeats is not."""
    made = 'def f(name):\n    raise InputError(f"{name} hums quietly in the dusk. Wait for the dawn chorus.")\n'
    (message,) = messages_in(made, "made")
    assert message.parts == (" hums quietly in the dusk. Wait for the dawn chorus.",)
    assert not is_tested(message, words_in_tests())
    assert is_tested(message, " match quietly in the dusk ")
