"""A capture of more samples than a screen has points: who zooms in sees them all."""

import numpy as np
import pytest

from restoration.kestrel.scope_files import write_scope_csv
from restoration.proving.services import EndFigures, record_signal_check
from tests.browser import DESK, Sight, arrive
from tests.factories import make_ready_link, make_signal

pytestmark = [pytest.mark.journey, pytest.mark.django_db(transaction=True)]

SAMPLES, INTERVAL_S = 40_000, 1e-9


def long_capture() -> bytes:
    """One pulse of 17 V, 2.4 microseconds long, in the midst of 40 microseconds."""
    times_s = INTERVAL_S * np.arange(SAMPLES)
    volts = np.where((times_s > 18e-6) & (times_s < 20.4e-6), 17.0, 0.0)
    return write_scope_csv("two rows", 0.0, INTERVAL_S, {"CH1": volts + 0.02 * np.sin(times_s * 3e7)})


def test_zooming_in_fetches_the_samples_between(browser, live_server, transactional_db, site_lead, tester):
    link = make_ready_link(signal=make_signal(amplitude=(15, None, 20)))
    found = EndFigures("load", "found", {}, long_capture(), "long.csv")
    check = record_signal_check(
        interconnect=link, ends=[found], loads_joined=True, done_by=tester, second_person=site_lead, entered_by=tester
    )
    visit = arrive(browser, live_server.url, Sight(DESK), tester)
    with visit.page.expect_response(lambda answer: "/trace/" in answer.url) as whole:
        visit.open(check.get_absolute_url())
    sent = whole.value.json()
    assert sent["thinned"] is True
    times = sent["traces"][0]["x"]
    assert len(times) < SAMPLES / 5
    visit.page.wait_for_selector("figure.is-live")
    with visit.page.expect_response(lambda answer: "start_s=" in answer.url) as finer:
        for _ in range(6):
            visit.press("Nearer")
    stretch = finer.value.json()["traces"][0]["x"]
    assert stretch[0] > times[0]
    assert stretch[-1] < times[-1]
    assert stretch[1] - stretch[0] == pytest.approx(INTERVAL_S), "every sample is there"
    visit.page.wait_for_timeout(300)
    assert visit.complaints == []
