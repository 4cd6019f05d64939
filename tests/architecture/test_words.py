"""Trade words only; and the tool never claims what only a person at the machine can know."""

import ast
import re
from pathlib import Path

import pytest

from tests.architecture.templates_read import html_of, named, templates

ROOT = Path(__file__).resolve().parents[2]
SPOKEN = re.compile(r"(?:aria-label|title|alt|placeholder)=\"([^\"]*)\"")

KEPT_OUT = {
    "software-team idiom": ["tickets?", "backlog", "sprints?", "boards?", "epics?", "assignees?"],
    "office-suite idiom": ["dashboards?", "widgets?", "workspaces?", "feeds?"],
    "inventory idiom": ["rack units?", "elevations?", "device roles?", "patch(?:es|ed)?", "assets?"],
    "lending idiom": ["check(?:ed)?[- ](?:in|out)"],
    "sales words": ["smart", "insights?", "twins?(?! (?:triode|diode|tetrode|pentode))", "hubs?", "portals?"],
}
WORDS = {re.compile(rf"\b{word}\b", re.IGNORECASE): why for why, words in KEPT_OUT.items() for word in words}

# Never said as the tool's own claim. What a person is told to do, or did, is another matter.
CLAIMS = re.compile(r"\b(safe|safely|dead|certified)\b", re.IGNORECASE)
NOT_A_CLAIM = re.compile(
    r"\b(?:prove|proved|proving|work|working|joined|joins|pulled) (?:it |them |each |this |that |the \w+ )?dead\b"
    r"|\bdead work\b"
    r"|\bnot (?:itself )?(?:safe|dead|certified)\b"
    r"|\brecorded as (?:safe|dead|certified)\b"
    r"|\b(?:says?|claims?) (?:nothing|safe|dead|certified)\b"
    r"|\bmains side certified\b",  # the name of a gate: an electrician's paper is kept by its number
    re.IGNORECASE,
)


def said(path: Path) -> str:
    """What a person reads or hears of a template: its text, and the labels of its elements."""
    page = html_of(path)
    heard = " . ".join(SPOKEN.findall(page))
    return re.sub(r"\s+", " ", f"{re.sub(r'<[^>]*>', ' ', page)} . {heard}")


def strings_said(path: Path) -> list[tuple[int, str]]:
    """The sentences in a Python file: strings of several words that are no docstrings."""
    tree = ast.parse(path.read_text())
    documented = (ast.Module, ast.ClassDef, ast.FunctionDef, ast.AsyncFunctionDef)
    docstrings = {
        id(node.body[0].value) for node in ast.walk(tree) if isinstance(node, documented) and ast.get_docstring(node)
    }  # type: ignore[attr-defined]
    return [
        (node.lineno, node.value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant)
        and isinstance(node.value, str)
        and id(node) not in docstrings
        and node.value.count(" ") >= 2
    ]


SPEAKING = sorted(
    path
    for path in (ROOT / "restoration").rglob("*.py")
    if "migrations" not in path.parts and not {"engineering", "kestrel"} & set(path.parts)
)


@pytest.mark.parametrize("path", templates(), ids=named)
def test_a_page_speaks_the_words_of_the_trade(path):
    text = said(path)
    found = [f"{match[0]} ({why})" for word, why in WORDS.items() for match in word.finditer(text)]
    assert found == []


@pytest.mark.parametrize("path", templates(), ids=named)
def test_a_page_claims_nothing_it_cannot_know(path):
    text = NOT_A_CLAIM.sub(" ", said(path))
    assert [text[max(0, match.start() - 60) : match.end() + 20] for match in CLAIMS.finditer(text)] == []


@pytest.mark.parametrize("path", SPEAKING, ids=lambda path: str(path.relative_to(ROOT / "restoration")))
def test_sentences_in_code_speak_the_same_words(path):
    for line, text in strings_said(path):
        found = [f"{match[0]} ({why})" for word, why in WORDS.items() for match in word.finditer(text)]
        claims = [match[0] for match in CLAIMS.finditer(NOT_A_CLAIM.sub(" ", text))]
        assert found + claims == [], f"line {line}: {text}"


@pytest.mark.parametrize("sentence", ["Prove dead at the point of work.", "Work dead.", "This is not certified."])
def test_an_instruction_is_no_claim(sentence):
    assert not CLAIMS.search(NOT_A_CLAIM.sub(" ", sentence))


@pytest.mark.parametrize("sentence", ["The rack is safe.", "HT is dead now.", "Certified for HT."])
def test_a_claim_is_found(sentence):
    assert CLAIMS.search(NOT_A_CLAIM.sub(" ", sentence))


@pytest.mark.parametrize("word", ["ticket", "Dashboard", "checked in", "check-out", "twin"])
def test_a_word_of_another_trade_is_found(word):
    assert any(pattern.search(f"the {word} of") for pattern in WORDS)
