"""Figures too small or too large to be meant, and what is left to others to judge."""

import math

import pytest

from restoration.engineering.reach import refuse_out_of_reach


@pytest.mark.parametrize("value", [0.0, -0.0, 1e-30, 1e30, -1e30, -1e-30, 4.7e3, math.inf, -math.inf, math.nan])
def test_what_may_be_meant_passes(value):
    refuse_out_of_reach(source_v=1.0, value=value)


@pytest.mark.parametrize("value", [1e-31, -1e-31, 5e-324, 1.1e30, -1e300])
def test_a_slip_is_told(value):
    with pytest.raises(ValueError) as refused:
        refuse_out_of_reach(source_v=1.0, load_ohm=value)
    assert str(refused.value) == (
        f"load_ohm is {value}; only zero and figures from 1e-30 to 1e+30 in size can be meant."
    )
