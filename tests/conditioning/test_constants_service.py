"""Wiring constants fitted from the records of a site, and taken into use."""

from datetime import timedelta

import numpy as np
import pytest
from django.utils import timezone

from restoration.conditioning import fitting
from restoration.conditioning.fitting import fit_site
from restoration.conditioning.known import case_of
from restoration.conditioning.models import FittedConstant, WiringFit
from restoration.conditioning.reckoning import constants_of
from restoration.conditioning.services.constants import store_fit, take_into_use
from restoration.conditioning.shown_constants import ShownFit, Spread, place_on_scale
from restoration.engineering.in_place import SiteConstants, predict
from tests.conditioning.hidden_site import HIDDEN, measured, site, wired
from tests.conditioning.links import check
from tests.reading import last_line, refused


@pytest.fixture
def five(tester, second_tester):
    return site(tester, second_tester, 5)


@pytest.fixture
def quick(monkeypatch):
    """A fit that takes no time and says what it was given."""

    def fit(records, **kwargs):
        nominal = SiteConstants.from_geometry()
        return SiteConstants.of_dict(
            {
                **nominal.as_dict(),
                "record_count": len(records),
                "wires": {record.wire: [12e-12, 0.9e-6] for record in records},
                "wild": [f"{records[0].name}: its amplitude is 9.0 standard deviations above what the others say."],
            }
        )

    monkeypatch.setattr(fitting, "fit", fit)


def test_the_fit_finds_what_was_hidden_in_the_records(tester, second_tester):
    site(tester, second_tester, 8)
    stored = take_into_use(by=tester)
    constants = constants_of(stored)
    found = constants.factors("hook-up", "")
    half = 1.6449 * np.sqrt(np.diag(constants.covariance))[:3]
    assert list(np.abs(np.log(np.divide(found, HIDDEN))) <= half) == [True, True, True]
    assert max(half) < 0.2
    assert found[0] == pytest.approx(HIDDEN[0], rel=0.06)
    assert found[2] == pytest.approx(HIDDEN[2], rel=0.06)
    assert stored.record_count == 8
    assert constants.wild == ()


def test_what_comes_after_is_predicted_as_it_is(tester, second_tester):
    site(tester, second_tester, 8)
    take_into_use(by=tester)
    link = measured(wired(2), tester, second_tester, days=0.01)
    known = case_of(link)
    true_v = known.measured["load", "amplitude"].value
    assert predict(known.case).load.amplitude_v != pytest.approx(true_v, rel=0.03)
    assert predict(known.applied(known.case)).load.amplitude_v == pytest.approx(true_v, rel=0.02)


def test_a_record_unlike_all_others_is_named_with_its_check(tester, second_tester):
    site(tester, second_tester, 7)
    odd = measured(wired(1), tester, second_tester, times=3.0, days=1)
    stored = take_into_use(by=tester)
    check_pk = odd.signal_checks.latest("done_at").pk
    wild = ShownFit.of(stored).wild
    assert check_pk in {pk for _, pk in wild}
    assert any(words.startswith(f"Signal check {check_pk} of link {odd.code}: its amplitude is") for words, _ in wild)


def test_too_few_records_are_refused_with_how_many_there_are(tester, second_tester):
    site(tester, second_tester, 4)
    said = refused(take_into_use, by=tester)
    assert said.startswith(
        "4 signal checks tell something of wires and drives, and at least 5 are needed to fit constants."
    )
    assert not WiringFit.objects.exists()


def test_one_record_is_one_signal_check(tester, second_tester):
    site(tester, second_tester, 1)
    assert refused(take_into_use, by=None).startswith("1 signal check tells something")


def test_nothing_at_all_is_refused(db):
    assert refused(take_into_use, by=None).startswith("0 signal checks tell something")


def test_a_moment_that_has_not_come_is_refused(tester, five):
    said = refused(take_into_use, by=tester, at=timezone.now() + timedelta(days=1))
    assert "has not come yet" in said


def test_only_records_up_to_the_moment_are_taken(tester, five, quick):
    assert refused(take_into_use, by=tester, at=timezone.now() - timedelta(days=4)).startswith("0 signal checks")
    at = timezone.now() - timedelta(days=1)
    stored = take_into_use(by=tester, at=at)
    assert (stored.fitted_at, stored.record_count) == (at, 5)


