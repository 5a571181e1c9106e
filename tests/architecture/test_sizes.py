"""Files and functions stay small enough to read."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SOURCE = ROOT / "src" / "baulk"
FILE_CAP, FUNCTION_CAP, PUBLIC_CAP = 400, 50, 12
EXCEPTIONS: dict[str, str] = {}
"""Files over a cap, each with its reason."""
VAGUE = {"utils", "helpers", "manager", "core", "common", "misc", "tools"}


def code_files() -> list[Path]:
    """Return every Python file of the package."""
    return sorted(SOURCE.rglob("*.py"))


def long_functions(tree: ast.AST) -> list[str]:
    """Return the functions whose body, without the docstring, is over the cap."""
    found = []
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            body = node.body[1:] if ast.get_docstring(node) else node.body
            if body and (body[-1].end_lineno or 0) - body[0].lineno + 1 > FUNCTION_CAP:
                found.append(node.name)
    return found


@pytest.mark.parametrize("file", code_files(), ids=lambda file: str(file.relative_to(SOURCE)))
def test_file_and_functions_are_small(file: Path) -> None:
    """A file has at most 400 lines and 12 public functions, a function at most 50 lines."""
    name = str(file.relative_to(SOURCE))
    text = file.read_text(encoding="utf-8")
    tree = ast.parse(text)
    public = [node.name for node in tree.body if isinstance(node, ast.FunctionDef) and not node.name.startswith("_")]
    if name not in EXCEPTIONS:
        assert len(text.splitlines()) <= FILE_CAP
        assert long_functions(tree) == []
        assert len(public) <= PUBLIC_CAP
    assert file.stem not in VAGUE


def test_the_function_check_can_fail() -> None:
    """A function of 51 lines is caught and one of 50 is not."""
    body = "\n".join("    x = 1" for _ in range(50))
    assert long_functions(ast.parse(f"def f():\n{body}\n    y = 1")) == ["f"]
    assert long_functions(ast.parse(f"def f():\n{body}")) == []


def test_every_module_names_what_it_offers() -> None:
    """Every module with public names has a sorted-for-reading, complete `__all__`."""
    faults = []
    for file in code_files():
        tree = ast.parse(file.read_text(encoding="utf-8"))
        listed: set[str] = set()
        for node in tree.body:
            if isinstance(node, ast.Assign) and any(isinstance(t, ast.Name) and t.id == "__all__" for t in node.targets):
                listed = set(ast.literal_eval(node.value))
        public = {
            node.name for node in tree.body if isinstance(node, ast.FunctionDef | ast.ClassDef) and not node.name.startswith("_")
        }
        if public - listed:
            faults.append((str(file.relative_to(SOURCE)), sorted(public - listed)))
    assert not faults
