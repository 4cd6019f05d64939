import uuid
from datetime import timedelta

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from django.utils import timezone

from restoration.logbook.models import Entry
from restoration.proving import captures_store
from restoration.proving.models import Capture, Instrument, SignalCheck
from restoration.proving.services import EndFigures, join_wire
from tests.factories import make_link, make_ready_link, make_signal
from tests.proving.scope import capture, two_channels, without_times
from tests.proving.test_signal_checks import LIMITS
from tests.proving.visits import recorded


@pytest.fixture
def link(db):
    return make_ready_link(signal=make_signal(**LIMITS))


@pytest.fixture
def client(as_person, tester):
    return as_person(tester)


@pytest.fixture
def address(link):
    return reverse("proving:signal-check-add", args=[link.code])


@pytest.fixture
def form(tester, second_tester):
    """What a pair sends when it only fills in the load end."""

    def fill(**fields):
        usual = {
            "form_token": uuid.uuid4(),
            "done_by": tester.pk,
            "second_person": second_tester.pk,
            "loads": "all",
            "probe": "10",
            "probe_allowed_for": "on",
        }
        return usual | {name.replace("__", "-"): value for name, value in fields.items()}

    return fill


def upload(data=None, name="trace.csv"):
    return SimpleUploadedFile(name, capture() if data is None else data)


BY_HAND = {
    "load-found-amplitude": "17,2",
    "load-found-pulse_duration": "2.4",
    "load-found-rise_time": "300",
    "load-found-overshoot": "5 %",
}


def test_only_those_who_check_signals_may(address, as_person, builder, client):
    refused = as_person(builder).get(address)
    assert refused.status_code == 403
    assert "To record a signal check is not among the things you may do here." in refused.content.decode()
    assert client.get(address).status_code == 200
    assert client.get(reverse("proving:signal-check-add", args=["none"])).status_code == 404


def test_the_form_says_what_is_expected_and_carries_the_caution(address, client):
    page = client.get(address).content.decode()
    assert "amplitude 15 to 20 V; pulse duration 2.2 to 2.6 µs; rise at most 350 ns; overshoot at most 10 %." in page
    assert "HT and mains kill." in page
    assert "Limit: 15 to 20 V." in page
    assert "3 % where none is; times, 5 % of the reading; overshoot and the like, 3 % of the amplitude" in page


def test_the_least_that_can_be_sent_is_one_figure_by_hand(address, client, form, link):
    answer = client.post(address, form(**{"load-found-amplitude": "17.2 V"}))
    check = SignalCheck.objects.get()
    assert (answer.status_code, answer.url) == (302, check.get_absolute_url())
    assert (check.result, check.loads_joined, check.interconnect) == ("cannot tell", True, link)


def test_figures_by_hand_pass(address, client, form, tester, second_tester):
    client.post(address, form(**BY_HAND, ht_v="251", temperature_c="17"))
    check = SignalCheck.objects.get()
    assert (check.result, check.done_by, check.second_person) == ("passed", tester, second_tester)
    assert (check.ht_v, check.temperature_c, check.probe_factor) == (251.0, 17.0, 10.0)
    page = client.get(check.get_absolute_url()).content.decode()
    assert "Within its limits at the load end as found, with every load joined." in page
    assert "HT 251 V. Room 17 °C." in page


def test_a_capture_is_kept_measured_and_judged(address, client, form):
    answer = client.post(address, form(load__found__capture=None) | {"load-found-capture": upload()})
    assert answer.status_code == 302
    kept = Capture.objects.get()
    assert kept.check_made.result == "passed"
    assert (kept.original_name, kept.size_bytes, kept.sample_count) == ("trace.csv", len(capture()), 2000)
    given_back = client.get(reverse("proving:capture-original", args=[kept.pk]))
    assert b"".join(given_back.streaming_content) == capture()
    assert given_back.headers["Content-Type"] == "application/octet-stream"
    assert given_back.headers["X-Content-Type-Options"] == "nosniff"
    assert given_back.headers["Content-Disposition"] == 'attachment; filename="trace.csv"'


def test_found_and_left_are_drawn_over_one_another(address, client, form):
    tall = upload(capture(amplitude_v=31.0, ring=0.35), "found.csv")
    client.post(address, form() | {"load-found-capture": tall, "load-left-capture": upload(name="left.csv")})
    check = SignalCheck.objects.get()
    page = client.get(check.get_absolute_url()).content.decode()
    assert check.result == "passed"
    assert "Within its limits at the load end as left" in page
    assert '<polyline class="line found"' in page
    assert '<polyline class="line left"' in page
    assert page.index("line found") < page.index("line left")
    assert "limit, 15 to 20 V" in page
    assert 'aria-label="Found 31 V; left 17.2 V"' in page
    assert 'aria-label="outside"' in page


