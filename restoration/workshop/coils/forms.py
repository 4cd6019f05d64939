"""The form of a coil's recipe: figures as people write them, what follows from others left empty."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from restoration.common.posts import TokenForm
from restoration.common.text import can_be_stored
from restoration.common.versions import VersionField
from restoration.engineering.coils import Stuff, TurnsFound
from restoration.engineering.figures import (
    MICROHENRIES,
    MILLIMETRES,
    OHMS,
    PERCENT,
    PICOFARADS,
    WATTS,
    plain_number,
)
from restoration.engineering.wires import COVERINGS, Wire, covered_m, turns_per_layer, wire_named
from restoration.machine.forms.fields import CodeField, FigureField
from restoration.machine.models import Design
from restoration.workshop.coils.reckoning import length_words, seek_turns
from restoration.workshop.models import CoilRecipe, Winding
from restoration.workshop.services import RecipeGiven

WORDS = forms.Textarea(attrs={"rows": 3})
MOST_TURNS = 100_000
WHOLE = {"invalid": "Write a whole number."}
FIGURES = {
    "former_m": MILLIMETRES,
    "winding_length_m": MILLIMETRES,
    "bare_m": MILLIMETRES,
    "covered_m": MILLIMETRES,
    "pitch_m": MILLIMETRES,
    "wanted_h": MICROHENRIES,
    "tolerance": PERCENT,
    "body_ohm": OHMS,
    "body_tolerance": PERCENT,
    "body_w": WATTS,
    "stray_f": PICOFARADS,
}
AS_FAR_AS_A_GAUGE_GOES = 0.1  # a wire drawn to its gauge is not further off than this


class _Coil(TokenForm):
    """What the winding is, and what follows from what else was given."""

    winding = forms.ChoiceField(label="The turns lie in", choices=Winding.choices)
    former_m = FigureField(
        MILLIMETRES,
        label="Former, mm across",
        required=True,
        help_text="Of the former, or of the resistor body that it is wound on.",
        error_messages={"required": "Give the diameter of the former in millimetres."},
    )
    winding_length_m = FigureField(
        MILLIMETRES, label="Winding length, mm", help_text="How much of the former may be wound; empty: as it comes."
    )
    wire = forms.CharField(
        label="Wire",
        required=False,
        max_length=60,
        help_text="Its gauge or its diameter, 36 SWG, AWG 30 or 0.2 mm; or the reel, with its diameter beside it.",
    )
    bare_m = FigureField(
        MILLIMETRES, label="Bare, mm", help_text="Empty: as its gauge says. Measured is better where it matters."
    )
    covered_m = FigureField(
        MILLIMETRES, label="Covered, mm", help_text="Ten turns laid side by side, and a tenth of that."
    )
    covering = forms.ChoiceField(
        label="Or its covering",
        required=False,
        choices=[("", "measured, as given"), *((name, kind.words) for name, kind in COVERINGS.items())],
        help_text="Where the covered wire was not measured yet: usual thicknesses, to plan with.",
    )
    turns = forms.IntegerField(
        label="Turns",
        required=False,
        min_value=1,
        max_value=MOST_TURNS,
        help_text="Empty: as many as come nearest to the wanted inductance.",
        error_messages={
            **WHOLE,
            "min_value": "A coil has at least one turn.",
            "max_value": f"That is more than {MOST_TURNS:,} turns; check the number.",
        },
    )
    layers = forms.IntegerField(
        label="Layers",
        required=False,
        min_value=1,
        max_value=100,
        help_text="Empty: as many as the turns fill.",
        error_messages={
            **WHOLE,
            "min_value": "A coil has at least one layer.",
            "max_value": "More than 100 layers are not reckoned here; check the number.",
        },
    )
    pitch_m = FigureField(MILLIMETRES, label="From turn to turn, mm", help_text="Empty: side by side.")
    is_spread = forms.BooleanField(label="Spread the turns evenly over the winding length", required=False)
    wanted_h = FigureField(MICROHENRIES, label="Wanted inductance, µH")
    tolerance = FigureField(PERCENT, label="Its tolerance, %")

    def clean(self) -> dict[str, Any]:
        """Fill in what follows from the rest: the bare wire, the covered wire, turns, layers and pitch."""
        given = super().clean() or self.cleaned_data
        if self.errors:
            return given
        self._fill_wire(given)
        if not self.errors:
            self._fill_turns(given)
        return given

    def _fill_wire(self, given: dict[str, Any]) -> None:
        named = _named(given["wire"])
        if given["bare_m"] is None and named is None:
            self.add_error("bare_m", "Give the bare diameter, or name the wire by its gauge: 36 SWG, AWG 30 or 0.2 mm.")
            return
        if given["bare_m"] is None and named:
            given["bare_m"], given["wire"] = named.bare_m, named.name
        elif named and abs(given["bare_m"] / named.bare_m - 1.0) > AS_FAR_AS_A_GAUGE_GOES:
            told = f"{named.name} is {length_words(named.bare_m)} bare, and {length_words(given['bare_m'])} was given"
            self.add_error("bare_m", f"{told}: correct one of them.")
            return
        self._fill_covering(given)

    def _fill_covering(self, given: dict[str, Any]) -> None:
        if given["covered_m"] is None and not given["covering"]:
            self.add_error("covered_m", "Give the diameter of the covered wire, or choose its covering.")
        elif given["covered_m"] is None and given["bare_m"] > 0.0:
            given["covered_m"] = covered_m(given["bare_m"], given["covering"])

    def _fill_turns(self, given: dict[str, Any]) -> None:
        try:
            if given["turns"] is None:
                self._seek(given)
            if given["is_spread"] and given["turns"]:
                given["pitch_m"] = self._spread(given)
            if given["layers"] is None and given["turns"]:
                given["layers"] = self._layers(given)
        except ValueError as impossible:
            self.add_error("turns", str(impossible))

    def _seek(self, given: dict[str, Any]) -> None:
        if given["wanted_h"] is None:
            raise ValueError("Give the number of turns, or the inductance that is wanted.")
        if given["pitch_m"] is not None:
            raise ValueError("Give the turns too where they lie at a pitch, or leave the pitch empty.")
        found = self._found(given)
        given["turns"] = found.coil.turns
        given["layers"] = given["layers"] or found.coil.layers

    def _found(self, given: dict[str, Any]) -> TurnsFound:
        return seek_turns(
            given["wanted_h"],
            Stuff(given["former_m"], given["bare_m"], given["covered_m"]),
            given["winding_length_m"],
            winding=given["winding"],
            is_spread=given["is_spread"],
        )

    def _spread(self, given: dict[str, Any]) -> float | None:
        if given["winding"] != Winding.SINGLE or given["winding_length_m"] is None:
            raise ValueError("Turns are spread in a single layer, over a winding length that is given.")
        return max(given["winding_length_m"] / given["turns"], given["covered_m"])

    def _layers(self, given: dict[str, Any]) -> int:
        if given["winding"] == Winding.SINGLE:
            return 1
        if given["winding_length_m"] is None:
            raise ValueError("Give the number of layers, or the winding length from which it follows.")
        fits = turns_per_layer(given["winding_length_m"], given["pitch_m"] or given["covered_m"])
        if fits == 0:
            raise ValueError("Not one turn fits the winding length.")
        return -(-int(given["turns"]) // fits)


class RecipeEditForm(_Coil):
    """How a coil is made, what is wanted of it, and the resistor that it is wound on."""

    version = VersionField()
    title = forms.CharField(
        label="What it is", max_length=120, error_messages={"required": "Say in a few words what coil this is."}
    )
    purpose = forms.CharField(label="What it is for", required=False, max_length=2000, widget=WORDS)
    designs = forms.CharField(
        label="Drawings that call for it",
        required=False,
        max_length=4000,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text="One drawing number to a line.",
    )
    body_ohm = FigureField(OHMS, label="Resistor body, Ω", help_text="Empty: an ordinary former.")
    body_tolerance = FigureField(PERCENT, label="Its tolerance, %")
    body_w = FigureField(WATTS, label="Its rating, W")
    stray_f = FigureField(PICOFARADS, label="It works into, pF", help_text="Wires and load, beside its own.")
    finish = forms.CharField(
        label="Finish", required=False, max_length=2000, widget=WORDS, help_text="Varnish, cure, ends, mark, tension."
    )
    remarks = forms.CharField(label="Remarks", required=False, max_length=4000, widget=WORDS)

    def clean_designs(self) -> list[Design]:
        """Find the drawings by their numbers."""
        numbers = list(
            dict.fromkeys(line.strip() for line in self.cleaned_data["designs"].splitlines() if line.strip())
        )
        found = {each.number: each for each in Design.objects.filter(number__in=filter(can_be_stored, numbers))}
        if missing := [number for number in numbers if number not in found]:
            raise ValidationError(
                f"There is no drawing {missing[0][:60]}; write one number to a line, as the list has it."
            )
        return [found[number] for number in numbers]

    def given(self) -> RecipeGiven:
        """What is stored of it."""
        return RecipeGiven(**{name: self.cleaned_data[name] for name in RecipeGiven.__dataclass_fields__})


class RecipeForm(RecipeEditForm):
    """A coil that nobody wrote down yet."""

    code = CodeField(
        label="Code",
        help_text="As its card and its bag are marked.",
        error_messages={"required": "Give the coil a code, to be written on its card and its bag."},
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        del self.fields["version"]


def recipe_as_stored(recipe: CoilRecipe) -> dict[str, Any]:
    """What stands in the form when it is opened."""
    plain = ("version", "title", "purpose", "winding", "wire", "turns", "layers", "finish", "remarks")
    return {
        **{name: getattr(recipe, name) for name in plain},
        **{name: _as_typed(getattr(recipe, name), name) for name in FIGURES},
        "designs": "\n".join(recipe.designs.order_by("number").values_list("number", flat=True)),
    }


def _as_typed(value: float | None, name: str) -> str:
    return "" if value is None else plain_number(value, FIGURES[name])


def _named(text: str) -> Wire | None:
    """The wire that the text names by gauge or diameter; None where it is the name of a reel."""
    try:
        return wire_named(text)
    except ValueError:
        return None