def test_it_is_stored_whole_with_its_constants_and_a_line(tester, five, quick):
    stored = take_into_use(by=tester, remarks=" After the looms were laid. ")
    assert (stored.fitted_by, stored.remarks) == (tester, "After the looms were laid.")
    names = set(stored.constants.values_list("name", "wire"))
    assert names == {
        ("capacitance_f_per_m", "hook-up"),
        ("inductance_h_per_m", "hook-up"),
        ("drive_factor", ""),
        ("drive_spread", ""),
    }
    assert [record["link"] for record in stored.told["records"]] == [link.code for link in five]
    first = stored.told["records"][0]["figures"]["amplitude"]
    assert set(first) == {"measured", "uncertainty", "reckoned"}
    line = last_line()
    assert line.sentence == (
        f"Tomasz Wilk took wiring constants {stored.pk} into use, fitted from 5 signal checks. 1 figure disagrees with "
        "all the others."
    )
    assert line.details["fit"] == stored.pk


def test_the_command_line_is_named_where_nobody_is(five, quick):
    take_into_use(by=None)
    assert last_line().sentence.startswith("The command line took wiring constants")


def test_nothing_is_stored_where_the_log_book_refuses(five, quick, monkeypatch):
    def refuse(**line):
        raise RuntimeError("the pen is broken")

    found = fit_site()
    monkeypatch.setattr("restoration.conditioning.services.constants.write_line", refuse)
    with pytest.raises(RuntimeError):
        store_fit(found, by=None)
    assert not WiringFit.objects.exists()
    assert not FittedConstant.objects.exists()


def test_a_fit_takes_the_newest_records_and_says_how_many_it_left(tester, second_tester, quick, monkeypatch):
    seven = site(tester, second_tester, 7)
    monkeypatch.setattr(fitting, "MOST", 5)
    found = fit_site()
    assert [each.link.code for each in found.taken] == [link.code for link in seven[2:]]
    assert found.not_taken == 2
    stored = store_fit(found, by=tester)
    assert stored.told["older_records"] == 2
    assert "2 older ones were not taken." in last_line().sentence


def test_what_was_left_out_is_kept_with_its_reason(tester, second_tester, five, quick):
    check(wired(6), tester, second_tester)
    stored = take_into_use(by=tester)
    reason = "no bench test tells the amplitude of the chassis that was in the slot of its source"
    assert ShownFit.of(stored).left_out == [(reason, 1)]


def test_a_link_that_cannot_be_reckoned_is_left_out_and_counted(tester, second_tester, five, quick, monkeypatch):
    site(tester, second_tester, 1, days=1)
    real = fitting.predict

    def predict_but_one(case):
        if case.code == five[0].code:
            raise FloatingPointError("overflow")
        return real(case)

    monkeypatch.setattr(fitting, "predict", predict_but_one)
    assert refused(take_into_use, by=tester).startswith("4 signal checks tell something")
    site(tester, second_tester, 6, days=0.5)
    found = fit_site()
    assert five[0].code not in {each.link.code for each in found.taken}
    assert found.left_out == {"a figure of it, or of its link, cannot be": 3}
    assert (found.not_taken, found.told()["left_out"]) == (0, found.left_out)


def test_bars_stand_on_a_scale_of_ratios():
    assert [place_on_scale(factor) for factor in (0.5, 1.0, 2.0, 0.1, 7.0)] == [
        "0.0%",
        "50.0%",
        "100.0%",
        "0.0%",
        "100.0%",
    ]
    spread = Spread.of_log(0.0, 0.01)
    assert spread.words == "1.00 (0.85 to 1.18)"
    assert (spread.begins, spread.at, spread.ends) == ("38.1%", "50.0%", "61.9%")


def test_a_fit_without_its_records_can_still_be_shown(db):
    fit = WiringFit.objects.create(record_count=0, told=SiteConstants.from_geometry().as_dict())
    shown = ShownFit.of(fit)
    assert (shown.wires, shown.drives, shown.records, shown.wild, shown.left_out) == ([], [], [], [], [])
