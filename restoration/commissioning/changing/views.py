"""Pages of changes: choosing, looking ahead, the short form, the list, one change, its photograph."""

from typing import Any

from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.http import urlencode

from restoration.commissioning.changing.ahead import look_ahead_of
from restoration.commissioning.changing.asked import AskedForm
from restoration.commissioning.changing.filters import ChangeFilter
from restoration.commissioning.changing.forms import TakeBackForm
from restoration.commissioning.changing.short_forms import BY_SLUG, SHORT_FORMS, ShortForm
from restoration.commissioning.changing.since import doubts_since, passed_over
from restoration.commissioning.changing.subjects import things_of, things_of_change, words_of_change
from restoration.commissioning.models import Change
from restoration.commissioning.services.changes import take_back
from restoration.common.acting import answer_form
from restoration.common.lists import narrowed, part_of
from restoration.common.pages import show
from restoration.common.posts import posted
from restoration.engineering.doubt import Kind
from restoration.people.access import needs, require, who
from restoration.people.roles import Permission

SIZES = ("image", "small")
NO_WAY_BACK = (Kind.SWAPPED, Kind.REMADE)


@needs(Permission.SEE_RECORDS)
def change_list(request: HttpRequest) -> HttpResponse:
    """All changes, the newest first."""
    changes = Change.objects.for_list()
    filter_set = ChangeFilter(request.GET, queryset=changes)
    page = part_of(request, narrowed(filter_set))
    context = {"filter": filter_set, "page": page, "total": page.paginator.count}
    return show(request, "commissioning/change_list.html", context, fragment="rows")


@needs(Permission.RECORD_CHANGE)
def change_new(request: HttpRequest) -> HttpResponse:
    """Which kind of change it is; those first that can be made to what the address names."""
    given = {name for name in request.GET if request.GET[name]}
    allowed = [short for short in BY_SLUG.values() if may_all(request, short)]
    here = [short for short in allowed if given & set(short.about or short.names)]
    others = [short for short in allowed if short not in here]
    context = {"here": here, "others": others, "asked": request.GET.urlencode(), "replaces": replaced_change(request)}
    return show(request, "commissioning/change_new.html", context)


@needs(Permission.SEE_RECORDS)
def change_before(request: HttpRequest, kind: str) -> HttpResponse:
    """What a change will put in doubt, before anybody does it."""
    short = short_form(kind)
    asked = AskedForm(request.GET, short=short)
    ahead = look_ahead_of(asked)
    if ahead is None:
        return ask_first(request, asked, is_before=True)
    context = {
        "short": short,
        "asked": asked,
        "ahead": ahead,
        "page": part_of(request, ahead.standing),
        "things": things_of(asked),
        "may_record": may_all(request, short),
    }
    return show(request, "commissioning/change_before.html", context)


def ask_first(request: HttpRequest, asked: AskedForm, *, is_before: bool = False) -> HttpResponse:
    """Ask what the change is about, where the address does not say it, or names what is not there."""
    is_wrong = asked.is_asked or request.method == "POST"
    if is_wrong and not asked.is_answered:
        asked.refuse_nothing()
    context = {"short": asked.short, "asked": asked if is_wrong else AskedForm.empty(asked.short), "before": is_before}
    return show(request, "commissioning/change_about.html", context, status=422 if asked.errors and is_wrong else 200)


@needs(Permission.SEE_RECORDS)
def change_detail(request: HttpRequest, pk: int) -> HttpResponse:
    """One change: what, why, who, and what became of its doubts."""
    change = get_object_or_404(Change.objects.with_all(), pk=pk)
    rows, short = doubts_since(change), SHORT_FORMS[Kind(change.kind)]
    later = getattr(change, "replaced_by", None)
    context = {
        "change": change,
        "short": short,
        "may_record": may_all(request, short),
        "later": later,
        "page": part_of(request, rows),
        "total": len(rows),
        "open": 0 if later else sum(row.is_open for row in rows),
        "passed_over": passed_over(change),
        "things": things_of_change(change),
        "words": urlencode(words_of_change(change), doseq=True),
        "photos": [photo_of(change)] if change.image else [],
        "can_be_corrected": later is None and change.kind != Kind.SWAPPED,
        "can_be_taken_back": later is None and change.kind not in NO_WAY_BACK,
    }
    return show(request, "commissioning/change_detail.html", context)


@needs(Permission.RECORD_CHANGE)
def change_take_back(request: HttpRequest, pk: int) -> HttpResponse:
    """A change that was entered and did not happen."""
    change = get_object_or_404(Change.objects.with_all(), pk=pk)
    require_all(request, SHORT_FORMS[Kind(change.kind)])
    form = TakeBackForm(posted(request), me=who(request))

    def act() -> str:
        given = form.cleaned_data
        names = {"why": given["why"], "done_by": given["done_by"], "entered_by": who(request), "at": given["done_at"]}
        return take_back(change=change, **names).get_absolute_url()

    done = f"Change {change.pk} is taken back; what it put in doubt because of it alone is no longer in doubt."
    return answer_form(request, form, act, "commissioning/change_take_back.html", {"change": change}, done=done)


@needs(Permission.SEE_RECORDS)
def change_photo(request: HttpRequest, pk: int, size: str) -> FileResponse:
    """The photograph of a change, whole or small."""
    if size not in SIZES:
        raise Http404(f"A photograph is kept as image or small, not as “{size[:40]}”.")
    kept: Any = getattr(get_object_or_404(Change, pk=pk), size)
    if not kept.name or not kept.storage.exists(kept.name):
        raise Http404("There is no photograph of this change.")
    answer = FileResponse(kept.open("rb"), content_type="image/jpeg")
    answer.headers["Cache-Control"] = "private, max-age=31536000, immutable"
    return answer


def photo_of(change: Change) -> dict[str, Any]:
    """The photograph of a change as a page shows it."""
    image, small = (reverse("commissioning:change-photo", args=[change.pk, size]) for size in SIZES)
    return {"url": image, "small_url": small, "says": change.what, "by": change.entered_by, "taken_at": change.done_at}


def require_all(request: HttpRequest, short: ShortForm) -> None:
    """Refuse whoever is not allowed all that this kind of change asks for."""
    for permission in short.permissions:
        require(request.user, permission)


def may_all(request: HttpRequest, short: ShortForm) -> bool:
    """Whether the person may record this kind of change."""
    return all(who(request).may(permission) for permission in short.permissions)


def short_form(slug: str) -> ShortForm:
    """Find a short form by the word in the address."""
    if slug not in BY_SLUG:
        raise Http404(f"There is no kind of change “{slug[:40]}”.")
    return BY_SLUG[slug]


def replaced_change(request: HttpRequest) -> Change | None:
    """The change that `?replaces=` names, to be corrected."""
    number = request.GET.get("replaces", "")
    if not number:
        return None
    if not number.isdecimal() or len(number) > 18:
        raise Http404(f"There is no change {number[:40]}.")
    return get_object_or_404(Change.objects.with_all(), pk=int(number))
