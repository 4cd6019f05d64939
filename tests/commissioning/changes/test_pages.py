"""The short forms as people send them: chosen, refused, sent twice, sent by two."""

import pytest
from django.urls import reverse

from restoration.commissioning.changing.short_forms import BY_SLUG
from restoration.commissioning.models import Change
from restoration.commissioning.services import swap_chassis
from restoration.engineering.doubt import Kind
from tests.commissioning.changes.small import DOUBTS, asked_of, sent
from tests.commissioning.records import make_fit
from tests.factories import make_chassis
from tests.reading import words

pytestmark = pytest.mark.django_db

# The words of the address, and what the browser sends besides why, who and when.
SENDINGS = {
    "like-valve": ({"slot": "C-07"}, {"part": "V3"}),
    "like-part": ({"slot": "C-07"}, {"part": "R12"}),
    "other-part": ({"slot": "C-07"}, {"part": "R12", "was": "4.7 kΩ", "now": "3.9 kΩ"}),
    "remade": ({"link": "102"}, {"now": ""}),
    "load": ({"link": "102"}, {"part": "a dummy load of 10 kΩ", "now": "added"}),
    "conditioned": ({"link": "102"}, {"part": "terminator", "was": "1 kΩ", "now": "680 Ω"}),
    "rail": ({"rail": "HT-2"}, {"part": "setting", "was": "300 V", "now": "310 V"}),
    "earth": ({"earth": "E-1"}, {"part": "bond at rack C made again"}),
    "drawing-as-built": ({"design": "KS-207"}, {"letter": "E", "issued_on": ""}),
    "drawing-function": ({"design": "KS-207"}, {"letter": "E", "issued_on": ""}),
    "instrument": ({"instrument": "OSC-1"}, {"since": "2026-05-01"}),
    "rest": ({"rack": "C"}, {"since": "2026-05-01", "racks": ["C"]}),
    "knock": ({"slot": "C-07"}, {"now": "knocked"}),
    "swapped": (
        {"slot": "C-07"},
        {"chassis": "CG-12", "slot_label_read": "C-07", "chassis_label_read": "CG-12"},
    ),
}


def address_of(slug, **asked):
    asked = "&".join(f"{name}={value}" for name, value in asked.items())
    return reverse("commissioning:change-form", args=[slug]) + (f"?{asked}" if asked else "")


@pytest.mark.parametrize("slug", BY_SLUG)
def test_each_short_form_is_shown_and_stored(slug, small, site_lead, tester, as_person):
    browser, (asked, given) = as_person(site_lead), SENDINGS[slug]
    address = address_of(slug, **asked)
    page = words(browser.get(address))
    assert "Before you do this: see all that it will put in doubt" in page
    if "stage" in BY_SLUG[slug].names:
        given = {**given, "stage": small.carry.pk}
    answer = browser.post(address, sent(site_lead, tester, **given))
    assert answer.status_code == 302, words(answer)
    change = Change.objects.get()
    assert answer.url == change.get_absolute_url()
    assert asked_of(change) == DOUBTS[BY_SLUG[slug].kind]
    detail = browser.get(change.get_absolute_url())
    assert f"Recorded as change {change.pk}: {change.what}; " in words(detail)


def test_every_kind_has_its_short_form():
    assert set(SENDINGS) == set(BY_SLUG)


def test_sent_twice_is_stored_once(small, tester, as_person):
    browser, address = as_person(tester), address_of("knock", slot="C-07")
    given = sent(tester, now="knocked")
    assert browser.post(address, given).url == browser.post(address, given).url
    assert Change.objects.count() == 1


def test_without_a_subject_it_is_asked_for_first(small, tester, as_person):
    browser = as_person(tester)
    page = browser.get(address_of("like-valve"))
    assert page.status_code == 200
    assert "Say first what it is about." in words(page)
    wrong = browser.get(address_of("like-valve", slot="C-99"))
    assert wrong.status_code == 422
    assert "There is no slot “C-99”; give the code as it is painted." in words(wrong)
    nothing = browser.post(address_of("knock"), sent(tester, now="knocked"))
    assert nothing.status_code == 422
    assert "Say first what it is about: racks or slot." in words(nothing)


