"""Figures for laws: zero, or a size that can be meant."""

from hypothesis import strategies as st

LEAST = 1e-18


def up_to(most):
    """Zero, or anything from 1e-18 to the most."""
    return st.one_of(st.just(0.0), st.floats(LEAST, most))


def either_way(most):
    """Zero, or anything from 1e-18 to the most, of either sign."""
    return st.one_of(up_to(most), st.floats(-most, -LEAST))
