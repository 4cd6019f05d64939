"""Pages of a builder and of the site, by who may open them and what they answer."""

import io
import re
import uuid

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from PIL import Image

from restoration.logbook.models import Entry
from restoration.people.models import Person
from restoration.people.roles import Role
from restoration.workshop.models import Photo, Step, StepKind
from restoration.workshop.order import stage_of
from restoration.workshop.services import allot, take_step
from tests.conftest import make_person
from tests.factories import make_chassis, make_design
from tests.reading import words

K = StepKind
WAY = [K.IN_HAND, K.BUILT, K.HANDED_OVER, K.RECEIVED]


@pytest.fixture
def chassis(site_lead, builder):
    row = make_chassis("SR-14")
    allot(chassis=row, builder=builder, by=site_lead)
    row.refresh_from_db()
    return row


def bring_to(chassis, builder, stage):
    for kind in WAY[: WAY.index(stage) + 1]:
        take_step(chassis=chassis, kind=kind, done_by=builder, entered_by=builder)


def page(name, *args):
    return reverse(f"workshop:{name}", args=args)


def large_actions(answer) -> list[str]:
    return re.findall(r'class="do"[^>]*>([^<]+)<', answer.content.decode())


def photograph(name="IMG_1.jpg", exif=None):
    out = io.BytesIO()
    Image.new("RGB", (640, 480), (20, 90, 160)).save(out, "JPEG", **({"exif": exif} if exif else {}))
    return SimpleUploadedFile(name, out.getvalue(), content_type="image/jpeg")


# --- my chassis ---


def test_my_chassis_shows_where_each_stands_and_what_comes_next(chassis, builder, as_person):
    answer = as_person(builder).get(page("chassis-mine"))
    assert answer.status_code == 200
    said = words(answer)
    assert "One chassis waits for you." in said
    assert "issue D, your print is current" in said
    assert "Go on with SR-14" in said
    assert "Do not power this at home." in said


def test_my_chassis_shows_only_mine(chassis, as_person, tester):
    assert "No chassis is allotted to you." in words(as_person(tester).get(page("chassis-mine")))


def test_a_print_that_is_not_current_is_said(chassis, builder, as_person):
    make_design("KS-207", issue="E")
    said = words(as_person(builder).get(page("chassis-mine")))
    assert "you build to D; E is current" in said
    assert "Ask the drawings keeper before you go on." in said
    assert "Your print is not the current issue." in words(as_person(builder).get(page("chassis-work", "SR-14")))


def test_my_chassis_needs_the_same_number_of_queries_for_few_and_many(site_lead, builder, as_person, count_queries):
    client = as_person(builder)

    def grow(numbers):
        for number in numbers:
            row = make_chassis(f"SR-{number}")
            allot(chassis=row, builder=builder, by=site_lead)
            take_step(chassis=row, kind=K.NOTE, done_by=builder, entered_by=builder, text="A note")

    grow(range(2))
    few = count_queries(lambda: client.get(page("chassis-mine")))
    grow(range(2, 14))
    assert count_queries(lambda: client.get(page("chassis-mine"))) == few


@pytest.fixture
def count_queries(django_assert_max_num_queries):
    def count(ask) -> int:
        with django_assert_max_num_queries(60) as seen:
            assert ask().status_code == 200
        return len(seen)

    return count


# --- the page of one chassis ---


@pytest.mark.parametrize(
    ("stage", "action"),
    [
        (None, "I take it in hand"),
        (K.IN_HAND, "It is built"),
        (K.BUILT, "Hand it over"),
    ],
)
def test_one_large_action_for_the_next_step(chassis, builder, as_person, stage, action):
    if stage:
        bring_to(chassis, builder, stage)
    answer = as_person(builder).get(page("chassis-work", "SR-14"))
    assert large_actions(answer) == [action]
    assert "Do not power this at home." in words(answer)


def test_a_stuck_builder_is_offered_to_get_on(chassis, builder, as_person):
    take_step(chassis=chassis, kind=K.STUCK, done_by=builder, entered_by=builder, text="No B9A holders")
    answer = as_person(builder).get(page("chassis-work", "SR-14"))
    assert large_actions(answer) == ["I am getting on again"]
    assert "Stuck: No B9A holders" in words(answer)


