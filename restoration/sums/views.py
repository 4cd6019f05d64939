"""The pages of the loose sums."""

from django.http import Http404, HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from restoration.common.pages import show
from restoration.people.access import needs
from restoration.people.roles import Permission
from restoration.sums.catalogue import groups, sums
from restoration.sums.declared import ADVICE
from restoration.sums.forms import SumForm
from restoration.sums.telling import as_text
from restoration.sums.working import work


@needs(Permission.SEE_RECORDS)
@require_safe
def index(request: HttpRequest) -> HttpResponse:
    return show(request, "sums/index.html", {"groups": groups(), "advice": ADVICE})


@needs(Permission.SEE_RECORDS)
@require_safe
def one_sum(request: HttpRequest, name: str) -> HttpResponse:
    one = sums().get(name)
    if one is None:
        raise Http404(f"There is no sum called “{name}”.")
    worked = work(one, request.GET.dict())
    context = {"sum": one, "worked": worked, "form": SumForm(worked), "advice": ADVICE}
    if worked.answer is None:
        return show(request, "sums/sum.html", context, status=422)
    context["copied"] = as_text(worked, worked.answer, request.build_absolute_uri(request.path + worked.address))
    return show(request, "sums/sum.html", context)
