"""The guard before a formula is undone exactly, and nothing else is touched."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from restoration.engineering.wire_list.guard import guarded, unguarded

ANY = st.text("'=+-@＝a ", max_size=6) | st.text()


@given(ANY)
def test_reading_undoes_writing(text):
    assert unguarded(guarded(text)) == text


@given(ANY)
def test_written_text_never_starts_a_formula(text):
    assert guarded(text)[:1] not in set("=+-@＝＋－＠") or not text


@pytest.mark.parametrize(
    ("foreign", "read"),
    [("'quoted'", "'quoted'"), ("'=A1", "=A1"), ("''=A1", "'=A1"), ("=A1", "=A1"), ("'", "'"), ("", ""), ("+5", "+5")],
)
def test_foreign_text_is_left_alone_unless_guarded(foreign, read):
    assert unguarded(foreign) == read
