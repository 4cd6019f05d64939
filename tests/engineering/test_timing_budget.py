"""A path's budget: worked figures, laws, and draws of steps that never fall outside the worst case."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from restoration.engineering.timing_budget import Budget, Step, budget

NS = 1e-9
PATH = (
    Step("driver", 120 * NS, 30 * NS, 20 * NS),
    Step("wire", 20 * NS, 2 * NS),
    Step("gate", 150 * NS, 40 * NS, 30 * NS),
)
PICOSECONDS = st.integers(0, 10**6)
STEPS = st.tuples(PICOSECONDS, PICOSECONDS, PICOSECONDS).map(
    lambda drawn: Step("stage", drawn[0] * 1e-12, drawn[1] * 1e-12, min(drawn[0], drawn[2]) * 1e-12)
)
PATHS = st.lists(STEPS, min_size=1, max_size=6)


class TestWorkedPath:
    found = budget(PATH, 350 * NS)

    def test_arrivals(self):
        """Sums by hand: 290, 290 + 72, 290 - 50; root-sum-square of 30, 2 and 40 is 50.04."""
        assert self.found.nominal_s == pytest.approx(290 * NS)
        assert self.found.worst_s == pytest.approx(362 * NS)
        assert self.found.earliest_s == pytest.approx(240 * NS)
        assert self.found.root_sum_square_s == pytest.approx(290 * NS + math.sqrt(900 + 4 + 1600) * NS)
        assert self.found.earliest_rss_s == pytest.approx(290 * NS - math.sqrt(400 + 900) * NS)

    def test_slack(self):
        assert self.found.slack_worst_s == pytest.approx(-12 * NS)
        assert self.found.slack_rss_s == pytest.approx(350 * NS - self.found.root_sum_square_s)
        assert self.found.worst_step == "gate"

    @pytest.mark.parametrize(
        ("slot", "not_before", "words"),
        [
            (400, 0, "The path keeps its slot of 400 ns even at worst, with 38.0 ns to spare."),
            (350, 0, "The path keeps its slot of 350 ns as a rule; at worst it is 12.0 ns late, mostly by gate."),
            (300, 0, "The path does not keep its slot of 300 ns: at worst it is 62.0 ns late, mostly by gate."),
            (400, 250, "The pulse may come 10.0 ns before it is awaited."),
            (
                300,
                250,
                "The path does not keep its slot of 300 ns: at worst it is 62.0 ns late, mostly by gate. "
                "The pulse may come 10.0 ns before it is awaited.",
            ),
        ],
    )
    def test_words(self, slot, not_before, words):
        found = budget(PATH, slot * NS, not_before_s=not_before * NS)
        assert found.words.replace("\xa0", " ") == words


class TestLaws:
    @given(PATHS)
    def test_the_likely_is_never_wider_than_the_worst(self, path):
        found = budget(path, 1e-3)
        assert found.earliest_s <= found.earliest_rss_s <= found.nominal_s
        assert found.nominal_s <= found.root_sum_square_s <= found.worst_s
        assert found.slack_worst_s <= found.slack_rss_s
        assert found.earliest_s >= -1e-18

    @given(PATHS, PATHS)
    def test_paths_in_a_row_add_up(self, first, second):
        whole, one, other = (budget(path, 1e-3) for path in (first + second, first, second))
        for name in ("nominal_s", "worst_s", "earliest_s"):
            assert getattr(whole, name) == pytest.approx(getattr(one, name) + getattr(other, name), abs=1e-15)
        late = math.hypot(one.root_sum_square_s - one.nominal_s, other.root_sum_square_s - other.nominal_s)
        assert whole.root_sum_square_s - whole.nominal_s == pytest.approx(late, abs=1e-15)

    @given(PATHS)
    def test_order_does_not_matter_to_the_figures(self, path):
        there, back = budget(path, 1e-3), budget(path[::-1], 1e-3)
        for name in ("nominal_s", "worst_s", "earliest_s", "root_sum_square_s", "earliest_rss_s", "slack_early_s"):
            assert getattr(there, name) == pytest.approx(getattr(back, name), abs=1e-18)

    def test_one_step_is_its_own_worst_case(self):
        found = budget([Step("wire", 20 * NS, 3 * NS, 2 * NS)], 50 * NS)
        assert found.root_sum_square_s == found.worst_s
        assert found.earliest_rss_s == found.earliest_s

    def test_drawn_paths(self):
        """20,000 paths of steps drawn evenly within their limits: none outside the worst, nearly all in the likely."""
        generator = np.random.default_rng(5)
        late = [generator.uniform(step.delay_s - step.minus_s, step.delay_s + step.plus_s, 20_000) for step in PATH]
        arrivals = np.sum(late, axis=0)
        found = budget(PATH, 350 * NS)
        assert arrivals.min() >= found.earliest_s
        assert arrivals.max() <= found.worst_s
        within = (arrivals >= found.earliest_rss_s) & (arrivals <= found.root_sum_square_s)
        assert 0.90 < within.mean() < 1.0

    def test_a_generator_of_steps_will_do(self):
        assert budget((step for step in PATH), 350 * NS) == budget(PATH, 350 * NS)
        assert isinstance(budget(PATH, 350 * NS), Budget)


@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        (lambda: Step("a", -1.0), "delay_s must be zero or more and finite; -1.0 was given."),
        (lambda: Step("a", math.nan), "delay_s must be zero or more and finite; nan was given."),
        (lambda: Step("a", 1.0, -0.1), "plus_s must be zero or more and finite; -0.1 was given."),
        (lambda: Step("a", 1.0, 0.0, math.inf), "minus_s must be zero or more and finite; inf was given."),
        (
            lambda: Step("gate", 8e-8, 0.0, 9e-8),
            "“gate” takes 8e-08 s and cannot be earlier by 9e-08 s: it would end before it began.",
        ),
        (lambda: budget([], 1.0), "The path has no steps; give one or more."),
        (lambda: budget(PATH, 0.0), "slot_s must be more than zero; 0.0 was given."),
        (lambda: budget(PATH, math.inf), "slot_s must be a finite number; inf was given."),
        (
            lambda: budget(PATH, 1e-6, not_before_s=2e-6),
            "A pulse is awaited from a time between 0 and its slot of 1e-06 s; 2e-06 s was given.",
        ),
        (
            lambda: budget(PATH, 1e-6, not_before_s=math.nan),
            "A pulse is awaited from a time between 0 and its slot of 1e-06 s; nan s was given.",
        ),
    ],
)
def test_nonsense(asked, sentence):
    with pytest.raises(ValueError) as refused:
        asked()
    assert str(refused.value) == sentence