def test_a_failed_check_offers_to_open_a_fault(address, client, form, link):
    client.post(address, form(**BY_HAND | {"load-found-amplitude": "31"}))
    check = SignalCheck.objects.get()
    page = client.get(check.get_absolute_url()).content.decode()
    assert "Outside its limits at the load end as found. The amplitude, 31 ± 0.93 V, is outside" in page
    fault = reverse("faults:fault-add", args=[link.code])
    assert f'<a class="do" href="{fault}?check={check.pk}">Open a fault, filled in</a>' in page


def test_too_close_and_cannot_tell_say_why(address, client, form):
    client.post(address, form(**BY_HAND | {"load-found-amplitude": "15.2"}))
    client.post(address, form(**BY_HAND, loads_missing="D-02:4") | {"loads": "some"})
    close, untold = (
        client.get(check.get_absolute_url()).content.decode() for check in SignalCheck.objects.order_by("pk")
    )
    assert "The amplitude, 15.2 ± 0.46 V, is too close to its limit of 15 to 20 V to call." in close
    assert close.count("Too close to call") == 1, "the word is said once"
    assert "This check cannot tell whether the signal is right. Not every load was joined (D-02:4)" in untold
    assert "Open a fault, filled in" not in close + untold


def test_without_limits_the_page_says_what_to_do(client, tester, second_tester, db):
    link = make_ready_link("B-05:8", "D-02:5", signal=make_signal("carry"))
    page = client.get(reverse("proving:signal-check-add", args=[link.code])).content.decode()
    assert "No limits are stated for carry yet, so this check cannot come to a verdict" in page
    check = recorded(link, tester, second_tester)
    page = client.get(check.get_absolute_url()).content.decode()
    assert "There is no limit to judge the figures by." in page
    assert f'<a href="{reverse("machine:signal-limits", args=["carry"])}">State the limits of carry</a>' in page


def test_a_link_without_a_signal_can_be_checked_too(client, form, db):
    link = make_ready_link("B-05:9", "D-02:6")
    at = reverse("proving:signal-check-add", args=[link.code])
    assert "This link carries no named signal" in client.get(at).content.decode()
    client.post(at, form(**BY_HAND))
    assert SignalCheck.objects.get().result == "cannot tell"


def test_a_repeated_post_is_stored_once(address, client, form):
    sent = form(**BY_HAND)
    first, again = client.post(address, sent), client.post(address, sent)
    assert first.url == again.url
    assert SignalCheck.objects.count() == Entry.objects.count() == 1


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({}, "Give the load end, as found or as left: a capture, or at least one figure."),
        ({"source-found-amplitude": "21"}, "Give the load end, as found or as left"),
        ({"load-found-amplitude": "much"}, "“much” was given, and this is a voltage"),
        ({"load-found-amplitude": "17", "second_person": ""}, "A signal check on a live rack is made by two"),
        ({"load-found-amplitude": "17", "loads": ""}, "This field is required."),
        ({"load-found-amplitude": "17", "done_at": "2999-01-01T00:00"}, "has not come yet"),
        ({"load-found-amplitude": "17", "temperature_c": "900"}, "Ensure this value is less than or equal to 60."),
        ({"load-found-amplitude": "17", "probe": "7"}, "Select a valid choice."),
    ],
)
def test_a_bad_form_comes_back_with_its_words_kept(address, client, form, fields, sentence):
    answer = client.post(address, form(remarks="Loft was cold.") | fields)
    assert answer.status_code == 422
    page = answer.content.decode()
    assert sentence in page
    assert "Loft was cold." in page
    assert not SignalCheck.objects.exists()


def test_the_pair_is_two_people(address, client, form, tester):
    answer = client.post(address, form(**BY_HAND) | {"second_person": tester.pk})
    assert answer.status_code == 422
    assert "The second person must be another than the doer, and both are Tomasz Wilk." in answer.content.decode()


def test_one_who_never_signs_in_may_have_done_it(address, client, form, never_signs_in, tester):
    client.post(address, form(**BY_HAND) | {"done_by": never_signs_in.pk})
    check = SignalCheck.objects.get()
    assert (check.done_by, check.entered_by) == (never_signs_in, tester)
    assert "entered by Tomasz Wilk" in client.get(check.get_absolute_url()).content.decode()


