"""A real browser, and a person in front of it who finds things by what they read on the page."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from django.test import Client
from playwright.sync_api import Browser, ConsoleMessage, Locator, Page, Request, expect, sync_playwright

from restoration.people.models import Person

CHROMIUM = "/usr/bin/chromium"
ARGUMENTS = ["--no-sandbox", "--disable-gpu", "--disable-background-networking"]
AXE = (Path(__file__).resolve().parent / "vendor/axe-core/axe.min.js").read_text()
PHONE, DESK = 390, 1280
PATIENCE_MS = 8_000

# A form shown again is answered with 422 and a conflict with 409; Chromium reports both as a failure to load.
REFUSALS = ("status of 422", "status of 409")
BROKEN_POLICY = (
    "window.brokenPolicy = []; document.addEventListener('securitypolicyviolation', broken =>"
    " window.brokenPolicy.push(`${broken.violatedDirective}: ${broken.blockedURI}`));"
)

STICKS_OUT = """() => {
  const wide = document.scrollingElement.clientWidth;
  if (document.scrollingElement.scrollWidth <= wide) return [];
  const out = [...document.body.querySelectorAll("*")].filter(each => each.getBoundingClientRect().right > wide + 0.5);
  return ["the page itself", ...out.map(each => each.outerHTML.slice(0, 160))];
}"""


@contextmanager
def launched() -> Iterator[Browser]:
    """Chromium, until the last test that wants it."""
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        yield browser
        browser.close()


@dataclass(frozen=True)
class Sight:
    """What somebody looks with: how wide the screen is, and whether scripts run."""

    width: int = DESK
    scripts: bool = True

    @property
    def options(self) -> dict[str, Any]:
        """What a browser context is made with."""
        height = 844 if self.width == PHONE else 900
        return {"viewport": {"width": self.width, "height": height}, "java_script_enabled": self.scripts}

    def __str__(self) -> str:
        return f"{self.width} px, scripts {'on' if self.scripts else 'off'}"


SIGHTS = [Sight(width, scripts) for width in (PHONE, DESK) for scripts in (True, False)]


@dataclass
class Visit:
    """One person at one screen; whatever goes wrong behind the page is kept in `complaints`."""

    page: Page
    site: str
    sight: Sight
    complaints: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.page.set_default_timeout(PATIENCE_MS)
        self.page.on("console", self._heard)
        self.page.on("pageerror", lambda error: self.complaints.append(str(error)))
        self.page.on("request", self._asked)
        self.page.on("response", lambda answer: answer.status >= 500 and self.complaints.append(answer.url))
        self.page.add_init_script(BROKEN_POLICY)

    def _heard(self, said: ConsoleMessage) -> None:
        if said.type in ("error", "warning") and not any(refusal in said.text for refusal in REFUSALS):
            self.complaints.append(f"{self.page.url}: {said.text}")

    def _asked(self, request: Request) -> None:
        asked = urlsplit(request.url)
        if asked.scheme not in ("data", "blob") and asked.netloc != urlsplit(self.site).netloc:
            self.complaints.append(f"asked another host: {request.url}")

    def open(self, address: str) -> None:
        """Type an address of the site."""
        self.page.goto(self.site + address)

    def follow(self, name: str, *, among: Locator | None = None) -> None:
        """Follow the link of this name, the first one if the page has it twice."""
        (among or self.page.locator("body")).get_by_role("link", name=name).first.click()

    def press(self, name: str) -> None:
        """Press the button of this name, the first one if the page has it twice."""
        self.page.get_by_role("button", name=name, exact=True).first.click()

    def unfold(self, words: str) -> Locator:
        """Unfold what lies under these words, unless it is open; give what lies there."""
        fold = self.page.locator("details", has=self.page.locator("> summary", has_text=words)).last
        if not fold.evaluate("fold => fold.open"):
            fold.locator("> summary").click()
        return fold

    def part(self, legend: str) -> Locator:
        """The part of a form under this legend."""
        return self.page.get_by_role("group", name=legend)

    def fill(self, label: str, text: str, *, within: Locator | None = None) -> None:
        """Write into the field of this label."""
        among = within or self.page.locator("main")
        among.get_by_role("textbox", name=label).or_(among.get_by_role("spinbutton", name=label)).fill(text)

    def choose(self, label: str, option: str) -> None:
        """Choose an option of the list with this label."""
        self.page.locator("main").get_by_label(label).select_option(label=option)

    def tick(self, label: str, *, within: Locator | None = None) -> None:
        """Tick the box, or the one of several, of this label; where several labels hold it, the one that is it."""
        found = (within or self.page.locator("main")).get_by_label(label)
        whole = (within or self.page.locator("main")).get_by_label(label, exact=True)
        (whole if whole.count() else found).check()

    def send(self, label: str, name: str, content: bytes, *, kind: str, within: Locator | None = None) -> None:
        """Choose a file in the field of this label."""
        chosen = {"name": name, "mimeType": kind, "buffer": content}
        (within or self.page.locator("main")).get_by_label(label).set_input_files(chosen)

    def heading(self, words: str) -> None:
        """Wait until the page of this heading stands."""
        expect(self.page.get_by_role("heading", level=1, name=words)).to_be_visible(timeout=PATIENCE_MS)
        self.refuse_sideways()

    def sees(self, *sentences: str) -> None:
        """Wait until each of these words can be read, on a page that does not scroll sideways."""
        for sentence in sentences:
            expect(self.page.get_by_text(sentence).first).to_be_visible(timeout=PATIENCE_MS)
        self.refuse_sideways()

    def lead(self) -> str:
        """Read the sentence that the page opens with."""
        return self.page.locator("p.lead").inner_text()

    def refuse_sideways(self) -> None:
        """The page is no wider than the screen; where it is, name what sticks out."""
        self.page.wait_for_load_state()
        assert self.page.evaluate(STICKS_OUT) == [], f"{self.page.url} scrolls sideways at {self.sight}"


def arrive(browser: Browser, site: str, sight: Sight, person: Person | None) -> Visit:
    """Open a screen of one's own, signed in where a person is named."""
    context = browser.new_context(**sight.options)
    if person is not None:
        client = Client()
        client.force_login(person)
        context.add_cookies([{"name": "sessionid", "value": client.cookies["sessionid"].value, "url": site}])
    return Visit(context.new_page(), site, sight)
