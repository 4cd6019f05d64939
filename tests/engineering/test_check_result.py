import pytest
from hypothesis import given
from hypothesis import strategies as st

from restoration.engineering.check_result import JudgedFigure, Outcome, check_outcome, withheld
from restoration.engineering.limits import Verdict

V = Verdict


def figure(verdict: Verdict, words: str = "amplitude", reason: str = "") -> JudgedFigure:
    return JudgedFigure(words, "17.2 V", "15 to 20 V", verdict, reason)


@pytest.mark.parametrize(
    ("verdicts", "joined", "worst"),
    [
        ([V.WITHIN, V.WITHIN], True, V.WITHIN),
        ([V.WITHIN, V.CANNOT_TELL], True, V.CANNOT_TELL),
        ([V.TOO_CLOSE, V.CANNOT_TELL], True, V.TOO_CLOSE),
        ([V.OUTSIDE, V.TOO_CLOSE, V.CANNOT_TELL], True, V.OUTSIDE),
        ([V.WITHIN], False, V.CANNOT_TELL),
        ([V.TOO_CLOSE], False, V.CANNOT_TELL),
        ([V.OUTSIDE], False, V.OUTSIDE),
        ([], True, V.CANNOT_TELL),
        ([], False, V.CANNOT_TELL),
    ],
)
def test_the_worst_decides_and_a_missing_load_never_passes(verdicts, joined, worst):
    assert check_outcome([figure(each) for each in verdicts], all_loads_joined=joined).verdict is worst


@pytest.mark.parametrize(
    ("judged", "sentence"),
    [
        (figure(V.OUTSIDE), "The amplitude, 17.2 V, is outside its limit of 15 to 20 V."),
        (figure(V.TOO_CLOSE), "The amplitude, 17.2 V, is too close to its limit of 15 to 20 V to call."),
        (figure(V.WITHIN), "The amplitude, 17.2 V, is within its limit of 15 to 20 V."),
        (figure(V.CANNOT_TELL), "The amplitude, limit 15 to 20 V, cannot be told. It was not measured."),
        (figure(V.CANNOT_TELL, reason="It clips."), "The amplitude, limit 15 to 20 V, cannot be told. It clips."),
    ],
)
def test_each_figure_speaks_a_whole_sentence(judged, sentence):
    assert judged.sentence() == sentence


def test_only_what_stands_in_the_way_is_said():
    outcome = check_outcome(
        [figure(V.WITHIN), figure(V.TOO_CLOSE, "rise")], all_loads_joined=False, loads_missing=" D-02:4 "
    )
    assert outcome.reasons == (
        "The rise, 17.2 V, is too close to its limit of 15 to 20 V to call.",
        "Not every load was joined (D-02:4), and each load changes the pulse for all of them.",
    )


@given(st.lists(st.sampled_from(list(Verdict)), max_size=6), st.booleans())
def test_a_pass_has_no_reasons_and_anything_else_has_some(verdicts, joined):
    outcome = check_outcome([figure(each) for each in verdicts], all_loads_joined=joined)
    assert (outcome.verdict is V.WITHIN) == (not outcome.reasons)


@given(st.lists(st.sampled_from(list(Verdict)), min_size=1, max_size=6), st.booleans())
def test_joining_a_load_never_makes_a_verdict_worse(verdicts, joined):
    figures = [figure(each) for each in verdicts]
    before = check_outcome(figures, all_loads_joined=False).verdict
    after = check_outcome(figures, all_loads_joined=True).verdict
    assert (before is V.OUTSIDE) == (after is V.OUTSIDE)
    assert before is not V.WITHIN


@pytest.mark.parametrize("verdict", list(Verdict))
def test_a_reason_outside_the_figures_holds_every_verdict_back_and_stands_first(verdict):
    held = withheld(
        Outcome(verdict, ("It is tall.",)), ["No chassis is fitted in slot C-07, so nothing is proved yet."]
    )
    assert held.verdict is Verdict.CANNOT_TELL
    assert held.reasons == ("No chassis is fitted in slot C-07, so nothing is proved yet.", "It is tall.")
    assert withheld(Outcome(verdict, ("It is tall.",)), []) == Outcome(verdict, ("It is tall.",))
