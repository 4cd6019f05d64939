"""What to test again: the walk, its printed sheet, and the page that takes its results."""

from collections import Counter

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import get_object_or_404
from django.urls import reverse

from restoration.commissioning.models import AgainSheet
from restoration.commissioning.testing_again.asking import Question, walk_for
from restoration.commissioning.testing_again.entering import ResultsForm, limits_by_link
from restoration.commissioning.testing_again.question_form import QuestionForm
from restoration.commissioning.testing_again.sheets import SheetShown, make_sheet, show_sheet, stops_of
from restoration.commissioning.testing_again.square_code import square_code
from restoration.commissioning.testing_again.storing import links_with_loads_missing, store_results
from restoration.common.acting import REFUSED, answer_form
from restoration.common.pages import show
from restoration.common.posts import TokenForm, posted
from restoration.engineering.recheck import Walk, in_one_sentence
from restoration.people.access import needs, who
from restoration.people.roles import Permission

SHOWN_APART = 60


@needs(Permission.SEE_RECORDS)
def again(request: HttpRequest) -> HttpResponse:
    """What to test again, for a change, a place, or since a day."""
    form = QuestionForm(request.GET)
    valid = form.is_valid()
    walk = walk_for(form.question) if valid else Walk()
    context = {
        "form": form,
        "asked": _asked(request.GET),
        "walk": walk,
        "sentence": in_one_sentence(walk),
        "question": form.question if valid else Question(),
        "stops": stops_of(walk),
        "apart": walk.apart[:SHOWN_APART],
        "more_apart": max(0, len(walk.apart) - SHOWN_APART),
        "sheets": AgainSheet.objects.select_related("made_by")[:5],
        "valid": valid,
    }
    return show(request, "commissioning/again.html", context, status=200 if valid else REFUSED)


def _asked(given: QueryDict) -> str:
    """Carry the question on to the next address."""
    kept = QueryDict(mutable=True)
    for name in QuestionForm.base_fields:
        if value := given.get(name):
            kept[name] = value
    return kept.urlencode()


@needs(Permission.CHECK_SIGNAL)
def sheet_new(request: HttpRequest) -> HttpResponse:
    """Put the walk on a numbered sheet."""
    asking = QuestionForm(request.GET)
    valid = asking.is_valid()
    question = asking.question if valid else Question()
    walk = walk_for(question) if valid else Walk()
    form = TokenForm(posted(request))

    def act() -> str:
        return make_sheet(question=question, walk=walk, by=who(request)).get_absolute_url()

    context = {"question": question, "sentence": in_one_sentence(walk), "walk": walk, "asking": asking, "valid": valid}
    if not valid:
        return show(request, "commissioning/again_sheet_new.html", {**context, "form": form}, status=REFUSED)
    return answer_form(request, form, act, "commissioning/again_sheet_new.html", context)


@needs(Permission.SEE_RECORDS)
def sheet(request: HttpRequest, pk: int) -> HttpResponse:
    """The sheet as it is printed: two people, one pencil."""
    shown = _shown(pk)
    codes = {
        row.row.number: square_code(
            request.build_absolute_uri(row.row.address), name=f"Opens the form of row {row.row.number}"
        )
        for row in shown.rows
    }
    enter = request.build_absolute_uri(reverse("commissioning:again-enter", args=[pk]))
    context = {
        "shown": shown,
        "codes": codes,
        "enter_code": square_code(enter, name="Opens the page that takes the results"),
        "open": len(shown.open_rows),
    }
    return show(request, "commissioning/again_sheet.html", context)


@needs(Permission.SEE_RECORDS)
def enter(request: HttpRequest, pk: int) -> HttpResponse:
    """Enter the results of a sheet, in its order, on one page; each person gets the rows that are theirs to sign."""
    shown = _shown(pk)
    links = [row.row.pk for row in shown.rows if row.row.check.kind == "interconnect"]
    form = ResultsForm(
        posted(request),
        me=who(request),
        rows=shown.rows,
        limits=limits_by_link(links),
        loads_missing=links_with_loads_missing(links),
    )

    def act() -> str:
        results = store_results(sheet=shown.sheet, form=form, by=who(request))
        messages.success(request, _said(results))
        return shown.sheet.get_absolute_url()

    context = {
        "shown": shown,
        "stops": _with_forms(shown, form),
        "open": len(shown.open_rows),
        "may_enter": any(row is not None for row in form.rows),
    }
    return answer_form(request, form, act, "commissioning/again_enter.html", context)


def _said(results: Counter[str]) -> str:
    total = sum(results.values())
    parts = ", ".join(f"{count} {result}" for result, count in sorted(results.items()))
    return f"Recorded: {total} result{'' if total == 1 else 's'}: {parts}."


def _with_forms(shown: SheetShown, form: ResultsForm) -> list[tuple[object, list[tuple[object, object]]]]:
    forms = {row.row.number: row_form for row, row_form in zip(shown.rows, form.rows, strict=True)}
    return [(stop, [(row, forms[row.row.number]) for row in stop.rows]) for stop in shown.stops]


def _shown(pk: int) -> SheetShown:
    return show_sheet(get_object_or_404(AgainSheet.objects.select_related("made_by"), pk=pk))
