"""A builder at home moves a chassis on, and hands it over with a photograph."""

import io

import pytest
from PIL import Image
from playwright.sync_api import expect

from restoration.logbook.models import Entry
from restoration.workshop.models import Photo, Step
from restoration.workshop.services import allot
from tests.factories import make_chassis
from tests.journeys.things import photograph

pytestmark = [pytest.mark.journey, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def chassis(builder, site_lead):
    chassis = make_chassis("SR-14")
    allot(chassis=chassis, builder=builder, by=site_lead, text="The valves follow by post.")
    return chassis


def test_a_chassis_is_built_at_home_and_handed_over(enter, builder, chassis):
    home = enter(builder)
    home.open("/workshop/mine/")
    home.sees("One chassis waits for you.", "Do not power this at home.")
    home.follow("Go on with SR-14")

    home.press("I take it in hand")
    home.sees("Chassis SR-14 is in hand.")

    home.follow("Write a note")
    home.fill("What should the site know?", "The tag strip came with nine tags.")
    home.press("Write it down")
    home.sees("Your note on chassis SR-14 is stored.", "The tag strip came with nine tags.")

    home.follow("I am stuck")
    home.press("Tell the site")
    refused = home.page.get_by_label("What are you stuck with, and what would help?")
    assert refused.evaluate("field => !field.validity.valid"), "an empty reason is not sent"
    refused.fill("The second valve holder is cracked. A new one would help.")
    home.press("Tell the site")
    home.sees("The site knows that you are stuck with chassis SR-14.", "The second valve holder is cracked.")
    assert Step.objects.filter(kind="stuck").count() == 1

    home.press("I am getting on again")
    home.sees("Chassis SR-14 is going on again.")

    home.follow("It is built")
    home.fill("Anything that differs from the drawing", "R7 is 4k7, 2 W, as the drawings keeper agreed.")
    home.press("It is built")
    home.sees("Chassis SR-14 is built. Hand it over when it leaves you.")

    home.follow("Add a photograph")
    home.send("Or choose one that you have", "IMG_0412.jpg", photograph(), kind="image/jpeg")
    home.fill("What it shows", "Component side, before lacing")
    home.press("Add the photograph")
    home.sees("The photograph of chassis SR-14 is stored.")
    expect(home.page.get_by_role("img", name="Component side, before lacing")).to_be_visible()
    assert_only_pixels(home)

    home.follow("Hand it over")
    home.fill("Readings taken", "HT to chassis 2M2, heaters to chassis 10M")
    home.fill("Snags", "One screw of the cover is missing.")
    home.press("Hand it over")
    home.sees("Chassis SR-14 is handed over. Thank you.", "It waits for the site to receive it.")
    assert home.page.get_by_role("link", name="Hand it over").count() == 0

    chassis.refresh_from_db()
    kinds = list(Step.objects.filter(chassis=chassis).order_by("done_at", "pk").values_list("kind", flat=True))
    assert kinds == ["allotted", "in hand", "note", "stuck", "going on", "built", "handed over"]
    assert all(step.done_by == builder for step in Step.objects.exclude(kind="allotted"))
    last = Entry.objects.order_by("number").last()
    assert last.sentence.startswith(
        "Pilar Ortuno handed over chassis SR-14, built to KS-207 issue D: Readings: HT to chassis 2M2"
    )


def assert_only_pixels(home):
    """The photograph as it is served stands upright, and says neither where nor with what it was taken."""
    assert Photo.objects.get().caption == "Component side, before lacing"
    address = home.page.locator("ul.photos a").get_attribute("href")
    served = home.page.context.request.get(home.site + address)
    assert (served.status, served.headers["content-type"]) == (200, "image/jpeg")
    picture = Image.open(io.BytesIO(served.body()))
    assert picture.size == (480, 640)
    assert dict(picture.getexif()) == {}
    assert "comment" not in picture.info
    for word in (b"Exif", b"Lantern", b"Pilar", b"behind the door"):
        assert word in photograph()
        assert word not in served.body()
