"""The groups of the machine: the list of them, each with what it lacks, and the form that describes one."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse

from restoration.commissioning import services
from restoration.commissioning.gates import GROUP_GATES
from restoration.commissioning.group_forms import GroupEditForm, GroupForm, held
from restoration.commissioning.group_readiness import GroupSheet, group_sheet
from restoration.commissioning.models import Group
from restoration.commissioning.panels import each_mark
from restoration.commissioning.reading import standings_of
from restoration.commissioning.signing.rows import gate_rows
from restoration.common.lists import part_of
from restoration.common.pages import show
from restoration.common.posts import posted
from restoration.machine.marks import one_mark
from restoration.machine.views.form_page import FormPage, answer_on_page
from restoration.people.access import needs, who
from restoration.people.roles import Permission


@needs(Permission.SEE_RECORDS)
def group_list(request: HttpRequest) -> HttpResponse:
    """Every group, in the order in which they are proved, and how its gates stand."""
    groups = part_of(request, Group.objects.all())
    standings = standings_of("group", [group.pk for group in groups])
    marks = [(group, each_mark(standings[group.pk])) for group in groups]
    rows = [(group, gates, one_mark(gates)) for group, gates in marks]
    return show(
        request,
        "commissioning/group_list.html",
        {"rows": rows, "page_obj": groups, "gate_names": ", ".join(GROUP_GATES)},
    )


@needs(Permission.SEE_RECORDS)
def group_detail(request: HttpRequest, code: str) -> HttpResponse:
    """One group: its gates with reasons, its members and links, its pass test, and what is missing."""
    group = get_object_or_404(Group, code=code)
    sheet: GroupSheet = group_sheet(group)
    rows = gate_rows(who(request), "group", group, sheet.standings)
    return show(request, "commissioning/group_detail.html", {"group": group, "shown": sheet, "rows": rows})


@needs(Permission.EDIT_MACHINE)
def group_add(request: HttpRequest) -> HttpResponse:
    """Put a group on the list."""
    form = GroupForm(posted(request), initial={"position": Group.objects.count() + 1})

    def act() -> str:
        given = form.given()
        return services.add_group(code=form.cleaned_data["code"], given=given, by=who(request)).get_absolute_url()

    lead = "A group is a functional part of the machine that is proved as one; write its pass test before the test."
    page = FormPage("Add a group", "Add the group", reverse("commissioning:group-list"), lead)
    return answer_on_page(request, form, act, page)


@needs(Permission.EDIT_MACHINE)
def group_edit(request: HttpRequest, code: str) -> HttpResponse:
    """Describe a group anew."""
    group = get_object_or_404(Group, code=code)
    form = GroupEditForm(posted(request), initial=held(group))

    def act() -> str:
        given: dict[str, Any] = {"version": form.cleaned_data["version"], "given": form.given()}
        return services.edit_group(group=group, by=who(request), **given).get_absolute_url()

    lead = "Its code stays; the log book keeps what was written before."
    page = FormPage(f"Edit group {group.code}", "Store it", group.get_absolute_url(), lead)
    return answer_on_page(request, form, act, page, stored=held)
