import json
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone
from django.utils.timezone import localtime

from restoration.people.models import Person
from restoration.proving.services import EndFigures, give_concession
from tests.counting import queries_of
from tests.factories import make_ready_link, make_signal
from tests.proving.scope import capture
from tests.proving.test_signal_checks import GOOD, LIMITS
from tests.proving.visits import recorded


@pytest.fixture
def link(db):
    return make_ready_link(signal=make_signal(**LIMITS))


@pytest.fixture
def client(as_person, tester):
    return as_person(tester)


def test_a_concession_is_shown(client, link, tester, second_tester, site_lead):
    check = recorded(link, tester, second_tester, EndFigures("load", "found", GOOD | {"amplitude": 31.0}))
    give_concession(record=check, reason="The register takes up to 40 V.", by=site_lead)
    page = client.get(check.get_absolute_url()).content.decode()
    assert "Accepted on concession by Ama Boateng" in page
    assert "The register takes up to 40 V." in page


def test_whoever_reads_records_may_read_a_check(client, link, tester, second_tester, as_person, builder, db):
    check = recorded(link, tester, second_tester, EndFigures("load", "found", capture=capture(), name="a.csv"))
    kept = check.captures.get()
    pages = [
        check.get_absolute_url(),
        reverse("proving:capture-original", args=[kept.pk]),
        reverse("proving:capture-trace", args=[kept.pk]),
    ]
    nobody = Person.objects.create(display_name="A visitor", email="visitor@kestrelsands.example")
    for page in pages:
        answer = as_person(builder).get(page)
        assert answer.status_code == 200
        assert b"".join(answer)  # read to its end, which closes the file
        assert as_person(nobody).get(page).status_code == 403
    assert "Correct this record" not in as_person(builder).get(pages[0]).content.decode()
    for name in ("signal-check-detail", "capture-original", "capture-trace"):
        assert client.get(reverse(f"proving:{name}", args=[999999])).status_code == 404


def test_a_lost_original_answers_404(client, link, tester, second_tester, settings):
    check = recorded(link, tester, second_tester, EndFigures("load", "found", capture=capture(), name="a.csv"))
    kept = check.captures.get()
    kept.original.storage.delete(kept.original.name)
    assert client.get(reverse("proving:capture-original", args=[kept.pk])).status_code == 404
    assert client.get(check.get_absolute_url()).status_code == 200


def test_the_samples_are_given_for_the_plot_that_zooms(client, link, tester, second_tester):
    before = timezone.now() - timedelta(days=3)
    found = EndFigures("load", "found", capture=capture(amplitude_v=31.0), name="a.csv")
    recorded(link, tester, second_tester, found, at=before)
    check = recorded(link, tester, second_tester, found, EndFigures("load", "left", capture=capture(), name="b.csv"))
    at = reverse("proving:capture-trace", args=[check.captures.last().pk])
    data = json.loads(client.get(at).content)
    assert [trace["kind"] for trace in data["traces"]] == ["earlier", "found", "left"]
    assert (data["x"], data["y"]) == ({"name": "time", "unit": "s"}, {"name": "level", "unit": "V"})
    band = data["bands"][0]
    assert (band["label"], round(band["low"]), round(band["high"])) == ("limit, 15 to 20 V", 15, 20)
    left = data["traces"][-1]
    assert max(left["y"]) == pytest.approx(18.0, abs=0.2)
    assert left["x"] == sorted(left["x"])
    assert len(left["x"]) == 2000
    part = json.loads(client.get(f"{at}?start_s=1e-6&stop_s=2e-6&points=50").content)["traces"][-1]
    assert 50 < len(part["x"]) <= 104
    assert part["x"][0] >= 1e-6 - 1e-8
    assert part["x"][-1] <= 2e-6 + 1e-8
    whole = json.loads(client.get(f"{at}?start_s=nan&stop_s=x&points=-4").content)["traces"][-1]
    assert whole["x"][0] == pytest.approx(-1e-6, abs=2e-7)
    backwards = client.get(f"{at}?start_s=2e-6&stop_s=1e-6")
    assert backwards.status_code == 422
    assert "runs from earlier to later" in backwards.content.decode()
    beyond = client.get(f"{at}?start_s=5")
    assert (beyond.status_code, "not from 5 to " in beyond.content.decode()) == (422, True)
    assert client.get(f"{at}?stop_s=1e308").status_code == 200


