"""What the content policy would block, and what would not work without scripts, stands in no template."""

import re

import pytest

from tests.architecture.templates_read import elements, html_of, named, templates

PAGES = [path for path in templates() if path.suffix == ".html"]
each_page = pytest.mark.parametrize("path", PAGES, ids=named)


def test_there_are_pages():
    assert len(PAGES) > 60


@each_page
def test_nothing_is_written_into_the_page_that_the_policy_blocks(path):
    page = html_of(path)
    assert not re.search(r"<style\b", page, re.IGNORECASE)
    assert not re.search(r"<[^>]*\sstyle\s*=", page, re.IGNORECASE)
    assert not re.search(r"<[^>]*\son[a-z]+\s*=", page, re.IGNORECASE)
    assert not re.search(r"hx-on|javascript:", page, re.IGNORECASE)


@each_page
def test_a_script_is_a_file_of_this_site(path):
    for script in elements(path, "script"):
        assert re.search(r'\ssrc="T', script) or 'type="application/json"' in script, script
    for element in (*elements(path, "script"), *elements(path, "link"), *elements(path, "img")):
        assert not re.search(r"(src|href)=\"(https?:)?//", element), element


@each_page
def test_every_form_that_is_posted_carries_its_guard(path):
    for form in re.findall(r"<form\b.*?</form>", html_of(path), re.IGNORECASE | re.DOTALL):
        if re.search(r"<form\b[^>]*method=\"post\"", form, re.IGNORECASE):
            assert "CSRF" in form, form[:120]
        else:
            assert "CSRF" not in form, "a form that is only asked for would put its guard into the address"


@each_page
def test_what_htmx_quickens_works_without_it(path):
    for link in elements(path, "a"):
        if "hx-" in link:
            assert "href=" in link, link
    for form in elements(path, "form"):
        if "hx-post" in form:
            assert 'method="post"' in form, form
        if "hx-get" in form:
            assert 'method="get"' in form, form
    for button in elements(path, "button"):
        assert "hx-" not in button, f"a button that only htmx can press: {button}"


@each_page
def test_a_panel_that_is_fetched_holds_a_plain_link_meanwhile(path):
    for panel in re.findall(r"<(?:div|section)\b[^>]*hx-get[^>]*>(.*?)</(?:div|section)>", html_of(path), re.DOTALL):
        assert re.search(r"<a\b[^>]*href=", panel), panel[:120]


@each_page
def test_a_page_has_its_title_and_its_name_at_the_foot(path):
    text = path.read_text()
    if '{% extends "base.html" %}' in text:
        for block in ("title", "sheet", "heading"):
            assert f"{{% block {block} %}}" in text, f"block {block} is not filled"
