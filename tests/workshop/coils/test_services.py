"""Writing down how a coil is made: what is kept, what the log book says, and what is refused."""

from dataclasses import replace
from typing import Any

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction

from restoration.common.versions import EditedMeanwhile
from restoration.logbook.models import Entry
from restoration.people.models import Person
from restoration.workshop.models import CoilRecipe, Winding
from restoration.workshop.services import RecipeGiven, add_recipe, edit_recipe
from tests.factories import make_design
from tests.reading import last_line

PEAKING = RecipeGiven(
    title="peaking inductor of the digit gate",
    former_m=0.0063,
    bare_m=0.0001219,
    covered_m=0.000145,
    turns=178,
    wire="40 SWG",
    winding_length_m=0.028,
    wanted_h=47e-6,
    tolerance=0.1,
    body_ohm=3300.0,
    body_w=0.5,
    stray_f=18e-12,
)


def said_of(refused: pytest.ExceptionInfo[ValidationError]) -> str:
    return " ".join(refused.value.messages)


def test_a_coil_is_kept_with_its_line(builder: Person) -> None:
    design = make_design("KS-31")
    recipe = add_recipe(code="L-1", given=PEAKING, by=builder, designs=[design])
    kept = CoilRecipe.objects.get()
    assert {name: getattr(kept, name) for name in vars(PEAKING)} == vars(PEAKING)
    assert list(kept.designs.all()) == [design]
    assert recipe.get_absolute_url() == "/workshop/coils/of/L-1/"
    entry = Entry.objects.get()
    assert entry.sentence == (
        "Pilar Ortuno wrote down how coil L-1 is made: 178 turns of 40 SWG, close wound in one layer on 6.3\u00a0mm."
    )
    assert (entry.act, entry.subject_kind, entry.subject_code) == ("coil recipe added", "coil", "L-1")


def test_what_was_there_stays_in_the_log(builder: Person) -> None:
    one, other = make_design("KS-31"), make_design("KS-32")
    recipe = add_recipe(code="L-1", given=PEAKING, by=builder, designs=[one])
    edit_recipe(recipe=recipe, version=1, given=replace(PEAKING, turns=184), by=builder, designs=[one, other])
    assert (recipe.turns, recipe.version) == (184, 2)
    line = last_line()
    assert line.sentence.startswith("Pilar Ortuno wrote anew how coil L-1 is made: 184 turns")
    assert line.details == {"changed": {"turns": [178, 184], "designs": [["KS-31"], ["KS-31", "KS-32"]]}}


def test_the_second_of_two_writers_is_told(builder: Person, drawings_keeper: Person) -> None:
    recipe = add_recipe(code="L-1", given=PEAKING, by=builder)
    early = CoilRecipe.objects.get()
    edit_recipe(recipe=recipe, version=1, given=replace(PEAKING, turns=184), by=builder)
    for seen in (early, recipe):
        with pytest.raises(EditedMeanwhile):
            edit_recipe(recipe=seen, version=1, given=replace(PEAKING, turns=190), by=drawings_keeper)
    assert CoilRecipe.objects.get().turns == 184
    assert Entry.objects.count() == 2


def test_a_code_is_used_once(builder: Person) -> None:
    add_recipe(code="L-1", given=PEAKING, by=builder)
    with pytest.raises(ValidationError) as refused:
        add_recipe(code="L-1", given=PEAKING, by=builder)
    assert refused.value.message_dict == {"code": ["There is a coil L-1 already; the code of a coil is used once."]}
    assert Entry.objects.count() == 1


IMPOSSIBLE = [
    (
        {"winding_length_m": 0.02},
        "178 turns in one layer are 25.81 mm long, and the winding length is 20 mm, which takes 137 turns to a layer.",
    ),
    ({"layers": 3}, "A single layer is one layer; 3 were given: choose multilayer, or one layer."),
    (
        {"winding": Winding.MULTI, "layers": 5, "winding_length_m": 0.01},
        "178 turns, 68 to a layer, fill 3 layers; 5 were given.",
    ),
    (
        {"covered_m": 0.0001},
        "Wire is not thinner with its covering than without; 0.1 mm covered and 0.1219 mm bare were given.",
    ),
    (
        {"pitch_m": 0.0001, "winding_length_m": None},
        "Turns lie side by side or further apart; 0.1 mm from turn to turn was given, and the wire is 0.145 mm thick.",
    ),
    ({"turns": 0}, "A coil has 1 to 100,000 turns here; 0 were given."),
    ({"bare_m": float("nan")}, "A wire has a diameter above zero; nan mm was given."),
    ({"wanted_h": -1e-6}, "A wanted inductance is above zero and finite; -1e-06 H was given."),
    ({"tolerance": 1.5}, "A tolerance is from 0 to below 100 %; 150 % was given."),
    ({"stray_f": float("inf")}, "What a coil works into is zero or more and finite; inf F was given."),
    ({"former_m": 3.0}, "3000 mm was given; the diameter of a former is above 0 and at most 1000 mm."),
    ({"former_m": float("nan")}, "nan mm was given; the diameter of a former is above 0 and at most 1000 mm."),
    ({"winding_length_m": 0.0}, "0 mm was given; a winding length is above 0 and at most 1000 mm."),
    ({"body_w": 0.0}, "0 W was given; the rating of a body is above zero."),
    (
        {"turns": 2, "pitch_m": 0.4, "winding_length_m": 0.9},
        "The winding is 800 mm long, and 2 turns of 6.45 mm across take only 40.5 mm of wire round the former: a coil "
        "is not longer than its wire.",
    ),
]


@pytest.mark.parametrize(("changed", "says"), IMPOSSIBLE)
def test_what_cannot_be_wound_is_refused_and_nothing_is_stored(
    builder: Person, changed: dict[str, Any], says: str
) -> None:
    with pytest.raises(ValidationError) as refused:
        add_recipe(code="L-1", given=replace(PEAKING, **changed), by=builder)
    assert said_of(refused) == says
    assert not CoilRecipe.objects.exists()
    assert not Entry.objects.exists()


def test_an_impossible_edit_leaves_what_is_there(builder: Person) -> None:
    recipe = add_recipe(code="L-1", given=PEAKING, by=builder)
    with pytest.raises(ValidationError, match="which takes 137 turns to a layer"):
        edit_recipe(recipe=recipe, version=1, given=replace(PEAKING, winding_length_m=0.02), by=builder)
    kept = CoilRecipe.objects.get()
    assert (kept.version, kept.winding_length_m, recipe.winding_length_m) == (1, 0.028, 0.028)
    assert Entry.objects.count() == 1


@pytest.mark.parametrize(
    "row", [{"covered_m": 0.0001}, {"former_m": 0.0}, {"turns": 0}, {"layers": 0}], ids=lambda row: next(iter(row))
)
def test_the_database_refuses_nonsense_too(db: None, row: dict[str, Any]) -> None:
    fine = {"former_m": 0.0063, "bare_m": 0.00012, "covered_m": 0.00015, "turns": 178}
    with pytest.raises(IntegrityError), transaction.atomic():
        CoilRecipe.objects.create(code="L-1", title="coil", **(fine | row))
    CoilRecipe.objects.create(code="L-1", title="coil", **fine)