@pytest.mark.parametrize("stage", [K.HANDED_OVER, K.RECEIVED])
def test_nothing_more_is_asked_of_the_builder_after_hand_over(chassis, builder, as_person, stage):
    bring_to(chassis, builder, stage)
    answer = as_person(builder).get(page("chassis-work", "SR-14"))
    assert large_actions(answer) == []
    assert "Nothing more is asked of the builder." in words(answer)


def test_others_read_it_but_find_no_action(chassis, as_person, tester):
    answer = as_person(tester).get(page("chassis-work", "SR-14"))
    assert answer.status_code == 200
    assert "I take it in hand" not in words(answer)
    assert "It waits for Pilar Ortuno." in words(answer)


def test_what_happened_is_read_from_today_backwards(chassis, site_lead, builder, as_person):
    take_step(chassis=chassis, kind=K.IN_HAND, done_by=builder, entered_by=site_lead)
    said = words(as_person(builder).get(page("chassis-work", "SR-14")))
    assert said.index("In hand , Pilar Ortuno") < said.index("Allotted , Ama Boateng")
    assert "(entered by Ama Boateng)" in said


def test_a_code_with_any_sign_has_a_page(site_lead, builder, as_person):
    row = make_chassis("SR/14 #2~Ω")
    allot(chassis=row, builder=builder, by=site_lead)
    assert as_person(builder).get(page("chassis-work", row.serial)).status_code == 200


def test_a_chassis_that_is_not_there_is_not_found(builder, as_person):
    assert as_person(builder).get(page("chassis-work", "SR-99")).status_code == 404


# --- steps ---


def test_one_press_takes_it_in_hand(chassis, builder, as_person):
    client = as_person(builder)
    token = re.search(r'name="form_token" value="([^"]+)"', client.get(page("chassis-work", "SR-14")).content.decode())[
        1
    ]
    answer = client.post(page("step-add", "SR-14", "in hand"), {"form_token": token}, follow=True)
    assert answer.redirect_chain == [(page("chassis-work", "SR-14"), 302)]
    assert "Chassis SR-14 is in hand." in words(answer)
    step = Step.objects.get(kind=K.IN_HAND)
    assert (step.done_by, step.entered_by) == (builder, builder)


def test_the_same_post_twice_is_stored_once(chassis, builder, as_person):
    client, sent = as_person(builder), {"form_token": uuid.uuid4(), "text": "Valve holders are in."}
    for _ in range(2):
        answer = client.post(page("step-add", "SR-14", "note"), sent)
        assert answer.status_code == 302
    assert Step.objects.filter(kind=K.NOTE).count() == 1
    assert Entry.objects.filter(act="chassis note").count() == 1


def test_a_refused_step_answers_422_and_keeps_the_words(chassis, builder, as_person):
    sent = {"text": "All of it is done."}
    answer = as_person(builder).post(page("step-add", "SR-14", "built"), sent)
    assert answer.status_code == 422
    assert "Chassis SR-14 is allotted but not yet in hand, so it cannot be called built." in words(answer)
    assert "All of it is done." in answer.content.decode()


def test_the_form_of_a_step_out_of_order_says_so_at_once(chassis, builder, as_person):
    answer = as_person(builder).get(page("step-add", "SR-14", "built"))
    assert answer.status_code == 200
    assert "so it cannot be called built." in words(answer)
    assert '<form method="post" class="form"' not in answer.content.decode()


def test_an_htmx_post_is_answered_like_a_plain_one(chassis, builder, as_person):
    answer = as_person(builder).post(page("step-add", "SR-14", "note"), {"text": ""}, HTTP_HX_REQUEST="true")
    assert answer.status_code == 422
    assert "HX-Request" in answer["Vary"]
    assert "This field is required." in words(answer)


