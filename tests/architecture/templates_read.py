"""Every template, with what the template language does taken out, so that what is left is plain HTML."""

import re
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
COMMENTS = re.compile(r"{% *comment *%}.*?{% *endcomment *%}|{#.*?#}|<!--.*?-->", re.DOTALL)
TAGS = re.compile(r"{%.*?%}|{{.*?}}", re.DOTALL)


@cache
def templates() -> tuple[Path, ...]:
    """Every file of the site's pages and letters."""
    return tuple(sorted(path for path in (ROOT / "templates").rglob("*") if path.suffix in {".html", ".txt"}))


@cache
def html_of(path: Path) -> str:
    """The HTML of a template: each tag of the template language becomes one word, csrf_token keeps its name."""
    text = COMMENTS.sub(" ", path.read_text())
    return TAGS.sub(lambda tag: "CSRF" if "csrf_token" in tag[0] else "T", text)


def elements(path: Path, name: str) -> list[str]:
    """The opening tags of one kind of element."""
    return re.findall(rf"<{name}\b[^>]*>", html_of(path), re.IGNORECASE)


def named(path: Path) -> str:
    """How a template is called in a test's name."""
    return str(path.relative_to(ROOT / "templates"))
