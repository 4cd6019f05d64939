"""Queries: questions to the drawings keeper, and the answers."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse

from restoration.common.lists import narrowed, part_of
from restoration.common.pages import show
from restoration.common.posts import posted
from restoration.machine import services
from restoration.machine.filters import QueryFilter
from restoration.machine.forms.queries import AnswerForm, QueryForm
from restoration.machine.models import Query
from restoration.machine.views.form_page import FormPage, answer_on_page
from restoration.people.access import needs, who
from restoration.people.roles import Permission

PAGES = {
    "rack": "machine:rack-detail",
    "slot": "machine:slot-detail",
    "design": "machine:design-detail",
    "chassis": "machine:chassis-detail",
    "signal": "machine:signal-detail",
    "link": "machine:interconnect-detail",
}


@needs(Permission.SEE_RECORDS)
def query_list(request: HttpRequest) -> HttpResponse:
    queries = Query.objects.select_related("raised_by", "answered_by").order_by("answered_at", "pk")
    filter_set = QueryFilter(request.GET, queryset=queries, request=request)
    context = {
        "filter": filter_set,
        "page_obj": part_of(request, narrowed(filter_set)),
        "waiting": Query.objects.open().count(),
    }
    return show(request, "machine/query_list.html", context, fragment="rows")


@needs(Permission.SEE_RECORDS)
def query_detail(request: HttpRequest, pk: int) -> HttpResponse:
    query = get_object_or_404(Query.objects.select_related("raised_by", "answered_by"), pk=pk)
    return show(request, "machine/query_detail.html", {"query": query, "about": page_about(query)})


def page_about(query: Query) -> str:
    """The address of what a query is about, if it is about one thing."""
    name = PAGES.get(query.subject_kind)
    return reverse(name, args=[query.subject_code]) if name and query.subject_code else ""


@needs(Permission.ASK_QUERY)
def query_add(request: HttpRequest) -> HttpResponse:
    about = {"subject_kind": request.GET.get("kind", ""), "subject_code": request.GET.get("code", "")}
    form = QueryForm(posted(request), initial=about)

    def act() -> str:
        given = {name: form.cleaned_data[name] for name in ("question", "subject_kind", "subject_code")}
        return services.raise_query(by=who(request), **given).get_absolute_url()

    lead = "One question at a time, so that each can be answered."
    page = FormPage("Ask the drawings keeper", "Ask it", reverse("machine:query-list"), lead)
    return answer_on_page(request, form, act, page)


@needs(Permission.ANSWER_QUERY)
def query_answer(request: HttpRequest, pk: int) -> HttpResponse:
    query = get_object_or_404(Query.objects.select_related("raised_by"), pk=pk)
    form = AnswerForm(posted(request))

    def act() -> str:
        services.answer_query(query=query, answer=form.cleaned_data["answer"], by=who(request))
        return query.get_absolute_url()

    lead = f"{query.raised_by or 'The wire list'} asked; the answer stands for everyone, and cannot be taken back."
    page = FormPage(f"Answer query {query.pk}", "Answer it", query.get_absolute_url(), lead, query.question)
    return answer_on_page(request, form, act, page)