def test_the_site_lead_enters_for_one_who_never_signs_in(site_lead, never_signs_in, as_person):
    row = make_chassis("SR-20")
    allot(chassis=row, builder=never_signs_in, by=site_lead)
    answer = as_person(site_lead).post(page("step-add", "SR-20", "in hand"), {"done_by": never_signs_in.pk})
    assert answer.status_code == 302
    step = Step.objects.get(kind=K.IN_HAND)
    assert (step.done_by, step.entered_by) == (never_signs_in, site_lead)


def test_nobody_moves_anothers_chassis(chassis, as_person, builder, tester):
    other = make_person("Dafydd Rees", Role.BUILDER)
    for person, sentence in ((other, "To move a chassis on"), (tester, "To move a chassis on")):
        answer = as_person(person).post(page("step-add", "SR-14", "in hand"), {})
        assert answer.status_code == 403
        assert sentence in words(answer)
    assert not Step.objects.filter(kind=K.IN_HAND).exists()


@pytest.mark.parametrize("kind", ["allotted", "received", "handed over", "sent back", "painted"])
def test_only_the_builders_own_steps_have_that_page(chassis, site_lead, as_person, kind):
    assert as_person(site_lead).get(page("step-add", "SR-14", kind)).status_code == 404


def test_handing_over_tells_what_goes_with_it(chassis, builder, as_person):
    bring_to(chassis, builder, K.BUILT)
    client = as_person(builder)
    assert "your print is current" in words(client.get(page("hand-over", "SR-14")))
    sent = {"readings": "HT to chassis 2M2", "snags": "Tag 4 is tight", "spare_parts": "two knobs"}
    assert client.post(page("hand-over", "SR-14"), sent).status_code == 302
    said = words(client.get(page("chassis-work", "SR-14")))
    assert "Readings: HT to chassis 2M2 Snags: Tag 4 is tight Spare parts: two knobs" in said


def test_handing_over_what_is_not_built_is_refused(chassis, builder, as_person):
    answer = as_person(builder).post(page("hand-over", "SR-14"), {})
    assert answer.status_code == 422
    assert "so it cannot be handed over." in words(answer)


def test_the_site_sends_back_what_is_not_right(chassis, builder, tester, as_person):
    bring_to(chassis, builder, K.RECEIVED)
    client = as_person(tester)
    assert client.post(page("send-back", "SR-14"), {"text": ""}).status_code == 422
    assert client.post(page("send-back", "SR-14"), {"text": "A dry joint at tag 4"}).status_code == 302
    assert stage_of(Step.objects.of(chassis)) == K.SENT_BACK
    assert "I take it in hand again" in words(as_person(builder).get(page("chassis-work", "SR-14")))
    assert as_person(builder).get(page("send-back", "SR-14")).status_code == 403


# --- allotting ---


def test_the_site_lead_allots(site_lead, builder, never_signs_in, storekeeper, as_person):
    make_chassis("SR-21")
    client = as_person(site_lead)
    said = client.get(page("chassis-allot", "SR-21")).content.decode()
    assert "Wilf Sandle" in said
    assert "Nell Farrow" not in said
    sent = {"builder": builder.pk, "text": "Valves follow."}
    assert client.post(page("chassis-allot", "SR-21"), sent).status_code == 302
    assert Step.objects.get().text == "Valves follow."


def test_a_builder_who_was_not_offered_is_refused(site_lead, storekeeper, as_person):
    make_chassis("SR-21")
    answer = as_person(site_lead).post(page("chassis-allot", "SR-21"), {"builder": storekeeper.pk})
    assert answer.status_code == 422
    assert not Step.objects.exists()


def test_only_the_site_lead_allots(chassis, builder, tester, coordinator, as_person):
    for person in (builder, tester, coordinator):
        assert as_person(person).get(page("chassis-allot", "SR-14")).status_code == 403


# --- photographs ---


def test_a_photograph_comes_from_the_camera_or_from_what_is_there(chassis, builder, as_person):
    client = as_person(builder)
    answer = client.get(page("photo-add", "SR-14"))
    assert answer.status_code == 200
    form = answer.content.decode()
    assert 'accept="image/*" capture="environment"' in form
    assert 'enctype="multipart/form-data"' in form
    sent = {"taken": photograph(), "chosen": photograph("IMG_2.jpg"), "caption": "Underside"}
    assert client.post(page("photo-add", "SR-14"), sent).status_code == 302
    assert Photo.objects.count() == 2
    assert client.get(page("chassis-work", "SR-14")).content.decode().count('alt="Underside"') == 2


