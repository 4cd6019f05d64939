"""The pages of the wiring constants: what is in use, what today's records give, and taking it into use."""

import uuid
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from restoration.conditioning import fitting
from restoration.conditioning.models import WiringFit
from restoration.conditioning.services.constants import take_into_use
from restoration.engineering.in_place import SiteConstants
from tests.conditioning.hidden_site import measured, site, wired
from tests.counting import queries_of
from tests.reading import words

PAGE, USE = reverse("conditioning:constants"), reverse("conditioning:constants-use")
WILD = "its amplitude is 9.0 standard deviations above what the other records say."


@pytest.fixture(autouse=True)
def _quick(monkeypatch):
    """A fit that takes no time: 10 percent more capacitance, a drive for each record, the first record wild."""

    def fit(records, **kwargs):
        nominal = SiteConstants.from_geometry()
        drives = sorted({record.drive for record in records})
        size = 3 + len(drives)
        return SiteConstants.of_dict(
            {
                **nominal.as_dict(),
                "names": [*nominal.names, *(f"drive:{drive}" for drive in drives)],
                "means": [0.0953, 0.0, 0.0, *(0.1 * number for number in range(len(drives)))],
                "covariance": [[0.0025 * (row == column) for column in range(size)] for row in range(size)],
                "record_count": len(records),
                "wires": {record.wire: [12e-12, 0.9e-6] for record in records},
                "wild": [f"{records[0].name}: {WILD}"],
            }
        )

    monkeypatch.setattr(fitting, "fit", fit)


@pytest.fixture
def five(tester, second_tester):
    return site(tester, second_tester, 5)


def test_without_constants_and_records_it_says_so_plainly(as_person, tester):
    said = words(as_person(tester).get(PAGE))
    assert (
        "No constants of this site are in use: predictions rest on geometry and drawings, with wide spreads. "
        "0 signal checks tell something of wires and drives, and 5 are needed."
    ) in said


def test_records_enough_are_counted(as_person, tester, five):
    assert "5 signal checks tell something of wires and drives." in words(as_person(tester).get(PAGE))


def test_what_is_in_use_is_told_with_its_intervals(as_person, builder, tester, five):
    stored = take_into_use(by=tester)
    answer = as_person(builder).get(PAGE)
    said = words(answer)
    assert f"Predictions rest on wiring constants {stored.pk} , in use since" in said
    assert "fitted from 5 signal checks; 0 more tell something since then." in said
    assert "hook-up 5 checks 13.2 pF/m (12.2 to 14.3) 0.9 µH/m (0.829 to 0.977)" in said
    assert "All drives together they differ by 12.0 % 1.00 (0.92 to 1.09)" in said
    assert "KS-B-05:7 1 check 1.49 (1.33 to 1.68) 224 Ω for 150 Ω" in said
    assert "verify by measurement" in said
    assert "HT and mains kill" in said
    assert 'class="bar"' in answer.content.decode()


def test_wild_records_lead_to_their_checks(as_person, tester, five):
    take_into_use(by=tester)
    answer = as_person(tester).get(PAGE)
    check = five[0].signal_checks.get()
    assert f"Signal check {check.pk} of link" in words(answer)
    assert f": {WILD} See the check" in words(answer)
    assert f'href="{check.get_absolute_url()}"' in answer.content.decode()


def test_records_since_then_are_counted(as_person, tester, second_tester, five):
    take_into_use(by=tester, at=timezone.now() - timedelta(days=1))
    measured(wired(5), tester, second_tester, days=0.5)
    assert "1 more tells something since then." in words(as_person(tester).get(PAGE))


def test_todays_fit_is_worked_out_only_when_asked(as_person, tester, five, monkeypatch):
    asked = []
    real = fitting.fit
    monkeypatch.setattr(fitting, "fit", lambda records: asked.append(len(records)) or real(records))
    client = as_person(tester)
    client.get(PAGE)
    assert asked == []
    said = words(client.get(PAGE, {"fit": "now"}))
    assert asked == [5]
    assert "Fitted from 5 signal checks, and not in use until you say so." in said
    assert not WiringFit.objects.exists()