def test_a_probe_left_unset_is_suspected_before_anything_is_stored(address, client, form):
    sent = form() | {"load-found-capture": upload(capture(amplitude_v=1.72))}
    answer = client.post(address, sent)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "about a tenth: is a ×10 probe on a channel that is set to ×1?" in page
    assert 'name="looked"' in page
    assert not SignalCheck.objects.exists()
    held = page.split('name="load-found-held" value="')[1].split('"')[0]
    answer = client.post(address, form(looked="on") | {"load-found-held": held})
    assert answer.status_code == 302
    kept = Capture.objects.get()
    assert (kept.original_name, kept.check_made.result) == ("trace.csv", "failed")
    assert any("about a tenth" in warning for warning in kept.measurement["warnings"])
    assert "about a tenth" in client.get(answer.url).content.decode()


def test_a_suspicion_goes_when_the_probe_is_allowed_for(address, client, form):
    page = client.post(address, form() | {"load-found-capture": upload(capture(amplitude_v=1.72))}).content.decode()
    held = page.split('name="load-found-held" value="')[1].split('"')[0]
    mended = form() | {"load-found-held": held}
    del mended["probe_allowed_for"]
    assert client.post(address, mended).status_code == 302
    assert SignalCheck.objects.get().result == "passed"


def test_a_figure_by_hand_ten_times_off_is_suspected_too(address, client, form):
    answer = client.post(address, form(**BY_HAND | {"load-found-amplitude": "172"}))
    assert answer.status_code == 422
    assert "The amplitude is 172 V where 17.5 V is expected, about ten times as much" in answer.content.decode()
    assert client.post(address, form(**BY_HAND | {"load-found-amplitude": "172"}, looked="on")).status_code == 302


def test_levels_that_do_not_fit_the_amplitude_are_asked_about_once(address, client, form):
    sent = form(**BY_HAND | {"load-found-low_level": "0", "load-found-high_level": "19.5"})
    answer = client.post(address, sent)
    assert answer.status_code == 422
    says = "From low level 0 V to high level 19.5 V is 19.5 V, and the amplitude is given as 17.2 V: which of them was"
    assert says in answer.content.decode()
    assert client.post(address, sent | {"looked": "on"}).status_code == 302


@pytest.mark.parametrize(("low", "high"), [("0", "18.9"), ("-17", "0"), ("-1", "16,2")])
def test_levels_that_fit_within_a_tenth_are_taken(address, client, form, low, high):
    sent = form(**BY_HAND | {"load-found-low_level": low, "load-found-high_level": high})
    assert client.post(address, sent).status_code == 302


def test_an_amplitude_below_zero_is_refused_beside_its_field(address, client, form):
    answer = client.post(address, form(**BY_HAND | {"load-found-amplitude": "-17"}))
    assert answer.status_code == 422
    assert "−17 V was given, and an amplitude is a size: give it without the sign." in answer.content.decode()
    assert not SignalCheck.objects.exists()


def test_all_joined_is_asked_about_where_the_book_has_one_as_not_joined(address, client, form, link):
    make_link("B-05:7", "D-02:4")
    sent = form(**BY_HAND, loads_missing="D-02:4")  # the form filled that in
    answer = client.post(address, sent)
    assert answer.status_code == 422
    assert "The book has D-02:4 on the same source as not joined. Is it?" in answer.content.decode()
    assert not SignalCheck.objects.exists()
    assert client.post(address, sent | {"looked": "on"}).status_code == 302
    check = SignalCheck.objects.get()
    assert (check.result, check.loads_joined, check.loads_missing) == ("passed", True, "")
    assert client.post(address, sent | {"form_token": uuid.uuid4(), "loads": "some"}).status_code == 302


def test_all_joined_is_refused_beside_a_load_that_was_named(address, client, form):
    answer = client.post(address, form(**BY_HAND, loads_missing="D-02:5"))
    assert answer.status_code == 422
    assert "All loads are said to be joined, and “D-02:5” is named as not joined" in answer.content.decode()


def test_a_good_form_is_not_asked_whether_it_looked(address, client):
    assert 'name="looked"' not in client.get(address).content.decode()


def test_a_readable_capture_is_kept_while_the_form_is_mended(address, client, form, as_person, second_tester):
    answer = client.post(address, form() | {"load-found-capture": upload(two_channels()), "second_person": ""})
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "trace.csv is kept here until you send the form again." in page
    assert "Channels in trace.csv: CH1, CH2." in page
    held = page.split('name="load-found-held" value="')[1].split('"')[0]
    others = as_person(second_tester).post(address, form() | {"load-found-held": held})
    assert "The capture sent before is no longer kept here; choose the file again." in others.content.decode()
    sent = form() | {"load-found-held": held, "load-found-channel": "CH2"}
    assert client.post(address, sent).status_code == 302
    assert Capture.objects.get().channel == "CH2"


@pytest.mark.parametrize("token", ["x", "a:b:c", "../../etc/passwd"])
def test_a_token_nobody_gave_holds_nothing(address, client, form, token):
    answer = client.post(address, form() | {"load-found-held": token})
    assert answer.status_code == 422
    assert "is no longer kept here; choose the file again." in answer.content.decode()


