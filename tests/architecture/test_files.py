"""House numbers: no file too long to read at a sitting, and functions short enough that their names carry them."""

import ast
import statistics
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
MOST_LINES = 400
MEDIAN_LINES, P90_LINES = 8, 30


def python_files(*folders: str) -> list[Path]:
    return sorted(
        path
        for folder in folders
        for path in (ROOT / folder).rglob("*.py")
        if "migrations" not in path.parts and "vendor" not in path.parts
    )


def length(function: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    """Lines of code in a function, its docstring, comments and blank lines not counted."""
    body = function.body[1:] if ast.get_docstring(function) else function.body
    lines = {line for statement in body for node in ast.walk(statement) for line in _lines(node)}
    return max(1, len(lines))


def _lines(node: ast.AST) -> Iterator[int]:
    if hasattr(node, "lineno"):
        yield node.lineno
        yield node.end_lineno


def function_lengths() -> list[int]:
    return sorted(
        length(node)
        for path in python_files("restoration")
        for node in ast.walk(ast.parse(path.read_text()))
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
    )


@pytest.mark.parametrize("path", python_files("restoration", "tests"), ids=lambda path: str(path.relative_to(ROOT)))
def test_a_file_is_read_at_a_sitting(path):
    lines = len(path.read_text().splitlines())
    assert lines <= MOST_LINES, f"{lines} lines: make it a folder of nouns"


def test_functions_are_short():
    lengths = function_lengths()
    assert len(lengths) > 500
    assert statistics.median(lengths) <= MEDIAN_LINES
    assert statistics.quantiles(lengths, n=10)[-1] <= P90_LINES
