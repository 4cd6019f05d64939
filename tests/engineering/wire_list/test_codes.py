"""A formed code names its ends and no other."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from restoration.engineering.wire_list.codes import LINK_CODE_LENGTH, escaped, form_code, form_codes
from tests.engineering.wire_list.making import texts

PART = st.text("ab:> \\()2", max_size=6) | texts()
NAMED = st.tuples(PART, PART, PART, PART, st.integers(1, 3))


def taken_apart(code):
    """Read a formed code back: the inverse, written from its description alone."""
    parts, part, signs = [], "", iter(code)
    for sign in signs:
        if sign == "\\":
            part += next(signs)
        elif sign in ":>(":
            parts.append(part)
            part = ""
        else:
            part += sign
    parts.append(part)
    ordinal = int(parts.pop().removesuffix(")")) if len(parts) == 5 else 1
    if len(parts) == 4 and ordinal > 1:
        parts[3] = parts[3].removesuffix(" ")
    parts[1], parts[2] = parts[1].removesuffix(" "), parts[2].removeprefix(" ")
    return (*parts, ordinal)


@given(NAMED)
def test_a_code_can_be_read_back_to_its_ends(named):
    assert taken_apart(form_code(*named)) == named


@given(NAMED, NAMED)
def test_different_ends_never_share_a_code(one, other):
    assert (form_code(*one) == form_code(*other)) == (one == other)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        (("A:1", "2", "B", "1"), ("A", "1:2", "B", "1")),
        (("A", "1 > B", "C", "1"), ("A", "1", "B > C", "1")),
        (("A", "1", "B", "1 (2)"), ("A", "1", "B", "1", 2)),
        (("A\\", "1", "B", "1"), ("A", "\\1", "B", "1")),
        (("A\\:", "1", "B", "1"), ("A\\", ":1", "B", "1")),
    ],
)
def test_ends_that_look_alike_are_told_apart(one, other):
    assert form_code(*one) != form_code(*other)


def test_parallel_wires_are_counted_in_file_order():
    ends = [("A", "1", "B", "1"), ("A", "2", "B", "1"), ("A", "1", "B", "1"), ("A", "1", "B", "1")]
    assert form_codes(ends, taken=()) == ["A:1 > B:1", "A:2 > B:1", "A:1 > B:1 (2)", "A:1 > B:1 (3)"]


def test_a_code_that_is_given_away_is_stepped_over():
    ends = [("A", "1", "B", "1")] * 2
    assert form_codes(ends, taken={"A:1 > B:1", "A:1 > B:1 (3)"}) == ["A:1 > B:1 (2)", "A:1 > B:1 (4)"]


@given(st.lists(st.tuples(PART, PART, PART, PART), max_size=12), st.sets(texts(), max_size=3))
def test_formed_codes_are_all_different_and_the_same_each_time(ends, taken):
    codes = form_codes(ends, taken)
    assert len(set(codes)) == len(codes)
    assert not set(codes) & taken
    assert codes == form_codes(ends, taken)


@given(st.lists(st.tuples(PART, PART, PART, PART), max_size=6))
def test_many_codes_are_those_formed_one_by_one(ends):
    seen = {}
    for end in ends:
        seen[end] = seen.get(end, 0) + 1
    expected = {form_code(*end, ordinal=ordinal) for end, most in seen.items() for ordinal in range(1, most + 1)}
    assert set(form_codes(ends, taken=())) == expected


def test_plain_parts_of_full_length_fit_a_link_code():
    assert len(form_code(*("x" * 60,) * 4, ordinal=99_999)) == 253 <= LINK_CODE_LENGTH


@given(PART)
def test_escaping_only_adds_backslashes(part):
    assert re.sub(r"\\(.)", r"\1", escaped(part), flags=re.DOTALL) == part


@pytest.mark.parametrize("ordinal", [0, -1])
def test_wires_are_counted_from_one(ordinal):
    with pytest.raises(ValueError, match=rf"^Parallel wires are counted from 1; {ordinal} was given\.$"):
        form_code("A", "1", "B", "1", ordinal)
