"""The page of a short form, and the act that each kind of change ends in."""

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse

from restoration.commissioning.changing.ahead import look_ahead_of
from restoration.commissioning.changing.asked import AskedForm
from restoration.commissioning.changing.forms import FORMS, ChangeForm, DrawingForm, SwapForm
from restoration.commissioning.changing.short_forms import SHORT_FORMS
from restoration.commissioning.changing.subjects import things_of
from restoration.commissioning.changing.views import ask_first, replaced_change, require_all, short_form
from restoration.commissioning.models import Change, Doubt
from restoration.commissioning.services import changes as services
from restoration.common.acting import answer_form
from restoration.common.pages import show
from restoration.common.posts import posted
from restoration.engineering.doubt import Kind
from restoration.machine.models import Fitting, Slot
from restoration.people.access import needs, who
from restoration.people.roles import Permission

TEMPLATE = "commissioning/change_form.html"
CONFLICT = 409


@needs(Permission.RECORD_CHANGE)
def change_form(request: HttpRequest, kind: str) -> HttpResponse:
    """One change recorded by its short form."""
    short = short_form(kind)
    require_all(request, short)
    asked = AskedForm(request.GET, short=short)
    if not asked.is_answered:
        return ask_first(request, asked)
    replaces = replaced_change(request)
    if replaces is not None:
        require_all(request, SHORT_FORMS[Kind(replaces.kind)])
    form = _form(request, asked, replaces)
    context = {"short": short, "asked": asked, "ahead": look_ahead_of(asked), "things": things_of(asked)}
    context |= {"replaces": replaces, "out": _chassis_out(asked)}
    try:
        return answer_form(request, form, lambda: _recorded(request, form), TEMPLATE, context)
    except services.ChangedMeanwhile as news:
        _show_what_stands(form, news)
        context |= {"form": form, "out": news.standing, "ahead": look_ahead_of(asked)}
        return show(request, TEMPLATE, context, status=CONFLICT)


def _form(request: HttpRequest, asked: AskedForm, replaces: Change | None) -> ChangeForm:
    files = request.FILES if request.method == "POST" else None
    form = FORMS[asked.short.kind](posted(request), files, me=who(request), asked=asked, replaces=replaces)
    if isinstance(form, SwapForm):
        standing = _chassis_out(asked)
        form.fields["seen"].initial = standing.pk if standing else None
    return form


def _show_what_stands(form: ChangeForm, news: services.ChangedMeanwhile) -> None:
    """Keep the writer's words, and let the form know what stands in the slot now: sending it again is deliberate."""
    form.data = form.data.copy()  # type: ignore[attr-defined]
    form.data["seen"] = str(news.standing.pk) if news.standing else ""  # type: ignore[index]
    form.add_error(None, str(news))


def _chassis_out(asked: AskedForm) -> Fitting | None:
    slot: Slot | None = asked.touched.slot
    if asked.short.kind is not Kind.SWAPPED or slot is None:
        return None
    return slot.fittings.standing().select_related("chassis").first()


def _recorded(request: HttpRequest, form: ChangeForm) -> str:
    change = _act(form)()
    count = Doubt.objects.filter(change=change, is_asked=True).count()
    then = f"it puts evidence in doubt in {count} place{'s' if count != 1 else ''}" if count else "it doubts nothing"
    messages.success(request, f"Recorded as change {change.pk}: {change.what}; {then}.")
    return change.get_absolute_url()


def _act(form: ChangeForm) -> Callable[[], Change]:
    kind, heading = form.asked.short.kind, form.heading()
    if isinstance(form, SwapForm):
        _refuse_swap_as_correction(form)
        return lambda: services.swap_chassis(**form.swap(), **heading)
    more: dict[str, Any] = form.correction()
    if isinstance(form, DrawingForm):
        return lambda: services.issue_drawing(kind=kind, **form.drawing(), **heading, **more)
    return lambda: services.record_change(kind=kind, **form.about(), **heading, **more)


def _refuse_swap_as_correction(form: SwapForm) -> None:
    if form.replaces is not None:
        services.refuse_correction(Kind.SWAPPED, form.replaces, form.cleaned_data.get("replaces_why", ""))
