"""Hum in a stored capture: the way to it from a signal check, what is found, and captures that cannot be worked."""

import html
import re

import numpy as np
import pytest
from django.urls import reverse

from restoration.proving.models import Joining
from restoration.proving.services import EndFigures, record_signal_check
from restoration.sums.catalogue import sums
from restoration.sums.working import Worked, work
from tests.architecture.small_machine import a_pulse
from tests.factories import make_link, make_signal
from tests.reading import words

pytestmark = pytest.mark.django_db


def pulses_with_hum(hum_v: float = 1.5) -> bytes:
    """Pulses of 17 V, 530 a second, on a mains of 50 Hz with its second harmonic: 4,000 samples in 0.2 s."""
    times_s = np.arange(4000) * 5e-5
    levels_v = np.where((times_s * 530) % 1 < 0.25, 17.0, 0.0) + hum_v * np.sin(2 * np.pi * 100 * times_s)
    rows = [f"{time:.7e},{level:.6f}" for time, level in zip(times_s, levels_v, strict=True)]
    return "\n".join(["time (s),level (V)", *rows, ""]).encode()


@pytest.fixture
def stored(tester, second_tester):
    """Store a capture of a link's load end and return it."""

    def store(capture: bytes):
        link = make_link(signal=make_signal(amplitude=(15, None, 20)))
        heading = {"done_by": tester, "second_person": second_tester, "entered_by": tester}
        Joining.objects.create(interconnect=link, **heading)
        figures = EndFigures(end="load", stage="found", capture=capture, name="capture.csv")
        check = record_signal_check(interconnect=link, ends=[figures], **heading)
        return check.captures.get()

    return store


def ask(**given: str) -> Worked:
    one = sums()["ripple"]
    return work(one, {"own_hz": "", "mains_hz": "50", **given})


def test_the_page_of_a_check_leads_to_the_hum_in_its_capture(stored, as_person, tester):
    capture = stored(pulses_with_hum())
    client = as_person(tester)
    page = client.get(reverse("proving:signal-check-detail", args=[capture.check_made_id])).content.decode()
    (address,) = re.findall(r'<a href="([^"]*)">Hum in it</a>', page)
    text = words(client.get(html.unescape(address)))
    assert f"Capture {capture.pk}, capture.csv, of link {capture.check_made.interconnect.code}" in text
    assert "mains × 2 (" in text


def test_hum_and_own_rate_are_told_with_the_rate_taken_from_the_capture(stored):
    found = ask(capture=str(stored(pulses_with_hum()).pk))
    assert found.answer, found.sentences
    results = {result.key: result.value for result in found.answer.results}
    assert results["mains_rms_v"] == pytest.approx(1.5 / np.sqrt(2), rel=0.05)
    assert results["own_hz"] == pytest.approx(530.0, rel=1e-3)
    assert results["own_rms_v"] > 5
    assert results["cause"] == "mostly own-rate ripple"


def test_without_hum_there_is_next_to_none(stored):
    """Half a per cent of the pulses: their harmonics beyond the twentieth fold down onto everything."""
    found = ask(capture=str(stored(pulses_with_hum(0.0)).pk))
    results = {result.key: result.value for result in found.answer.results}
    assert results["mains_rms_v"] < 0.005 * 17


def test_one_pulse_says_no_rate_of_its_own(stored):
    found = ask(capture=str(stored(a_pulse()).pk))
    assert found.wrong == {
        "own_hz": "“Repetition rate of the machine” has to be said: this capture shows no repetition of its own."
    }


def test_a_short_record_tells_nothing_of_the_mains(stored):
    found = ask(capture=str(stored(a_pulse()).pk), own_hz="100 kHz")
    assert found.answer, found.sentences
    assert "hum cannot be told in so short a record" in found.answer.sentence
    assert found.answer.results[1].value is None


def test_a_capture_that_is_not_there():
    assert ask(capture="999").wrong == {
        "capture": "“Number of the capture” 999 is not there; a signal check's page leads here with the number."
    }


def test_the_command_works_it_too(stored, run_command):
    status, out, _ = run_command("sum", "ripple", f"capture={stored(pulses_with_hum()).pk}", "mains_hz=50")
    assert status == 0
    assert "mains × 2 (" in out