def test_earlier_checks_are_faint_behind_and_at_most_five(client, link, tester, second_tester):
    for days in range(8, 0, -1):
        end = EndFigures("load", "found", capture=capture(seed=days), name="a.csv")
        check = recorded(link, tester, second_tester, end, at=timezone.now() - timedelta(days=days))
    page = client.get(check.get_absolute_url()).content.decode()
    assert page.count('<polyline class="line earlier"') == 5
    assert "Faint behind: 5 earlier checks of this link." in page


def test_a_corrected_check_is_not_drawn_behind(client, link, tester, second_tester):
    end = EndFigures("load", "found", capture=capture(), name="a.csv")
    wrong = recorded(link, tester, second_tester, end, at=timezone.now() - timedelta(days=3))
    recorded(
        link, tester, second_tester, end, at=timezone.now() - timedelta(days=2), replaces=wrong, replaces_why="wrong"
    )
    check = recorded(link, tester, second_tester, end)
    page = client.get(check.get_absolute_url()).content.decode()
    assert page.count('<polyline class="line earlier"') == 1


def test_the_queries_of_the_page_do_not_grow_with_earlier_checks(client, link, tester, second_tester):
    def one(days):
        ends = [EndFigures(end, "found", capture=capture(seed=days), name="a.csv") for end in ("load", "source")]
        return recorded(link, tester, second_tester, *ends, at=timezone.now() - timedelta(days=days))

    one(20)
    few = queries_of(client, one(19).get_absolute_url())
    for days in range(18, 8, -1):
        many = one(days)
    assert queries_of(client, many.get_absolute_url()) == few


def traces_of(client, check):
    data = json.loads(client.get(reverse("proving:capture-trace", args=[check.captures.last().pk])).content)
    return [(trace["kind"], trace["name"]) for trace in data["traces"]]


def day_of(check):
    return f"{localtime(check.done_at):%-d %b}"


@pytest.mark.parametrize(("stage", "name"), [("left", "left"), ("found", "found now")])
def test_what_a_failed_check_found_is_named_beside_what_was_left(client, link, tester, second_tester, stage, name):
    tall = EndFigures("load", "found", capture=capture(amplitude_v=31.0), name="a.csv")
    older = recorded(link, tester, second_tester, tall, at=timezone.now() - timedelta(days=9))
    failed = recorded(link, tester, second_tester, tall, at=timezone.now() - timedelta(days=3))
    check = recorded(link, tester, second_tester, EndFigures("load", stage, capture=capture(), name="b.csv"))
    earlier = f"{localtime(older.done_at):%d %b %Y}"
    assert (failed.result, check.result) == ("failed", "passed")
    assert traces_of(client, check) == [("earlier", earlier), ("found", f"found, {day_of(failed)}"), ("left", name)]
    page = client.get(check.get_absolute_url()).content.decode()
    assert f"Found 31 V on {day_of(failed)}; {stage} 17.2 V." in page
    assert "Faint behind: 1 earlier check of this link." in page


def test_a_failed_check_stays_behind_one_that_fails_too_or_has_both_stages(client, link, tester, second_tester):
    tall = EndFigures("load", "found", capture=capture(amplitude_v=31.0), name="a.csv")
    recorded(link, tester, second_tester, tall, at=timezone.now() - timedelta(days=3))
    again = recorded(link, tester, second_tester, tall, at=timezone.now() - timedelta(days=2))
    assert [kind for kind, _ in traces_of(client, again)] == ["earlier", "found"]
    both = recorded(link, tester, second_tester, tall, EndFigures("load", "left", capture=capture(), name="b.csv"))
    assert [kind for kind, _ in traces_of(client, both)] == ["earlier", "earlier", "found", "left"]


def test_a_check_that_passed_before_stays_behind(client, link, tester, second_tester):
    end = EndFigures("load", "found", capture=capture(), name="a.csv")
    recorded(link, tester, second_tester, end, at=timezone.now() - timedelta(days=3))
    check = recorded(link, tester, second_tester, EndFigures("load", "left", capture=capture(), name="b.csv"))
    assert [kind for kind, _ in traces_of(client, check)] == ["earlier", "left"]
