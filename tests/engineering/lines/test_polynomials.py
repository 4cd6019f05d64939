"""Polynomial arithmetic against numpy's."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.polynomial import polynomial as numpys

from restoration.engineering.lines.polynomials import at, line, plus, real_roots, shortened, times

coefficients = st.lists(st.floats(-100, 100), min_size=1, max_size=4).map(tuple)
roots = st.lists(st.floats(-1e3, -1e-3), min_size=1, max_size=3)


@given(first=coefficients, second=coefficients)
def test_products_and_sums_as_numpy(first, second):
    product = numpys.polymul(first, second)
    np.testing.assert_allclose(times(first, second)[: product.size], product, atol=1e-9)
    total = numpys.polyadd(first, second)
    np.testing.assert_allclose(plus(first, second)[: total.size], total, atol=1e-9)


@given(polynomial=coefficients, s=st.complex_numbers(max_magnitude=10))
def test_values_as_numpy(polynomial, s):
    assert at(polynomial, s) == pytest.approx(numpys.polyval(s, polynomial), abs=1e-6)


@given(wanted=roots, leading=st.floats(0.1, 10))
def test_the_polynomial_of_its_roots_comes_back(wanted, leading):
    polynomial = times((leading,), tuple(float(part) for part in numpys.polyfromroots(wanted)))
    again = leading * numpys.polyfromroots(list(real_roots(polynomial)))
    np.testing.assert_allclose(again, polynomial, rtol=1e-4)


@pytest.mark.parametrize("apart", [1e3, 1e6, 1e9])
def test_roots_far_apart_keep_their_digits(apart):
    polynomial = times(times((1.0, 1.0), (1.0, 1.0 / apart)), (1.0, 1.0 / apart**2))
    assert sorted(real_roots(polynomial)) == pytest.approx([-(apart**2), -apart, -1.0], rel=1e-6)


def test_a_root_at_nothing():
    assert sorted(real_roots((0.0, 2.0, 1.0))) == [-2.0, 0.0]


def test_orders():
    assert line(2.0, 0.0) == (2.0,)
    assert shortened((1.0, 0.0, 0.0)) == (1.0,)
    assert real_roots((5.0,)) == ()
