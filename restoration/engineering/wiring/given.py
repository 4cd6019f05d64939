"""What a caller gives of a machine's wiring, checked: whole numbers, within their range, of one length."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from restoration.engineering.refusals import refuse_unless

Ints = NDArray[np.int32]
"""Indices: slots, terminals, links, stages, hops, all counted from 0."""
Bools = NDArray[np.bool_]

MOST = 2**31 - 2


def fixed(array: NDArray[Any]) -> Ints:
    """A copy as indices that nobody can write to.

    Formula: none. Source: none. Valid for whole numbers. Never raises.

    >>> fixed(np.array([1, 2])).flags.writeable
    False
    """
    own = array.astype(np.int32)
    own.setflags(write=False)
    return own


def fixed_marks(array: NDArray[Any]) -> Bools:
    """A copy as True and False that nobody can write to.

    Formula: none. Source: none. Valid for any marks. Never raises.

    >>> fixed_marks(np.array([])).dtype.name
    'bool'
    """
    own = array.astype(np.bool_)
    own.setflags(write=False)
    return own


def count_given(name: str, value: int) -> int:
    """A number of things: a whole number from 0 up.

    Formula: 0 <= x < 2^31 - 1. Source: none. Errors: ValueError with a whole sentence.

    >>> count_given("slot_count", -1)
    Traceback (most recent call last):
    ValueError: slot_count must be a whole number from 0 to 2147483646; -1 was given.
    """
    is_whole = isinstance(value, int | np.integer) and not isinstance(value, bool)
    refuse_unless(
        is_whole and 0 <= value <= MOST, f"{name} must be a whole number from 0 to {MOST}; {value} was given."
    )
    return int(value)


def index_given(what: str, value: int, count: int) -> int:
    """One index of a thing of which there are so many.

    Formula: 0 <= x < count. Source: none. Errors: ValueError with a whole sentence.

    >>> index_given("slot", 3, 3)
    Traceback (most recent call last):
    ValueError: A slot must be a whole number from 0 to 2; 3 was given.
    >>> index_given("slot", 0, 0)
    Traceback (most recent call last):
    ValueError: There is no slot at all; 0 was given.
    """
    refuse_unless(count > 0, f"There is no {what} at all; {value} was given.")
    is_whole = isinstance(value, int | np.integer) and not isinstance(value, bool)
    refuse_unless(
        is_whole and 0 <= value < count, f"A {what} must be a whole number from 0 to {count - 1}; {value} was given."
    )
    return int(value)


def indices_given(name: str, values: ArrayLike, what: str, count: int) -> Ints:
    """A row of indices of a thing of which there are so many; the array that comes back cannot be written to.

    Shape (n,), whole numbers from 0 to count - 1. Formula and source: none. Errors: ValueError with a whole sentence.

    >>> indices_given("source", [0, 7], "terminal", 2)
    Traceback (most recent call last):
    ValueError: source must hold terminals from 0 to 1; 7 was given at place 1.
    """
    array = np.asarray(values)
    refuse_unless(array.ndim == 1, f"{name} must be one row of numbers; an array of shape {array.shape} was given.")
    if array.size == 0:
        return fixed(array)
    _refuse_not_whole(name, array)
    bad = np.flatnonzero((array < 0) | (array >= count))
    if bad.size:
        place = int(bad[0])
        allowed = f"{what}s from 0 to {count - 1}" if count else f"no {what}, for there is none"
        raise ValueError(f"{name} must hold {allowed}; {array[place]} was given at place {place}.")
    return fixed(array)


def _refuse_not_whole(name: str, array: NDArray[Any]) -> None:
    if array.dtype.kind == "f":
        parted = np.flatnonzero(array != np.floor(array))
        place = int(parted[0]) if parted.size else 0
        raise ValueError(f"{name} must hold whole numbers; {array[place]} was given at place {place}.")
    refuse_unless(array.dtype.kind in "iu", f"{name} must hold whole numbers; values of type {array.dtype} were given.")


def marks_given(name: str, values: ArrayLike) -> Bools:
    """A row of True and False; the array that comes back cannot be written to.

    Shape (n,). Formula and source: none. Errors: ValueError with a whole sentence.

    >>> marks_given("stage_barrier", [0.5])
    Traceback (most recent call last):
    ValueError: stage_barrier must hold True or False; values of type float64 were given.
    """
    array = np.asarray(values)
    refuse_unless(array.ndim == 1, f"{name} must be one row of marks; an array of shape {array.shape} was given.")
    refuse_unless(
        array.size == 0 or array.dtype.kind == "b",
        f"{name} must hold True or False; values of type {array.dtype} were given.",
    )
    return fixed_marks(array)


def refuse_lengths_differ(**rows: NDArray[Any]) -> None:
    """Refuse rows that must be of one length and are not.

    Formula and source: none. Errors: ValueError with a whole sentence.

    >>> refuse_lengths_differ(source=np.zeros(3), load=np.zeros(2))
    Traceback (most recent call last):
    ValueError: source and load must be of one length; they are 3 and 2 long.
    """
    lengths = [str(row.size) for row in rows.values()]
    refuse_unless(
        len(set(lengths)) < 2, f"{_listed(list(rows))} must be of one length; they are {_listed(lengths)} long."
    )


def _listed(words: list[str]) -> str:
    return f"{', '.join(words[:-1])} and {words[-1]}"
