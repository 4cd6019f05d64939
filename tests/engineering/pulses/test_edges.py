"""Edges found in the lively parts of a long trace are those of the whole."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from restoration.engineering.pulses import edges as edges_module
from restoration.engineering.pulses.edges import find_edges, lively_parts

FIELDS = ("rising", "middle", "begin", "end", "first", "last")


@st.composite
def long_waves(draw):
    """Long rests with a few pulses of any place and width, with noise, and steps that fall between blocks."""
    samples = draw(st.integers(9 * 512, 20_000))
    values = np.zeros(samples)
    for _ in range(draw(st.integers(0, 4))):
        start = draw(st.one_of(st.integers(0, samples - 2), st.sampled_from([512, 1024, 4096])))
        values[start : start + draw(st.integers(1, 3000))] = draw(st.sampled_from([5.0, 4.8, 2.6, 3.5]))
    return values + np.random.default_rng(draw(st.integers(0, 50))).normal(
        0.0, draw(st.sampled_from([0.0, 0.05])), samples
    )


@settings(max_examples=150, deadline=None)
@given(long_waves())
def test_leaving_out_quiet_parts_changes_no_edge(values):
    shortened = find_edges(values, 0.0, 5.0, 0.05)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(edges_module, "_BLOCK", values.size)
        whole = find_edges(values, 0.0, 5.0, 0.05)

    for name in FIELDS:
        np.testing.assert_array_equal(getattr(shortened, name), getattr(whole, name), err_msg=name)
    assert shortened.runts == whole.runts


def test_quiet_parts_are_left_out_and_places_kept():
    values = np.zeros(100_000)
    values[60_000:60_010] = 5.0
    parts, origin = lively_parts(values, (2.5,))

    assert parts.size < 3000
    np.testing.assert_array_equal(parts, values[origin])
    assert find_edges(values, 0.0, 5.0, 0.0).middle.tolist() == [59_999.5, 60_009.5]


def test_short_or_lively_traces_are_taken_whole():
    assert lively_parts(np.zeros(1000), (2.5,))[1] is None
    assert lively_parts(np.tile([0.0, 5.0], 10_000), (2.5,))[1] is None


def test_record_that_begins_between_the_levels_counts_no_edge_for_it():
    edges = find_edges(np.r_[np.full(10, 2.5), np.full(20, 5.0), np.zeros(20)], 0.0, 5.0, 0.0)
    assert edges.rising.tolist() == [False]


@pytest.mark.parametrize(("values", "count"), [(np.zeros(50), 0), (np.full(50, 5.0), 0), (np.full(50, 2.5), 0)])
def test_no_edge_in_a_resting_trace(values, count):
    assert len(find_edges(values, 0.0, 5.0, 0.0)) == count
