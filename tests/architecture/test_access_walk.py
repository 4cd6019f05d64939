"""Every address of the site, as a visitor, with no role, and in every role: nothing answers the wrong one."""

import pytest
from django.conf import settings
from django.db import transaction
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse

from restoration.people.access import LIBRARY_VIEWS
from restoration.people.models import Person, RoleHolding
from restoration.people.roles import Role
from tests.architecture.addresses import ADDRESSES, Address
from tests.architecture.small_machine import SmallMachine
from tests.architecture.who_may import NOT_THERE, ON_THEIR_OWN, OPEN, SIGNED_IN, WHO_MAY

VISITOR, NO_ROLE = "a visitor", "somebody with no role"
WALKERS = [VISITOR, NO_ROLE, *Role]
SIGN_IN = "/people/sign-in/?next="
ANSWERS_ONE_WHO_MAY = {200, 302, 404, 405, 422}


def test_somebody_decided_about_every_address():
    mounted = {address.name for address in ADDRESSES}
    missing = sorted(mounted - WHO_MAY.keys())
    assert not missing, "Write in who_may.py who may open:\n" + "\n".join(f'    "{name}": ' for name in missing)
    gone = sorted(WHO_MAY.keys() - mounted)
    assert not gone, "Take out of who_may.py, for there is no such address:\n" + "\n".join(gone)


def test_of_libraries_only_what_is_mounted_is_decided_about():
    assert {address.name for address in ADDRESSES if ":" not in address.name} == LIBRARY_VIEWS.keys()


def may(walker: str, name: str) -> bool:
    """What the table says."""
    decision = WHO_MAY.get(name, frozenset())
    if decision == OPEN:
        return True
    if decision == SIGNED_IN:
        return walker != VISITOR
    return walker in decision


class Walk:
    """One walker on the small machine; what each request changes is undone after it."""

    def __init__(self, walker: str) -> None:
        self.walker = walker
        self.person = None
        self.client = Client(raise_request_exception=False)
        if walker != VISITOR:
            self.person = Person.objects.create(display_name="The Walker", email="walker@net.example")
        if walker in list(Role):
            RoleHolding.objects.create(person=self.person, role=walker)
        self.machine = SmallMachine(self.person)
        if self.person:
            self.client.force_login(self.person)
        self.cookies = self.client.cookies.output(header="").strip()

    def ask(self, method: str, path: str) -> HttpResponse:
        """Send one request with nothing in it, and undo whatever it did."""
        self.client.cookies.load(self.cookies)
        with transaction.atomic():
            answer = getattr(self.client, method)(path)
            if answer.streaming:
                b"".join(answer.streaming_content)  # to its end, which closes the file and leaves the connection
            transaction.set_rollback(True)
        return answer

    def path(self, address: Address, **instead: str) -> str:
        return reverse(address.name, kwargs=self.machine.arguments(address.name, set(address.wanted)) | instead)


def wrong(walk: Walk, address: Address, method: str) -> str:
    """Say what is wrong with how the site answers; nothing where it is right."""
    path = walk.path(address)
    answer = walk.ask(method, path)
    sent_to_sign_in = answer.status_code == 302 and answer.url.startswith(SIGN_IN)
    said = f"{address.name}: {method.upper()} {path} answers {walk.walker} with {answer.status_code}"
    if may(walk.walker, address.name):
        if sent_to_sign_in or answer.status_code not in ANSWERS_ONE_WHO_MAY:
            return f"{said}, who may"
        if answer.status_code == 404 and address.name not in NOT_THERE:
            return f"{said}, and what it names is there"
        return ""
    if walk.walker == VISITOR:
        return "" if sent_to_sign_in else f"{said}, and not by sending to sign in"
    return "" if answer.status_code in (403, 404) else f"{said}, who may not"


@pytest.fixture
def walk(db: None, request: pytest.FixtureRequest) -> Walk:
    return Walk(request.param)


@pytest.mark.parametrize("walk", WALKERS, indirect=True)
def test_nothing_answers_to_one_who_may_not_and_nothing_refuses_one_who_may(walk):
    decided = [address for address in ADDRESSES if address.name in WHO_MAY]
    assert len(decided) > 50
    found = [wrong(walk, address, method) for address in decided for method in ("get", "post")]
    wrong_answers = [line for line in found if line]
    assert not wrong_answers, "\n".join(wrong_answers)


@pytest.mark.parametrize("walk", list(Role), indirect=True)
def test_another_builders_chassis_is_not_ones_own(walk):
    for address in ADDRESSES:
        if address.name in ON_THEIR_OWN:
            path = walk.path(address, serial=walk.machine.others_chassis.serial)
            for method in ("get", "post"):
                answer = walk.ask(method, path).status_code
                expected = ANSWERS_ONE_WHO_MAY - {404} if walk.walker == Role.SITE_LEAD else {403, 404}
                assert answer in expected, f"{method} {path} answers a {walk.walker} with {answer}"


@pytest.mark.parametrize("walk", [NO_ROLE], indirect=True)
def test_a_refusal_says_whom_to_ask_and_shows_nothing_of_the_page(walk):
    page = walk.ask("get", walk.path(Address("machine:chassis-detail", frozenset({"serial"})))).content.decode()
    assert "is not among the things you may do here. Ask a site lead" in page
    assert "Summing register" not in page


@pytest.mark.parametrize("walk", [VISITOR], indirect=True)
def test_a_visitor_learns_nothing_of_what_is_there(walk):
    there = walk.ask("get", "/machine/chassis/of/SR-14/")
    not_there = walk.ask("get", "/machine/chassis/of/SR-99/")
    assert (there.status_code, not_there.status_code) == (302, 302)
    assert there.content == not_there.content


def test_an_address_nobody_decided_about_stays_shut(db, settings, as_person, site_lead):
    settings.ROOT_URLCONF = "tests.architecture.undecided_urls"
    answer = as_person(site_lead).get("/undecided/")
    assert answer.status_code == 403
    assert "Nobody has decided yet who may open this page, so it stays shut." in answer.content.decode()


def test_uploads_are_reached_only_through_views_that_ask(db):
    assert not settings.MEDIA_URL.startswith("/") or settings.MEDIA_URL == "/"
    assert Client().get("/media/photos/p.jpg").status_code == 404