def test_today_with_too_few_records_says_why(as_person, tester, second_tester):
    site(tester, second_tester, 2)
    said = words(as_person(tester).get(PAGE, {"fit": "now"}))
    assert "2 signal checks tell something of wires and drives, and at least 5 are needed" in said
    assert "Use these from now on" not in said


def test_those_who_may_not_take_them_into_use_see_no_button(as_person, builder, tester, five):
    asked = {"fit": "now"}
    assert "Use these from now on" in words(as_person(tester).get(PAGE, asked))
    assert "Use these from now on" not in words(as_person(builder).get(PAGE, asked))


def test_taking_into_use_stores_them_and_shows_them(as_person, tester, five):
    answer = as_person(tester).post(USE, {"form_token": uuid.uuid4(), "remarks": "After the looms."}, follow=True)
    fit = WiringFit.objects.get()
    assert answer.redirect_chain == [(fit.get_absolute_url(), 302)]
    said = words(answer)
    assert f"Predictions rest on wiring constants {fit.pk} from now on." in said
    assert "After the looms." in said
    assert fit.fitted_by == tester


def test_sent_twice_it_is_stored_once(as_person, tester, five):
    client, sent = as_person(tester), {"form_token": uuid.uuid4()}
    first, second = client.post(USE, sent), client.post(USE, sent)
    assert first.url == second.url
    assert WiringFit.objects.count() == 1


def test_too_few_records_are_refused_with_a_sentence(as_person, tester, second_tester):
    site(tester, second_tester, 3)
    answer = as_person(tester).post(USE, {"form_token": uuid.uuid4()}, follow=True)
    assert "3 signal checks tell something of wires and drives, and at least 5 are needed" in words(answer)
    assert not WiringFit.objects.exists()


def test_remarks_without_end_are_refused(as_person, tester, five):
    answer = as_person(tester).post(USE, {"form_token": uuid.uuid4(), "remarks": "x" * 2001})
    assert answer.status_code == 422
    assert "x" * 2001 in answer.content.decode()
    assert "Nothing was taken into use: the remarks are longer than 2000 letters." in words(answer)
    assert not WiringFit.objects.exists()


def test_a_builder_may_not_take_them_into_use(as_person, builder, five):
    assert as_person(builder).post(USE, {"form_token": uuid.uuid4()}).status_code == 403
    assert not WiringFit.objects.exists()


def test_the_address_of_the_act_is_for_sending_only(as_person, tester):
    assert as_person(tester).get(USE).status_code == 405


def test_one_fit_tells_who_and_what_each_record_leaves_over(as_person, tester, five):
    stored = take_into_use(by=tester)
    said = words(as_person(tester).get(stored.get_absolute_url()))
    assert "by Tomasz Wilk, fitted from 5 signal checks; predictions rest on them now." in said
    record = stored.told["records"][0]["figures"]["amplitude"]
    assert f"{record['measured'] / record['reckoned']:.2f}" in said
    assert all(f"of {link.code}" in said for link in five)


def test_an_older_fit_says_that_it_is_no_longer_in_use(as_person, tester, five):
    old = take_into_use(by=None, at=timezone.now() - timedelta(days=1))
    new = take_into_use(by=tester)
    said = words(as_person(tester).get(old.get_absolute_url()))
    assert f"by the command line, fitted from 5 signal checks; no longer in use: constants {new.pk} are." in said
    assert f"Wiring constants {old.pk} , from 5 signal checks, taken into use by the command line." in words(
        as_person(tester).get(PAGE)
    )


def test_a_fit_that_is_not_there_is_not_found(as_person, tester):
    assert as_person(tester).get(reverse("conditioning:constants-detail", args=[99])).status_code == 404


def test_the_reads_do_not_grow_with_the_records(as_person, tester, second_tester, five):
    client = as_person(tester)
    stored = take_into_use(by=tester)
    pages = (PAGE, f"{PAGE}?fit=now", stored.get_absolute_url())
    few = [queries_of(client, page) for page in pages]
    site(tester, second_tester, 7, days=1)
    newer = take_into_use(by=tester)
    pages = (PAGE, f"{PAGE}?fit=now", newer.get_absolute_url())
    assert [queries_of(client, page) for page in pages] == few
