"""What the address of a page asks to look at: parts chosen or typed, and what the level rests on."""

from dataclasses import dataclass

from django.http import HttpRequest, QueryDict
from django.utils.http import urlencode

from restoration.conditioning.choosing import Chosen, TryForm, read_choice
from restoration.conditioning.page import BENCH, PLACE
from restoration.engineering.in_place import Arrangement


@dataclass(frozen=True)
class Asked:
    """The parts asked for (None: none), the form for typing some, the basis of the level, and what was refused."""

    choice: Chosen | None
    form: TryForm
    basis: str
    refused: str = ""

    @property
    def is_refused(self) -> bool:
        """Whether what the address says cannot be."""
        return bool(self.refused or self.form.errors)

    @property
    def words(self) -> str:
        """The words of the address again, for pages that go on from here."""
        return urlencode({name: value for name, value in self._words().items() if value})

    def _words(self) -> dict[str, str]:
        return {"choose": self.choice.words if self.choice else "", "level": self.basis}

    @property
    def level_words(self) -> str:
        """The words of the address that say what the level rests on, with a sign before them."""
        return f"&{urlencode({'level': self.basis})}" if self.basis else ""


def asked_of(request: HttpRequest, fitted: Arrangement) -> Asked:
    """Read an address; what stands in the form for typing are the parts asked for, or else those on the link."""
    given = request.GET
    basis = given.get("level", "")
    basis = basis if basis in (BENCH, PLACE) else ""
    if given.get("choose"):
        return _chosen(given, basis, fitted)
    form = TryForm(given)
    if not form.is_asked:
        return Asked(None, TryForm(initial=fitted.as_dict()), basis)
    return Asked(Chosen(form.arrangement, {}) if form.is_valid() else None, form, basis)


def _chosen(given: QueryDict, basis: str, fitted: Arrangement) -> Asked:
    try:
        choice = read_choice(str(given["choose"]))
    except ValueError as refused:
        return Asked(None, TryForm(initial=fitted.as_dict()), basis, str(refused))
    return Asked(choice, TryForm(initial=choice.arrangement.as_dict()), basis)
