"""The compact store gives back what went in, to the error it states."""

import zlib

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from restoration.engineering.captures import CaptureRefused, pack, read_capture, unpack
from tests.engineering.captures.shapes import SHAPES

LEAST_ERROR = 4e-16
"""Rounding of one product and one sum, as part of the largest value."""


def again(packed):
    return unpack(packed.data, packed.scale, packed.offset, packed.dtype)


@pytest.mark.parametrize(("bits", "dtype"), [(8, "uint8"), (12, "<u2"), (16, "<u2")])
def test_converter_codes_come_back_exactly(bits, dtype):
    """Every code is kept; volts differ by the rounding of one product and one sum."""
    rng = np.random.default_rng(bits)
    codes = np.repeat(rng.integers(0, 2**bits, 300), 8)
    codes[:2] = 0, 2**bits - 1
    step = 0.02 if bits == 8 else 0.0005
    values = codes * step - 3.0
    packed = pack(values)

    assert packed.dtype == dtype
    assert packed.error_v <= LEAST_ERROR * np.abs(values).max() + 1e-6 * step
    if packed.scale == pytest.approx(step, rel=1e-6):
        assert (np.rint((again(packed) + 3.0) / step) == codes).all()


def test_sixteen_bits_without_repeats_lose_under_a_hundred_thousandth():
    values = np.random.default_rng(5).normal(0.0, 1.0, 50000)
    packed = pack(values)
    most = np.abs(again(packed) - values).max()

    assert packed.dtype == "<u2"
    assert most == packed.error_v
    assert most <= 0.5001 * np.ptp(values) / 65535


@pytest.mark.parametrize("values", [[2.5], [2.5] * 100, [0.0, 5.0] * 10, [-1.0, 0.0, 1.0], [0.0, 1e-300], [1e9, -1e9]])
def test_plain_traces(values):
    packed = pack(np.array(values))
    np.testing.assert_allclose(again(packed), values, rtol=0, atol=packed.error_v + 1e-300)
    assert packed.error_v <= 1e-15 * max(1.0, np.abs(values).max())


@pytest.mark.parametrize("shape", SHAPES, ids=lambda shape: shape.__name__)
def test_read_captures_survive_the_store(shape):
    for trace in read_capture(shape()[0]).channels:
        packed = pack(trace.values)
        assert np.abs(again(packed) - trace.values).max() == packed.error_v
        assert packed.error_v <= np.ptp(trace.values) / 65535


def test_a_million_samples_of_a_real_kind_are_small():
    """Eight-bit noise and pulses: at most one byte a sample, where float64 takes eight."""
    rng = np.random.default_rng(1)
    wave = np.where(np.arange(1_000_000) % 10000 < 200, 30.0, 0.0) + rng.normal(0.0, 0.2, 1_000_000)
    packed = pack(np.round(wave / 0.2) * 0.2)

    assert packed.dtype == "uint8"
    assert len(packed.data) < 500_000


@settings(max_examples=200, deadline=None)
@given(st.lists(st.floats(-1e9, 1e9), min_size=1, max_size=100))
def test_any_samples_come_back_within_the_stated_error(values):
    packed = pack(np.array(values))
    back = again(packed)

    assert back.shape == (len(values),)
    assert np.abs(back - values).max() == packed.error_v
    assert packed.error_v <= 0.5001 * np.ptp(values) / 65535 + 1e-15 * np.abs(values).max() + 1e-300


@pytest.mark.parametrize("values", [[], [1.0, float("nan")], [float("inf")]])
def test_only_a_real_trace_is_stored(values):
    with pytest.raises(CaptureRefused) as refusal:
        pack(np.array(values))
    assert str(refusal.value) == "Only a trace with at least one sample, all of them finite, can be stored."


@pytest.mark.parametrize(
    ("data", "dtype", "words"),
    [
        (b"nonsense", "uint8", "The stored trace is damaged: it cannot be expanded."),
        (zlib.compress(b"\1\2\3\4")[:-5], "uint8", "The stored trace is damaged: it ends too early."),
        (zlib.compress(b"\1\2\3"), "<u2", "The stored trace is damaged: it ends too early."),
        (zlib.compress(b""), "uint8", "The stored trace is damaged: it ends too early."),
        (zlib.compress(b"\1"), "float64", "The stored trace has codes of the kind 'float64'; uint8 and <u2 are known."),
        (zlib.compress(b"\0" * 10_000), "uint8", "The stored trace is longer than 1000 samples."),
    ],
)
def test_damaged_store_is_refused(data, dtype, words):
    with pytest.raises(CaptureRefused) as refusal:
        unpack(data, 1.0, 0.0, dtype, most_samples=1000)
    assert str(refusal.value) == words
