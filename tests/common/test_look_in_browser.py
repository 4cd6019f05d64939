"""The look in a real browser: every part on one sheet, at the width of a phone and of a desk, light and dark."""

import datetime
import json
from pathlib import Path
from types import SimpleNamespace
from typing import Any
from urllib.parse import parse_qsl, urlsplit

import pytest
from django import forms
from django.core.paginator import Paginator
from django.template import RequestContext, Template
from django.test import Client, RequestFactory
from playwright.sync_api import Browser, Page, Route

from restoration.common.templatetags.look import SHAPES
from tests.browser import AXE, DESK, PHONE

HERE = Path(__file__).resolve().parent
WIDTHS = [PHONE, DESK]

pytestmark = [pytest.mark.journey, pytest.mark.django_db(transaction=True)]


class LabelForm(forms.Form):
    slot = forms.CharField(label="Slot label", help_text="As painted on the rack.")
    note = forms.CharField(required=False, widget=forms.Textarea)
    joined = forms.BooleanField(label="All loads are joined")
    end = forms.ChoiceField(
        label="Which end", choices=[("s", "source end"), ("l", "load end")], widget=forms.RadioSelect
    )


def figure() -> SimpleNamespace:
    ticks = [SimpleNamespace(at=at, label=str(at // 20)) for at in range(0, 101, 20)]
    trace = SimpleNamespace(
        kind="found", name="found", points="0,900 300,900 320,200 700,220 1000,900", name_x=40, name_y=20
    )
    return SimpleNamespace(
        title="Found 31 volts",
        caption="Found 31.0 V.",
        x_axis=SimpleNamespace(name="time", unit="µs", ticks=ticks),
        y_axis=SimpleNamespace(name="level", unit="V", ticks=ticks),
        bands=[SimpleNamespace(top=40, height=10, label="limit, 15 to 20 V")],
        traces=[trace],
        data_url="/look/samples/",
    )


def samples() -> dict[str, Any]:
    times = [index * 1e-8 for index in range(500)]
    levels = [31.0 if 1e-6 < time < 3e-6 else 0.0 for time in times]
    return {
        "x": {"name": "time", "unit": "s"},
        "y": {"name": "level", "unit": "V"},
        "bands": [{"low": 15, "high": 20, "label": "limit"}],
        "traces": [{"kind": "found", "name": "found", "x": times, "y": levels}],
    }


def sheet() -> str:
    request = RequestFactory().get("/look/", {"rack": "C"})
    theirs = [SimpleNamespace(label="Symptom as seen", text="Counts double.\nWorse when rack E is running.")]
    context = {
        "theirs": theirs,
        "moment": datetime.datetime(2026, 11, 25, 13, 58, tzinfo=datetime.UTC),
        "all_standings": list(SHAPES),
        "figure": figure(),
        "page": Paginator(range(900), 50).page(3),
        "form": LabelForm({"slot": "C-07"}),
    }
    return Template((HERE / "look_sheet.html").read_text()).render(RequestContext(request, context))


@pytest.fixture
def policy() -> str:
    """The content policy as the site sends it."""
    return Client().get("/no-such-sheet/").headers["Content-Security-Policy"]


def open_sheet(browser: Browser, live_server: Any, policy: str, **options: Any) -> Page:
    """Open the sheet under the site's own address, so that its files and its policy are the real ones."""
    page = browser.new_context(**options).new_page()
    html = sheet()
    headers = {"Content-Type": "text/html; charset=utf-8", "Content-Security-Policy": policy}
    page.route("**/look/", lambda route: route.fulfill(status=200, headers=headers, body=html))
    page.route("**/look/samples/", lambda route: route.fulfill(json=samples()))
    page.complaints = []  # type: ignore[attr-defined]
    page.on("console", lambda said: page.complaints.append(said.text))  # type: ignore[attr-defined]
    page.on("pageerror", lambda error: page.complaints.append(str(error)))  # type: ignore[attr-defined]
    page.goto(f"{live_server.url}/look/")
    return page


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", WIDTHS)
def test_no_fault_of_access_no_sideways_scroll_no_small_target(
    browser: Browser, live_server: Any, policy: str, width: int, scheme: str
) -> None:
    page = open_sheet(
        browser, live_server, policy, viewport={"width": width, "height": 900}, color_scheme=scheme, bypass_csp=False
    )
    page.wait_for_selector("figure.is-live")
    page.evaluate(AXE)
    faults = page.evaluate("axe.run()")["violations"]
    assert [(fault["id"], fault["nodes"][0]["target"]) for fault in faults] == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    low = page.eval_on_selector_all(
        "button, summary, select, textarea, input:not([type=checkbox], [type=radio], [type=hidden]), .do, .plate, .end",
        "all => all.filter(e => e.checkVisibility() && e.getBoundingClientRect().height < 44).map(e => e.outerHTML)",
    )
    assert low == []
    small = page.eval_on_selector_all(
        "body *",
        "all => all.filter(e => e.checkVisibility() && [...e.childNodes].some(n => n.nodeType == 3 && n.data.trim())"
        " && parseFloat(getComputedStyle(e).fontSize) < 18).map(e => e.outerHTML)",
    )
    assert small == []
    assert page.complaints == []  # type: ignore[attr-defined]


def test_without_scripts_the_waveform_stands_as_drawn(browser: Browser, live_server: Any, policy: str) -> None:
    page = open_sheet(browser, live_server, policy, java_script_enabled=False)
    assert page.locator("figure.trace > svg").is_visible()
    assert page.locator("figure.trace polyline.found").count() == 1


def read_at_middle(page: Page) -> str:
    """Point at the middle of the plot and read the moment that stands there."""
    box = page.locator(".u-over").bounding_box()
    assert box
    page.mouse.move(box["x"] + box["width"] * 0.3, box["y"] + box["height"] / 2)
    page.mouse.move(box["x"] + box["width"] * 0.5, box["y"] + box["height"] / 2)
    page.wait_for_timeout(100)
    return page.locator(".trace-tools output").inner_text()


def width_of_view(page: Page) -> float:
    """Tell how long a stretch of time the plot shows, from what is read at its two ends."""
    ends = []
    box = page.locator(".u-over").bounding_box()
    assert box
    for share in (0.01, 0.99):
        page.mouse.move(box["x"] + box["width"] * share, box["y"] + 20)
        page.wait_for_timeout(80)
        number, unit = page.locator(".trace-tools output").inner_text().split(",")[0].split()
        ends.append(float(number) * {"s": 1, "ms": 1e-3, "µs": 1e-6, "ns": 1e-9}[unit])
    return ends[1] - ends[0]


def test_the_wheel_zooms_once_the_plot_was_pressed(browser: Browser, live_server: Any, policy: str) -> None:
    page = open_sheet(browser, live_server, policy, viewport={"width": 1280, "height": 900})
    page.wait_for_selector("figure.is-live")
    page.locator(".u-over").scroll_into_view_if_needed()
    assert "31 V" in read_at_middle(page)
    whole = width_of_view(page)
    page.locator(".u-over").click(position={"x": 200, "y": 60})
    for _ in range(3):
        page.mouse.wheel(0, -120)
    page.wait_for_timeout(150)
    assert width_of_view(page) == pytest.approx(whole * 0.8**3, rel=0.1)
    page.get_by_role("button", name="Whole trace").click()
    page.wait_for_timeout(100)
    assert width_of_view(page) == pytest.approx(whole, rel=0.02)


def test_two_fingers_zoom_and_the_keys_do_too(browser: Browser, live_server: Any, policy: str) -> None:
    page = open_sheet(
        browser, live_server, policy, viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True
    )
    page.wait_for_selector("figure.is-live")
    page.locator(".u-over").scroll_into_view_if_needed()
    whole = width_of_view(page)
    box = page.locator(".u-over").bounding_box()
    assert box
    middle, level = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    fingers = page.context.new_cdp_session(page)

    def touch(kind: str, *across: float) -> None:
        points = [{"x": x, "y": level, "id": number} for number, x in enumerate(across)]
        fingers.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    touch("touchStart", middle - 30, middle + 30)
    for spread in (40, 50, 60):
        touch("touchMove", middle - spread, middle + spread)
    touch("touchEnd")
    page.wait_for_timeout(150)
    pinched = width_of_view(page)
    assert pinched < whole * 0.75
    assert page.evaluate("visualViewport.scale") == 1
    page.locator(".trace-live").focus()
    page.keyboard.press("0")
    page.wait_for_timeout(100)
    assert width_of_view(page) == pytest.approx(whole, rel=0.02)


def test_thinned_samples_come_finer_where_one_looks(browser: Browser, live_server: Any, policy: str) -> None:
    page = open_sheet(browser, live_server, policy, viewport={"width": 1280, "height": 900})
    asked: list[str] = []

    def answer(route: Route) -> None:
        asked.append(route.request.url)
        level = 7.0 if "start_s=" in route.request.url else 31.0
        told = samples()
        told["traces"][0]["y"] = [level] * 500
        route.fulfill(json=told | {"thinned": True})

    page.route("**/look/samples/**", answer)
    page.reload()
    page.wait_for_selector("figure.is-live")
    page.locator(".u-over").scroll_into_view_if_needed()
    assert "31 V" in read_at_middle(page)
    page.get_by_role("button", name="Nearer").click()
    page.wait_for_timeout(700)
    assert "7 V" in read_at_middle(page)
    assert len(asked) == 2
    stretch = {name: float(value) for name, value in parse_qsl(urlsplit(asked[1]).query)}
    assert 0 < stretch["start_s"] < stretch["stop_s"] < 5e-6


def test_a_form_is_sent_once_however_often_it_is_pressed(browser: Browser, live_server: Any, policy: str) -> None:
    page = open_sheet(browser, live_server, policy)
    sent: list[str] = []

    def answer(route: Route) -> None:
        sent.append(route.request.post_data or "")
        page.wait_for_timeout(300)
        route.fulfill(status=200, body="stored")

    page.route("**/look/", answer)
    page.evaluate(
        "() => { const form = document.querySelector('form.form'); form.noValidate = true;"
        " const button = form.querySelector('button'); button.click(); button.click();"
        " setTimeout(() => button.click(), 60); }"
    )
    page.wait_for_timeout(900)
    assert len(sent) == 1


def test_what_the_site_refuses_is_said(browser: Browser, live_server: Any, policy: str) -> None:
    page = open_sheet(browser, live_server, policy)
    page.route("**/refused/", lambda route: route.fulfill(status=403, body=json.dumps("no")))
    page.evaluate("htmx.ajax('GET', '/refused/', '#said')")
    page.wait_for_selector("#said .error")
    assert page.locator("#said").inner_text() == (
        "The site refused this (403), and nothing was stored. Load the page again to see why."
    )