def test_what_is_missing_is_said_and_kept(small, tester, as_person):
    answer = as_person(tester).post(address_of("other-part", slot="C-07"), sent(tester, part="R12", why=""))
    assert answer.status_code == 422
    page = words(answer)
    assert "A change says why it was made, in a few words." in page
    assert "Say what it is now: its value or type." in page
    assert 'value="R12"' in answer.content.decode()
    assert not Change.objects.exists()


def test_the_services_refusal_stands_on_the_form(small, tester, second_tester, as_person):
    given = sent(tester, second_tester, chassis="CG-12", slot_label_read="C-70", chassis_label_read="CG-12")
    answer = as_person(tester).post(address_of("swapped", slot="C-07"), given)
    assert answer.status_code == 422
    assert "The label on the slot reads “C-70”, but this is slot C-07. Go to the right slot." in words(answer)


def test_a_swap_is_seen_by_a_second_person(small, tester, as_person):
    given = sent(tester, chassis="CG-12", slot_label_read="C-07", chassis_label_read="CG-12")
    answer = as_person(tester).post(address_of("swapped", slot="C-07"), given)
    assert answer.status_code == 422
    assert "A fitting is seen by a second person; say who." in words(answer)


def test_who_may_not_is_told_whom_to_ask(small, builder, power_person, tester, as_person):
    assert as_person(builder).get(address_of("knock", slot="C-07")).status_code == 403
    refusal = as_person(power_person).get(address_of("swapped", slot="C-07"))
    assert refusal.status_code == 403
    assert "To fit a chassis into its slot or withdraw it is not among the things you may do here." in words(refusal)
    assert as_person(power_person).get(address_of("remade", link="102")).status_code == 403
    assert as_person(tester).get(address_of("drawing-function", design="KS-207")).status_code == 403
    assert as_person(power_person).get(address_of("rail", rail="HT-2")).status_code == 200


def test_one_corrects_what_one_may_record(small, drawings_keeper, tester, as_person):
    keeper = as_person(drawings_keeper)
    keeper.post(address_of("drawing-function", design="KS-207"), sent(drawings_keeper, letter="E", issued_on=""))
    change = Change.objects.get()
    assert "It did not happen" in words(keeper.get(change.get_absolute_url()))
    browser = as_person(tester)
    assert "It did not happen" not in words(browser.get(change.get_absolute_url()))
    assert browser.get(address_of("knock", slot="C-07", replaces=change.pk)).status_code == 403
    assert browser.get(reverse("commissioning:change-take-back", args=[change.pk])).status_code == 403


@pytest.mark.parametrize("slug", ["fault", "signal", "SWAPPED"])
def test_there_are_just_these_kinds(slug, small, tester, as_person):
    assert as_person(tester).get(address_of(slug)).status_code == 404


def test_what_is_corrected_must_be_there(small, tester, as_person):
    browser = as_person(tester)
    assert browser.get(address_of("knock", slot="C-07", replaces="99")).status_code == 404
    assert browser.get(address_of("knock", slot="C-07", replaces="abc")).status_code == 404
    assert browser.get(reverse("commissioning:change-detail", args=[99])).status_code == 404


