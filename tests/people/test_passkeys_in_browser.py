"""Passkeys, with the browser's virtual authenticator (Web Authentication, W3C, section 11)."""

import re
from collections.abc import Iterator

import pytest
from allauth.mfa.models import Authenticator
from django.core import mail
from django.core.cache import cache
from playwright.sync_api import Browser, Page, expect

pytestmark = [pytest.mark.journey, pytest.mark.django_db(transaction=True)]

ALWAYS_AGREES = {
    "protocol": "ctap2",
    "transport": "internal",
    "hasResidentKey": True,
    "hasUserVerification": True,
    "isUserVerified": True,
    "automaticPresenceSimulation": True,
}


@pytest.fixture
def no_earlier_tries(transactional_db: None) -> Iterator[None]:
    """Tries are counted in the cache, whose table is not emptied with the others."""
    cache.clear()
    yield
    cache.clear()


@pytest.fixture
def phone(browser: Browser, no_earlier_tries: None) -> Iterator[Page]:
    """A phone that keeps passkeys, and refuses whatever the content policy does not allow."""
    page = browser.new_context(viewport={"width": 390, "height": 844}).new_page()
    blocked: list[str] = []
    page.on("console", lambda line: blocked.append(line.text) if "Content Security Policy" in line.text else None)
    devtools = page.context.new_cdp_session(page)
    devtools.send("WebAuthn.enable")
    made = devtools.send("WebAuthn.addVirtualAuthenticator", {"options": ALWAYS_AGREES})
    page.holder = devtools, made["authenticatorId"]  # type: ignore[attr-defined]
    yield page
    assert blocked == []


def code_sent() -> str:
    return re.search(r"^ {4}(\S+)$", mail.outbox[-1].body, re.MULTILINE)[1]


def sign_in_by_code(page, site, person):
    page.goto(f"{site}/people/sign-in/?next=/people/me/")
    page.get_by_label("Your e-mail address").fill(person.email)
    page.get_by_role("button", name="Send me a code").click()
    expect(page.get_by_label("The code from the letter")).to_be_visible()
    page.get_by_label("The code from the letter").fill(code_sent())
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("heading", name=person.display_name)).to_be_visible()


def add_passkey(page, name):
    page.get_by_role("link", name="Passkeys").click()
    page.get_by_role("link", name="Add a passkey on this device").click()
    page.get_by_label("Name of the passkey").fill(name)
    page.get_by_role("button", name="Add the passkey").click()
    expect(page.get_by_text("The passkey is added.")).to_be_visible()
    expect(page.get_by_role("cell", name=name)).to_be_visible()


def sign_out(page, site):
    page.goto(f"{site}/people/me/")
    page.locator("main").get_by_role("button", name="Sign out").click()
    page.wait_for_url(re.compile("sign-in"))


def test_a_passkey_is_added_signs_in_and_is_removed(live_server, phone, builder):
    site = live_server.url
    sign_in_by_code(phone, site, builder)
    add_passkey(phone, "Pilar's telephone")
    key = Authenticator.objects.get(user=builder)
    assert key.wrap().is_passwordless
    assert "A passkey was added to your name" in mail.outbox[-1].body
    letters = len(mail.outbox)

    sign_out(phone, site)
    phone.goto(f"{site}/people/sign-in/?next=/people/me/")
    phone.get_by_label("This is my own device").check()
    phone.get_by_role("button", name="Sign in with a passkey").click()
    expect(phone.get_by_role("heading", name="Pilar Ortuno")).to_be_visible()
    assert phone.url == f"{site}/people/me/"
    assert len(mail.outbox) == letters
    cookie = next(each for each in phone.context.cookies() if each["name"] == "sessionid")
    assert cookie["expires"] > 0, "the tick for one's own device counts with a passkey as well"

    phone.get_by_role("link", name="Passkeys").click()
    phone.get_by_role("link", name="remove", exact=True).click()
    expect(phone.get_by_role("heading", name="Is it still you?")).to_be_visible()
    phone.get_by_role("link", name="a passkey").click()
    phone.get_by_role("button", name="Use my passkey").click()
    expect(phone.get_by_role("heading", name="Remove the passkey “Pilar's telephone”")).to_be_visible()
    phone.get_by_role("button", name="Remove it").click()
    expect(phone.get_by_text("You have no passkey; you sign in with a code by e-mail.")).to_be_visible()
    assert not Authenticator.objects.exists()


def test_a_lost_passkey_is_removed_with_a_code(live_server, phone, builder):
    site = live_server.url
    sign_in_by_code(phone, site, builder)
    add_passkey(phone, "Lost at sea")
    devtools, holder = phone.holder
    devtools.send("WebAuthn.clearCredentials", {"authenticatorId": holder})

    phone.get_by_role("link", name="Rename").click()
    phone.get_by_role("button", name="Send me a code").click()
    phone.get_by_label("The code from the letter").fill("0000-0000")
    phone.get_by_role("button", name="It is me").click()
    expect(phone.get_by_text("That is not the code we sent last.").first).to_be_visible()
    phone.get_by_label("The code from the letter").fill(code_sent())
    phone.get_by_role("button", name="It is me").click()
    phone.get_by_label("Name").fill("Lost in the harbour")
    phone.get_by_role("button", name="Rename it").click()
    expect(phone.get_by_role("cell", name="Lost in the harbour")).to_be_visible()


def test_a_passkey_the_site_does_not_know_gets_a_sentence(live_server, phone, builder):
    site = live_server.url
    sign_in_by_code(phone, site, builder)
    add_passkey(phone, "Soon forgotten")
    sign_out(phone, site)
    Authenticator.objects.all().delete()
    phone.goto(f"{site}/people/sign-in/")
    phone.get_by_role("button", name="Sign in with a passkey").click()
    expect(phone.get_by_text("This site does not know that passkey.")).to_be_visible()


def test_a_device_without_passkeys_says_so_and_the_code_still_works(live_server, phone, builder):
    site = live_server.url
    devtools, holder = phone.holder
    devtools.send("WebAuthn.setUserVerified", {"authenticatorId": holder, "isUserVerified": False})
    phone.goto(f"{site}/people/sign-in/")
    phone.get_by_role("button", name="Sign in with a passkey").click()
    expect(phone.get_by_text("The device gave no passkey:")).to_be_visible()
    sign_in_by_code(phone, site, builder)


def test_without_scripts_nothing_of_passkeys_is_offered_that_cannot_work(client, builder):
    client.force_login(builder)
    page = client.get("/people/sign-in/passkeys/add/").content.decode()
    assert "Adding a passkey needs scripts, and a device that can keep one. A code by e-mail works without" in page
    assert '<button class="do" hidden>Add the passkey</button>' in page
    client.logout()
    assert 'data-passkey="sign-in" hidden>' in client.get("/people/sign-in/").content.decode()
