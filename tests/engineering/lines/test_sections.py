"""Chains of first-order filters against one filter of the same ratio, by scipy."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.signal import cont2discrete, lfilter

from restoration.engineering.lines.polynomials import times
from restoration.engineering.lines.sections import chains_of

STEP_S = 1e-9
WAVE = np.concatenate((np.linspace(0.0, 1.0, 60), np.ones(140)))
constants = st.floats(2, 500).map(lambda steps: steps * STEP_S)


def in_steps(polynomial):
    """Highest power first, with a step as the unit of time."""
    return [here / STEP_S**power for power, here in enumerate(polynomial)][::-1]


@settings(max_examples=60, deadline=None)
@given(
    poles=st.lists(constants, min_size=1, max_size=3),
    zeros=st.lists(constants, max_size=3),
    gain=st.sampled_from([-3.0, 0.2, 1.0]),
)
def test_a_chain_is_the_bilinear_transform_of_the_whole(poles, zeros, gain):
    divisor, numerator = (1.0,), (gain,)
    for pole in poles:
        divisor = times(divisor, (1.0, pole))
    for zero in zeros[: len(poles)]:
        numerator = times(numerator, (1.0, zero))
    (chain,) = chains_of(divisor, STEP_S, numerator)
    above, below, _ = cont2discrete((in_steps(numerator), in_steps(divisor)), 1.0, method="bilinear")
    whole = lfilter(above[0], below, WAVE)
    scale = max(1.0, float(np.abs(whole).max()))
    np.testing.assert_allclose(chain.of(WAVE), whole, atol=1e-4 * scale)
    np.testing.assert_allclose(lfilter(chain.numerator(), chain.divisor(), WAVE), whole, atol=1e-4 * scale)


def test_chains_share_their_divisor():
    low, high = chains_of((1.0, 50 * STEP_S), STEP_S, (1.0,), (0.0, 50 * STEP_S))
    np.testing.assert_allclose(low.of(WAVE) + high.of(WAVE), WAVE, atol=1e-12)


def test_one_after_the_other():
    first, second = chains_of((1.0, 50 * STEP_S), STEP_S, (2.0,), (0.5,))
    np.testing.assert_allclose(first.then(second).of(WAVE), second.of(first.of(WAVE)), atol=1e-12)


def test_a_bare_gain():
    (chain,) = chains_of((4.0,), STEP_S, (3.0,))
    assert len(chain.rows) == 0
    np.testing.assert_allclose(chain.of(WAVE), 0.75 * WAVE)


def test_nothing_comes_of_nothing():
    """A matched end sends nothing back: a numerator of noughts."""
    (chain,) = chains_of((1.0, 50 * STEP_S), STEP_S, (0.0, 0.0))
    assert not chain.of(WAVE).any()


def test_slow_sections_keep_their_level():
    """Three time constants of a million steps: a ramp answers (t/T)^3/6 of itself at first, within 1e-4."""
    slow = 1e6 * STEP_S
    (chain,) = chains_of(times(times((1.0, slow), (1.0, slow * 1.1)), (1.0, slow * 0.9)), STEP_S, (1.0,))
    steps = np.arange(20_000, dtype=float)
    end = steps[-1] / 1e6
    expected = end**4 / 24 * 1e6 / 0.99
    assert chain.of(steps)[-1] == pytest.approx(expected, rel=0.02)