def test_a_slot_that_changed_meanwhile_is_no_second_swap(small, people, tester, second_tester, as_person):
    browser, address = as_person(tester), address_of("swapped", slot="C-07")
    form = browser.get(address).context["form"]
    third = make_chassis("CG-13", design=small.adder)
    make_fit(third)
    labels = {"slot_label_read": "C-07", "chassis_label_read": "CG-12"}
    swap_chassis(slot=small.slot, chassis=small.spare, **labels, **people)
    given = sent(
        tester,
        second_tester,
        chassis="CG-13",
        slot_label_read="C-07",
        chassis_label_read="CG-13",
        seen=form["seen"].value(),
    )
    answer = browser.post(address, given)
    assert answer.status_code == 409
    assert "Slot C-07 holds chassis CG-12 now: someone was there while you were writing." in words(answer)
    assert Change.objects.count() == 1
    again = {**given, "seen": answer.context["form"]["seen"].value()}
    assert browser.post(address, again).status_code == 302
    assert Change.objects.latest("pk").what == "chassis CG-12 swapped for CG-13 in slot C-07"


def test_a_correction_starts_from_the_earlier_words(small, tester, as_person):
    browser, address = as_person(tester), address_of("other-part", slot="C-07")
    browser.post(address, sent(tester, part="R12", was="4.7 kΩ", now="3.9 kΩ"))
    change = Change.objects.get()
    detail = browser.get(change.get_absolute_url()).content.decode()
    assert f"?replaces={change.pk}&amp;slot=C-07" in detail
    corrected = address_of("other-part", slot="C-07", replaces=change.pk)
    page = browser.get(corrected)
    assert f"This takes the place of change {change.pk}" in words(page)
    assert page.context["form"]["now"].value() == "3.9 kΩ"
    given = sent(tester, part="R12", was="4.7 kΩ", now="3.3 kΩ", replaces_why="Read the bands wrongly.")
    assert browser.post(corrected, given).status_code == 302
    assert f"It counts no more: change {Change.objects.latest('pk').pk} took its place." in words(
        browser.get(change.get_absolute_url())
    )


def test_what_did_not_happen_is_taken_back_on_its_page(small, tester, as_person):
    browser = as_person(tester)
    browser.post(address_of("knock", slot="C-07"), sent(tester, now="knocked"))
    change = Change.objects.get()
    address = reverse("commissioning:change-take-back", args=[change.pk])
    assert "For a change that was entered and did not happen: slot C-07 knocked." in words(browser.get(address))
    assert browser.post(address, sent(tester, why="")).status_code == 422
    assert browser.post(address, sent(tester, why="The rack beside it.")).status_code == 302
    again = browser.post(address, sent(tester, why="The rack beside it."))
    assert again.status_code == 422
    assert "was corrected already" in words(again)


def test_kinds_are_offered_by_what_a_page_names_and_what_one_may(small, tester, power_person, as_person):
    address = reverse("commissioning:change-new")
    here = as_person(tester).get(address, {"slot": "C-07"}).context["here"]
    assert [short.slug for short in here] == ["swapped", "like-valve", "like-part", "other-part", "knock"]
    others = as_person(power_person).get(address).context["others"]
    assert {short.kind for short in others} == set(DOUBTS) - {
        Kind.SWAPPED,
        Kind.REMADE,
        Kind.DRAWING_AS_BUILT,
        Kind.DRAWING_FUNCTION,
    }


@pytest.mark.parametrize(
    ("slug", "asked", "sentence"),
    [
        ("like-valve", {"slot": "C\0"}, "Null characters are not allowed."),
        ("other-part", {"chassis": "\0"}, "Null characters are not allowed."),
        ("rail", {"rail": "\0"}, "Select a valid choice."),
        ("earth", {"earth": "\0"}, "Select a valid choice."),
        ("instrument", {"instrument": "\0", "since": "2026-05-01"}, "Select a valid choice."),
        ("knock", {"rack": ["C", "\0"]}, "is not one of the available choices."),
    ],
)
def test_an_address_that_holds_no_text_names_nothing(slug, asked, sentence, small, site_lead, as_person):
    for page in ("change-before", "change-form"):
        answer = as_person(site_lead).get(reverse(f"commissioning:{page}", args=[slug]), asked)
        assert answer.status_code == 422
        assert sentence in words(answer)
