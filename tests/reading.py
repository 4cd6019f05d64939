"""What people read of an answer: the words of a page, the sentence of a refusal, the last line of the log book."""

import html
import re
from collections.abc import Callable
from typing import Any

import pytest
from django.core.exceptions import ValidationError
from django.http import HttpResponse

from restoration.logbook.models import Entry


def words(answer: HttpResponse | str) -> str:
    """The words of a page or of a part of one, without its marks."""
    text = answer if isinstance(answer, str) else answer.content.decode()
    return re.sub(r"\s+", " ", html.unescape(re.sub(r"<[^>]+>", " ", text)))


def refused(act: Callable[..., object], *given: Any, **named: Any) -> str:
    """The sentences with which an act is refused."""
    with pytest.raises(ValidationError) as refusal:
        act(*given, **named)
    return " ".join(refusal.value.messages)


def last_line() -> Entry:
    """The newest line of the log book."""
    line = Entry.objects.newest_first().first()
    assert line is not None
    return line
