import os
import time
from datetime import timedelta

import numpy as np
import pytest
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from hypothesis import given
from hypothesis import strategies as st

from restoration.engineering.captures import CaptureRefused, read_capture
from restoration.logbook.models import Entry
from restoration.proving import captures_store
from restoration.proving.captures_store import Original, forget_old, held, hold, plain_name, take_upload, trace_of
from restoration.proving.models import Capture, SignalCheck, SignalReading
from restoration.proving.services import EndFigures, record_signal_check
from tests.factories import make_ready_link, make_signal
from tests.proving.malformed import MALFORMED
from tests.proving.scope import capture
from tests.proving.test_signal_checks import LIMITS


def all_files(settings):
    return sorted(
        str(place.relative_to(settings.MEDIA_ROOT)) for place in settings.MEDIA_ROOT.rglob("*") if place.is_file()
    )


@pytest.fixture
def link(db):
    return make_ready_link(signal=make_signal(**LIMITS))


@pytest.fixture
def check(link, tester, second_tester):
    def make(data=None, **more):
        end = EndFigures("load", "found", capture=capture() if data is None else data, name="trace.csv")
        return record_signal_check(
            interconnect=link, ends=[end], done_by=tester, second_person=second_tester, entered_by=tester, **more
        )

    return make


def test_samples_come_back_as_they_were(check):
    kept = check().captures.get()
    trace = trace_of(kept)
    was = read_capture(capture()).channels[0]
    assert (trace.name, trace.start_s, trace.interval_s) == (was.name, was.start_s, was.interval_s)
    assert np.abs(trace.values - was.values).max() <= kept.packing["error_v"] + 1e-12
    assert kept.packing["error_v"] < 0.001
    assert len(bytes(kept.packed)) < len(capture()) / 10


def test_the_original_is_kept_byte_for_byte_under_its_content(check, settings):
    kept = check().captures.get()
    assert captures_store.original_of(kept) == Original("trace.csv", capture())
    assert all_files(settings) == [f"captures/{kept.sha256[:2]}/{kept.sha256}"]


def test_the_same_bytes_are_kept_once(check, settings):
    first, again = check().captures.get(), check().captures.get()
    assert first.original.name == again.original.name
    assert len(all_files(settings)) == 1


def test_a_name_keeps_nothing_that_leads_elsewhere():
    assert plain_name("../../etc/passwd") == "passwd"
    assert plain_name("C:\\scope\\a.csv") == "a.csv"
    assert plain_name('a"b\n\x00.csv') == "ab.csv"
    assert [plain_name(name) for name in ("", "/", "..\\", " . ")] == ["capture"] * 4
    assert len(plain_name("x" * 500 + ".csv")) == 200


@given(st.text(max_size=80))
def test_any_name_becomes_a_plain_one(name):
    plain = plain_name(name)
    assert plain
    assert not set(plain) & set('/\\"<>|:*?')
    assert plain.isprintable()


def test_an_upload_is_bounded(monkeypatch):
    monkeypatch.setattr(captures_store, "MOST_BYTES", 10)
    with pytest.raises(CaptureRefused) as refusal:
        take_upload(SimpleUploadedFile("a.csv", b"0" * 11))
    assert "Save a shorter record on the oscilloscope." in str(refusal.value)
    assert take_upload(SimpleUploadedFile("a.csv", b"0" * 10)).data == b"0" * 10


def test_samples_are_bounded(monkeypatch):
    monkeypatch.setattr(captures_store, "MOST_SAMPLES", 1000)
    with pytest.raises(CaptureRefused) as refusal:
        captures_store.read_original(Original("trace.csv", capture()))
    assert str(refusal.value).startswith("trace.csv: ")


def test_a_held_capture_comes_back_to_the_one_who_sent_it(tester, second_tester):
    token = hold(Original("a.csv", capture()), tester)
    assert held(token, tester) == Original("a.csv", capture())
    assert held(token, second_tester) is None
    assert held(token + "x", tester) is None
    assert held("", tester) is None


def test_what_was_held_for_a_day_is_forgotten(tester, settings):
    old = hold(Original("old.csv", b"0,1\n"), tester)
    place = next(settings.MEDIA_ROOT.rglob("held/*/*"))
    a_day_ago = time.time() - timedelta(hours=25).total_seconds()
    os.utime(place, (a_day_ago, a_day_ago))
    fresh = hold(Original("new.csv", b"0,2\n"), tester)
    assert held(old, tester) is None
    assert held(fresh, tester) is not None
    forget_old()
    assert len(all_files(settings)) == 1


def test_a_capture_is_not_lost_with_what_was_held(check, tester, settings):
    kept = check().captures.get()
    hold(Original("trace.csv", capture()), tester)
    for place in settings.MEDIA_ROOT.rglob("held/*/*"):
        os.utime(place, (0, 0))
    forget_old()
    assert default_storage.exists(kept.original.name)


def test_there_are_sixty_malformed_files():
    assert len(MALFORMED) >= 60


@pytest.mark.parametrize("name", sorted(MALFORMED))
def test_a_malformed_capture_is_refused_and_changes_nothing(name, link, as_person, tester, second_tester, settings):
    sent = {
        "done_by": tester.pk,
        "second_person": second_tester.pk,
        "loads": "all",
        "probe": "10",
        "load-found-capture": SimpleUploadedFile("trace.csv", MALFORMED[name]),
    }
    answer = as_person(tester).post(reverse("proving:signal-check-add", args=[link.code]), sent)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "Nothing was stored yet." in page
    assert "trace.csv: " in page
    counts = [model.objects.count() for model in (SignalCheck, SignalReading, Capture, Entry)]
    assert counts == [0, 0, 0, 0]
    assert all_files(settings) == []