def test_a_channel_that_is_not_there_is_named(address, client, form):
    sent = form() | {"load-found-capture": upload(two_channels()), "load-found-channel": "CH9"}
    answer = client.post(address, sent)
    assert answer.status_code == 422
    page = answer.content.decode()
    assert "There is no channel “CH9” in this capture; it has 2: CH1, CH2. Count from 1." in page
    assert '<a href="#id_load-found-capture">Load end as found, Capture from the oscilloscope</a>' in page


def test_a_sample_interval_can_be_given_where_the_file_says_none(address, client, form):
    sent = form() | {"load-found-capture": upload(without_times()), "load-found-interval_s": "4 ns"}
    client.post(address, sent)
    assert Capture.objects.get().interval_s == 4e-9
    client.post(address, form() | {"load-found-capture": upload(without_times())})
    untimed = Capture.objects.get(interval_s=None)
    page = client.get(untimed.check_made.get_absolute_url()).content.decode()
    assert "sample, number" in page
    assert "cannot be told. The capture states no sample interval, so no time can be told." in page


def test_a_file_too_large_is_refused_unread(address, client, form, monkeypatch):
    monkeypatch.setattr(captures_store, "MOST_BYTES", 1000)
    answer = client.post(address, form() | {"load-found-capture": upload()})
    assert answer.status_code == 422
    assert "MB are taken. Save a shorter record on the oscilloscope." in answer.content.decode()
    assert not SignalCheck.objects.exists()


def test_all_that_is_known_is_filled_in(address, client, link, tester, second_tester):
    scope = Instrument.objects.create(mark="OS-1", kind="oscilloscope")
    Instrument.objects.create(mark="M-1", kind="meter")
    recorded(
        link, tester, second_tester, instrument=scope, probe_factor=100, probe_compensated=True, ht_v=251.0,
        also_running="racks A and B", at=timezone.now() - timedelta(hours=1),
    )  # fmt: skip
    page = client.get(address).content.decode()
    assert "OS-1, oscilloscope, ×100 probe, compensated" in page or "OS-1, ×100 probe, compensated" in page
    assert f'<option value="{second_tester.pk}" selected>Marek Hale</option>' in page
    assert f'<option value="{tester.pk}" selected>Tomasz Wilk</option>' in page
    assert 'value="251.0"' in page
    assert 'value="racks A and B"' in page
    assert "M-1" not in page


def test_conditions_of_another_day_are_not_filled_in(address, client, link, tester, second_tester):
    recorded(link, tester, second_tester, ht_v=251.0, at=timezone.now() - timedelta(days=2))
    assert 'value="251.0"' not in client.get(address).content.decode()


def test_loads_not_joined_by_the_book_are_filled_in_as_missing(address, client, link, tester, second_tester):
    other = make_link("B-05:7", "D-02:4")
    page = client.get(address).content.decode()
    assert 'value="D-02:4"' in page
    assert "(not joined by the book)" in page
    join_wire(interconnect=other, done_by=tester, second_person=second_tester, entered_by=tester)
    page = client.get(address).content.decode()
    assert 'value="D-02:4"' not in page
    assert "(not joined by the book)" not in page


def test_correcting_fills_in_the_earlier_record(address, client, link, form, tester, second_tester):
    wrong = recorded(
        link,
        tester,
        second_tester,
        EndFigures("load", "found", capture=capture(), name="first.csv"),
        EndFigures("load", "left", {"amplitude": 31.0, "rise_time": 3.5e-7}),
        remarks="Loft was cold.",
    )
    at = f"{address}?replaces={wrong.pk}"
    page = client.get(at).content.decode()
    assert "first.csv is kept here until you send the form again." in page
    assert 'name="load-left-amplitude" value="31"' in page
    assert 'name="load-left-rise_time" value="350"' in page
    assert "Loft was cold." in page
    held = page.split('name="load-found-held" value="')[1].split('"')[0]
    sent = form() | {"load-found-held": held}
    refused = client.post(at, sent)
    assert refused.status_code == 422
    assert "A correction says why the earlier record was wrong." in refused.content.decode()
    client.post(at, form() | {"load-found-held": held, "replaces_why": "31 V was a slip of the pen."})
    right = SignalCheck.objects.in_force().get()
    assert (right.replaces, right.result) == (wrong, "passed")
    old, new = (client.get(check.get_absolute_url()).content.decode() for check in (wrong, right))
    assert "This record was wrong and is replaced by" in old
    assert "31 V was a slip of the pen." in old
    assert "Correct this record" not in old
    assert "This takes the place of" in new
