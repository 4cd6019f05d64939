"""Limits as one says them, each quantity in its unit."""

import pytest

from restoration.machine.figures import UNITS, limit_in_words
from restoration.machine.models import SignalLimit
from restoration.machine.models.limits import Quantity


@pytest.mark.parametrize(
    ("limit", "words"),
    [
        ({"least": 15, "most": 20}, "15 to 20 V"),
        ({"least": 15, "nominal": 17, "most": 20}, "15 to 20 V, nominally 17 V"),
        ({"least": 15}, "15 V at least"),
        ({"most": 20}, "20 V at most"),
        ({"nominal": 17}, "nominally 17 V"),
    ],
)
def test_a_limit_is_written_as_one_says_it(limit: dict[str, float], words: str) -> None:
    assert limit_in_words(SignalLimit(quantity="amplitude", **{k: float(v) for k, v in limit.items()})) == words


def test_every_quantity_has_a_unit() -> None:
    assert set(UNITS) == set(Quantity)
