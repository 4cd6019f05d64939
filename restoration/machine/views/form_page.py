"""The page of a form that has none of its own: a title, a lead, the fields and one button."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest, HttpResponse

from restoration.common.acting import Act, answer_form
from restoration.common.posts import TokenForm

# Otherwise a row beyond those that stood there when the form was opened is dropped where it says just what somebody
# else has stored meanwhile.
EVERY_ROW_IS_READ = {"empty_permitted": False}


@dataclass(frozen=True)
class FormPage:
    """The words around the form."""

    title: str
    act: str
    back: str
    lead: str = ""
    note: str = ""


def answer_on_page(
    request: HttpRequest,
    form: TokenForm,
    act: Act,
    page: FormPage,
    *,
    stored: Callable[[Any], Mapping[str, Any]] | None = None,
) -> HttpResponse:
    """Run the act of a form, or show it on the common page with these words around it."""
    return answer_form(request, form, act, "machine/form.html", {"page": page}, stored=stored)


class RowsTogether(TokenForm):
    """Rows of a form set as one form, so that they are stored once and refused together."""

    def __init__(self, rows: Any, *args: Any, wrong: str) -> None:
        super().__init__(*args)
        self.rows, self.wrong = rows, wrong

    def clean(self) -> dict[str, Any]:
        """All rows stand, or none is stored."""
        given = super().clean() or self.cleaned_data
        if not self.rows.is_valid():
            self.add_error(None, self.wrong)
        return given
