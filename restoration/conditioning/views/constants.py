"""The wiring constants of the site: those in use, what today's records would give, and taking them into use."""

from typing import Any

from django import forms
from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.views.decorators.http import require_POST

from restoration.common.acting import status_of
from restoration.common.lists import part_of
from restoration.common.pages import show
from restoration.common.posts import TokenForm, store_once
from restoration.conditioning.fitting import FEWEST, MOST, fit_of
from restoration.conditioning.models import WiringFit
from restoration.conditioning.recording import recorded, recorded_of
from restoration.conditioning.services.constants import fit_or_refuse, store_fit
from restoration.conditioning.shown_constants import ShownFit, record_row
from restoration.people.access import needs, who
from restoration.people.roles import Permission, may
from restoration.proving.models import SignalCheck

FITS_SHOWN, RECORDS_SHOWN = 12, 20
NOW = "now"


class UseForm(TokenForm):
    """Taking the constants of today's records into use, with a remark if there is one."""

    remarks = forms.CharField(
        label="Remarks",
        required=False,
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 2}),
        error_messages={"max_length": "Nothing was taken into use: the remarks are longer than 2000 letters."},
    )


@needs(Permission.SEE_RECORDS)
def constants(request: HttpRequest) -> HttpResponse:
    """The constants in use with their spread; and, where it is asked for, those that today's records would give."""
    return _page(request, UseForm(), with_today=request.GET.get("fit") == NOW)


def _page(request: HttpRequest, form: UseForm, *, with_today: bool) -> HttpResponse:
    fits = WiringFit.objects.select_related("fitted_by").order_by("-fitted_at", "-pk")
    newest = list(fits[:FITS_SHOWN])
    in_use = newest[0] if newest else None
    context = {
        "fit": in_use,
        "shown": ShownFit.of(in_use) if in_use else None,
        "fits": newest,
        "since": _told_since(in_use),
        "fewest": FEWEST,
        "most": MOST,
        "may_use": may(who(request), Permission.FIT_CONSTANTS),
        "form": form,
        **(_of_today() if with_today else {}),
    }
    return show(request, "conditioning/constants.html", context, status=status_of(form))


def _told_since(fit: WiringFit | None) -> int:
    """How many signal checks tell something since the constants in use were fitted, or at all where none are."""
    checks = SignalCheck.objects.in_force()
    if fit is not None:
        checks = checks.filter(done_at__gt=fit.fitted_at)
    return len(recorded_of(checks.order_by("done_at", "pk")).taken)


def _of_today() -> dict[str, Any]:
    found = recorded()
    try:
        return {"today": ShownFit(fit_of(found).told())}
    except ValueError as refused:
        return {"refused": str(refused), "reasons": found.reasons}


@needs(Permission.FIT_CONSTANTS)
@require_POST
def constants_use(request: HttpRequest) -> HttpResponse:
    """Predict with the constants of today's records from now on."""
    form = UseForm(request.POST)
    if not form.is_valid():
        return _page(request, form, with_today=True)
    now = timezone.now()
    try:
        found = fit_or_refuse(until=now)
    except ValidationError:  # the page says why
        return _page(request, form, with_today=True)

    def act() -> str:
        stored = store_fit(found, by=who(request), at=now, remarks=form.cleaned_data["remarks"])
        messages.success(request, f"Predictions rest on wiring constants {stored.pk} from now on.")
        return stored.get_absolute_url()

    return redirect(store_once(form.cleaned_data["form_token"], act))


@needs(Permission.SEE_RECORDS)
def constants_detail(request: HttpRequest, pk: int) -> HttpResponse:
    """One fit as it was taken into use: by whom, from which records, and what each leaves over."""
    fit = get_object_or_404(WiringFit.objects.select_related("fitted_by"), pk=pk)
    shown = ShownFit.of(fit)
    page_obj = part_of(request, shown.records, size=RECORDS_SHOWN)
    context = {
        "fit": fit,
        "shown": shown,
        "page_obj": page_obj,
        "rows": [record_row(record, shown.wild) for record in page_obj],
        "newest": WiringFit.objects.last(),
        "most": MOST,
    }
    return show(request, "conditioning/constants_detail.html", context)