def test_what_is_served_is_a_picture_and_nothing_else(chassis, builder, tester, as_person):
    exif = Image.Exif()
    exif[0x010F] = "Harbour Optical"
    exif.get_ifd(0x8825).update({1: "N", 2: (51.0, 30.0, 0.0)})
    as_person(builder).post(page("photo-add", "SR-14"), {"taken": photograph(exif=exif)})
    photo = Photo.objects.get()
    for name, size in (("photo-image", (640, 480)), ("photo-small", (480, 360))):
        answer = as_person(tester).get(page(name, photo.pk))
        content = b"".join(answer.streaming_content)
        assert answer["Content-Type"] == "image/jpeg"
        assert answer["X-Content-Type-Options"] == "nosniff"
        assert "private" in answer["Cache-Control"]
        assert b"Exif" not in content
        assert b"Harbour" not in content
        assert Image.open(io.BytesIO(content)).size == size


def test_a_visitor_sees_no_photograph(chassis, builder, as_person):
    as_person(builder).post(page("photo-add", "SR-14"), {"taken": photograph()})
    for name in ("photo-image", "photo-small"):
        answer = Client().get(page(name, Photo.objects.get().pk))
        assert answer.status_code == 302
        assert answer["Location"].startswith(reverse("account_login"))


def test_a_photograph_whose_file_is_gone_is_not_found(chassis, builder, as_person):
    client = as_person(builder)
    client.post(page("photo-add", "SR-14"), {"taken": photograph()})
    photo = Photo.objects.get()
    photo.image.storage.delete(photo.image.name)
    assert client.get(page("photo-image", photo.pk)).status_code == 404


@pytest.mark.parametrize(
    ("sent", "sentence"),
    [
        ({}, "There is no photograph yet: take one, or choose one."),
        ({"taken": SimpleUploadedFile("a.jpg", b"<html>")}, "This looks like a web page, not a photograph."),
        ({"chosen": SimpleUploadedFile("a.jpg", b"")}, "The file is empty"),
    ],
)
def test_a_photograph_that_is_none_is_refused_beside_its_field(chassis, builder, as_person, sent, sentence):
    answer = as_person(builder).post(page("photo-add", "SR-14"), sent)
    assert answer.status_code == 422
    assert sentence in words(answer)
    assert not Photo.objects.exists()


def test_the_same_photograph_sent_twice_is_kept_once(chassis, builder, as_person):
    client, token = as_person(builder), uuid.uuid4()
    for _ in range(2):
        client.post(page("photo-add", "SR-14"), {"taken": photograph(), "form_token": token})
    assert Photo.objects.count() == 1


# --- who may open what ---


@pytest.mark.parametrize(
    "name", ["chassis-mine", "chassis-work", "chassis-allot", "step-add", "photo-add", "hand-over", "send-back"]
)
def test_a_visitor_is_sent_to_sign_in(chassis, name):
    args = [] if name == "chassis-mine" else ["SR-14", "note"] if name == "step-add" else ["SR-14"]
    answer = Client().get(page(name, *args))
    assert answer.status_code == 302
    assert answer["Location"].startswith(reverse("account_login"))


def test_one_without_a_role_sees_nothing(chassis, as_person):
    nobody = Person.objects.create(display_name="New Here", email="new@kestrelsands.example")
    assert as_person(nobody).get(page("chassis-mine")).status_code == 403


# --- on the machine's page of a chassis ---


def test_the_page_of_a_chassis_shows_its_way_and_what_one_may_do(chassis, site_lead, builder, tester, as_person):
    seen = {person: words(as_person(person).get(chassis.get_absolute_url())) for person in (site_lead, builder, tester)}
    assert all("allotted , since" in said for said in seen.values())
    assert "Allot it to another" in seen[site_lead]
    assert "Go on with it" in seen[builder]
    assert "Allot it" not in seen[tester]
    assert "Go on with it" not in seen[tester]
