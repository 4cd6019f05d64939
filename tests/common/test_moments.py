from datetime import UTC, datetime, timedelta

import pytest
from django.core.exceptions import ValidationError

from restoration.common.moments import moment_of, refuse_future

NOW = datetime(2026, 3, 7, 10, 30, tzinfo=UTC)


@pytest.mark.parametrize("late", [timedelta(days=-400), timedelta(0), timedelta(minutes=5)])
def test_the_past_and_a_clock_a_little_fast_are_taken(late):
    refuse_future(NOW + late, now=NOW)


def test_a_moment_to_come_is_refused_with_both_moments_named():
    with pytest.raises(ValidationError) as refused:
        refuse_future(NOW + timedelta(days=1), now=NOW)
    assert refused.value.messages == [
        "08 Mar 2026, 10:30 has not come yet: it is 07 Mar 2026, 10:30 now. Give the time it was done."
    ]


def test_the_moment_of_an_act_is_as_told_or_now():
    assert moment_of(None, now=NOW) == NOW
    assert moment_of(NOW - timedelta(days=1), now=NOW) == NOW - timedelta(days=1)
    with pytest.raises(ValidationError, match="has not come yet"):
        moment_of(NOW + timedelta(minutes=6), now=NOW)
