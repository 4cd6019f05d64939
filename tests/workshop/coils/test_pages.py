"""Pages of coils: the list, the card, the form, who may write, and two people at once."""

import re
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from restoration.engineering.coils import Wound, quality, winding_ohm
from restoration.logbook.models import Entry
from restoration.people.models import Person
from restoration.workshop.models import CoilRecipe
from restoration.workshop.services import RecipeGiven, add_recipe
from tests.counting import queries_of
from tests.factories import make_design
from tests.reading import words

SENT = {
    "code": "L-1", "title": "peaking inductor of the digit gate", "purpose": "", "designs": "", "wanted_h": "47",
    "tolerance": "10", "former_m": "6.3", "winding_length_m": "28", "wire": "40 SWG", "bare_m": "",
    "covered_m": "0.145", "covering": "", "winding": "single layer", "turns": "", "layers": "", "pitch_m": "",
    "body_ohm": "3k3", "body_tolerance": "10", "body_w": "0.5", "stray_f": "18", "finish": "", "remarks": "",
}  # fmt: skip
PEAKING = RecipeGiven(
    title="peaking inductor", former_m=0.0063, bare_m=0.0001219, covered_m=0.000145, turns=178, wire="40 SWG",
    winding_length_m=0.028, wanted_h=47e-6, tolerance=0.1, body_ohm=3300.0, stray_f=18e-12,
)  # fmt: skip
COIL = Wound(0.0063, 0.0001219, 0.000145, 178)
CAUTION = "They may hold asbestos, PCB oil, cadmium, beryllia, mercury or a radioactive source."


def page(name: str, *args: Any) -> str:
    return reverse(f"workshop:{name}", args=args)


def version_in(text: str) -> str:
    return text.split('name="version" value="')[1].split('"')[0]


@pytest.fixture
def maker(builder: Person, as_person: Any) -> Client:
    client: Client = as_person(builder)
    return client


@pytest.fixture
def coil(builder: Person) -> CoilRecipe:
    return add_recipe(code="L-1", given=PEAKING, by=builder, designs=[make_design("KS-31")])


def test_no_code_is_taken_for_a_page(maker: Client, builder: Person) -> None:
    add_recipe(code="new", given=PEAKING, by=builder, designs=[])
    assert "peaking inductor" in words(maker.get(page("coil", "new")))
    assert "Write down a coil" in words(maker.get(page("coil-add")))


class TestList:
    def test_empty(self, maker: Client) -> None:
        said = words(maker.get(page("coils")))
        assert "No coil is written down yet." in said
        assert "Write down a coil" in said

    def test_what_is_written_down(self, maker: Client, coil: CoilRecipe) -> None:
        said = words(maker.get(page("coils")))
        assert "1 coil is written down, each with a card to wind it by." in said
        assert (
            "L-1 peaking inductor 178 turns of 40 SWG, close wound in one layer on 6.3 mm 47.0 µH 44.9 µH KS-31" in said
        )
        assert "Predicted figures are advice: verify by measurement." in said

    def test_a_coil_that_cannot_be_wound_hides_no_other(self, maker: Client, coil: CoilRecipe) -> None:
        CoilRecipe.objects.create(
            code="X-1", title="old", former_m=0.01, bare_m=1e-4, covered_m=1e-4, turns=9, layers=3
        )
        said = words(maker.get(page("coils")))
        assert "X-1 old" in said
        assert "cannot be wound" in said

    def test_as_many_questions_for_forty_as_for_two(self, maker: Client, builder: Person) -> None:
        design = make_design("KS-31")
        for number in range(2):
            add_recipe(code=f"L-{number}", given=PEAKING, by=builder, designs=[design])
        few = queries_of(maker, page("coils"))
        for number in range(2, 40):
            add_recipe(code=f"L-{number}", given=PEAKING, by=builder, designs=[design])
        assert queries_of(maker, page("coils")) == few


class TestCard:
    def test_what_the_maker_needs(self, maker: Client, coil: CoilRecipe) -> None:
        answer = maker.get(coil.get_absolute_url())
        said = words(answer)
        assert "178 turns of 40 SWG, close wound in one layer on 6.3 mm." in said
        assert "Wanted 47.0 µH ± 10 %. Predicted is 4.5 % below what is wanted, within its tolerance." in said
        assert "4.08 m: 3.6 m in the turns, 5 % and two ends" in said
        assert "Advice: verify by measurement." in said
        assert "Inductance 44.9 µH below 11.6 MHz" in said
        assert (
            "The drift matters: ±20 % of the resistor moves the overshoot from 46.4 % to between 37.7 % and 52.9 %."
            in said
        )
        assert "Medhurst 1947" in said
        assert "two printings disagree" in said
        assert CAUTION in said
        assert 'role="img" aria-label="178 turns of 40 SWG, close wound' in answer.content.decode()

    def test_q_at_a_frequency(self, maker: Client, coil: CoilRecipe) -> None:
        answer = maker.get(coil.get_absolute_url(), {"at": "455 kHz"})
        told = quality(COIL.inductance_h, winding_ohm(COIL.wire_m, COIL.bare_m), COIL.bare_m, 455e3)
        assert f"Q at most {told.with_skin:.3g} at 455 kHz" in words(answer)

    @pytest.mark.parametrize(
        ("asked", "says"),
        [
            ("fast", "“fast” was given, and this is a frequency"),
            ("-5", "A frequency is above zero; -5 was given."),
            ("0", "A frequency is above zero; 0 was given."),
        ],
    )
    def test_no_frequency(self, maker: Client, coil: CoilRecipe, asked: str, says: str) -> None:
        answer = maker.get(coil.get_absolute_url(), {"at": asked})
        assert answer.status_code == 422
        assert says in words(answer)
        assert f'value="{asked}"' in answer.content.decode()

    def test_several_layers(self, maker: Client, builder: Person) -> None:
        given = RecipeGiven(
            title="delay coil", former_m=0.012, bare_m=0.0002337, covered_m=0.00029, turns=620, layers=10,
            winding="multilayer", winding_length_m=0.018,
        )  # fmt: skip
        coil = add_recipe(code="TR-7/a", given=given, by=builder)
        said = words(maker.get(coil.get_absolute_url()))
        assert "620, side by side, in 10 layers, 62 to a layer, back and forth, 2.9 mm deep" in said
        assert "The self-capacitance of several layers follows no formula that can be trusted: measure it." in said
        assert "layers wound by hand differ by 5 to 10 %, so trim on the first-off" in said
        assert "Damped by its resistor" not in said

    def test_one_that_cannot_be_wound(self, maker: Client) -> None:
        CoilRecipe.objects.create(
            code="X-1", title="old", former_m=0.01, bare_m=1e-4, covered_m=1e-4, turns=9, layers=3
        )
        said = words(maker.get(page("coil", "X-1")))
        assert "This recipe cannot be wound as it stands. A single layer is one layer; 3 were given" in said
        assert "Predicted, and measured" not in said

    def test_none(self, maker: Client) -> None:
        assert maker.get(page("coil", "L-9")).status_code == 404

    def test_only_who_may_write_is_shown_the_way(self, coil: CoilRecipe, tester: Person, as_person: Any) -> None:
        assert "Write it anew" not in words(as_person(tester).get(coil.get_absolute_url()))
        assert as_person(tester).get(page("coil-edit", "L-1")).status_code == 403
        assert as_person(tester).post(page("coil-add"), SENT).status_code == 403
        assert CoilRecipe.objects.count() == 1


def sent(**changed: str) -> dict[str, str]:
    return {**SENT, **changed}


class TestWriting:
    def test_turns_that_follow_from_what_is_wanted(self, maker: Client) -> None:
        answer = maker.post(page("coil-add"), SENT)
        assert answer.status_code == 302
        assert answer["Location"] == "/workshop/coils/of/L-1/"
        kept = CoilRecipe.objects.get()
        assert (kept.turns, kept.layers, kept.wire, kept.pitch_m) == (186, 1, "40 SWG", None)
        assert kept.bare_m == pytest.approx(0.0048 * 0.0254)
        assert kept.body_ohm == 3300.0
        assert kept.stray_f == pytest.approx(18e-12)
        assert Entry.objects.get().act == "coil recipe added"

    def test_sent_twice_it_is_one(self, maker: Client) -> None:
        token = re.search('name="form_token" value="([^"]+)"', maker.get(page("coil-add")).content.decode())
        assert token
        for _ in range(2):
            assert maker.post(page("coil-add"), sent(form_token=token[1])).status_code == 302
        assert CoilRecipe.objects.count() == Entry.objects.count() == 1

    def test_spread_over_the_length(self, maker: Client) -> None:
        maker.post(page("coil-add"), sent(turns="20", is_spread="on"))
        kept = CoilRecipe.objects.get()
        assert kept.pitch_m == pytest.approx(0.028 / 20)

    def test_spread_and_sought(self, maker: Client) -> None:
        maker.post(page("coil-add"), sent(is_spread="on", wanted_h="5 µH"))
        kept = CoilRecipe.objects.get()
        assert kept.turns * kept.pitch_m == pytest.approx(0.028)

    def test_layers_that_follow(self, maker: Client) -> None:
        maker.post(page("coil-add"), sent(winding="multilayer", turns="400"))
        assert CoilRecipe.objects.get().layers == 3

    def test_layers_that_are_sought(self, maker: Client) -> None:
        maker.post(page("coil-add"), sent(winding="multilayer", wanted_h="1 mH"))
        kept = CoilRecipe.objects.get()
        assert kept.turns > 500
        assert kept.layers == -(-kept.turns // 193)

    def test_covering_instead_of_a_measured_wire(self, maker: Client) -> None:
        maker.post(page("coil-add"), sent(covered_m="", covering="enamel 1", winding_length_m=""))
        kept = CoilRecipe.objects.get()
        assert kept.covered_m == pytest.approx(0.000141, abs=2e-6)

    def test_a_reel_by_its_name(self, maker: Client) -> None:
        maker.post(page("coil-add"), sent(wire="reel 14, silk", bare_m="0.12"))
        assert CoilRecipe.objects.get().wire == "reel 14, silk"

    def test_drawings(self, maker: Client) -> None:
        make_design("KS-31")
        make_design("KS/32, a")
        maker.post(page("coil-add"), sent(designs="KS-31\n\n KS/32, a\nKS-31"))
        kept = CoilRecipe.objects.get()
        assert [design.number for design in kept.designs.order_by("number")] == ["KS-31", "KS/32, a"]

    @pytest.mark.parametrize(
        ("changed", "says"),
        [
            ({"wanted_h": ""}, "Give the number of turns, or the inductance that is wanted."),
            ({"pitch_m": "1"}, "Give the turns too where they lie at a pitch, or leave the pitch empty."),
            ({"winding_length_m": "20"}, "47.0 µH takes 186 turns in one layer, 26.97 mm long, and "),
            ({"turns": "200"}, "200 turns in one layer are 29 mm long, and the winding length is 28 mm,"),
            ({"turns": "200", "winding_length_m": "", "is_spread": "on"}, "Turns are spread in a single layer, "),
            ({"winding": "multilayer", "winding_length_m": ""}, "Give the winding length, so that the turns can be "),
            ({"winding": "multilayer", "winding_length_m": "", "turns": "9"}, "Give the number of layers, or the "),
            ({"winding": "multilayer", "winding_length_m": "0.1", "turns": "9"}, "Not one turn fits the winding "),
            ({"turns": "20", "layers": "2"}, "A single layer is one layer; 2 were given: choose multilayer"),
            ({"covered_m": ""}, "Give the diameter of the covered wire, or choose its covering."),
            ({"covered_m": "0.1"}, "Wire is not thinner with its covering than without; 0.1 mm covered "),
            ({"wire": ""}, "Give the bare diameter, or name the wire by its gauge: 36 SWG, AWG 30 or 0.2 mm."),
            ({"wire": "99 SWG"}, "Give the bare diameter, or name the wire by its gauge"),
            ({"bare_m": "0.3"}, "40 SWG is 0.1219 mm bare, and 0.3 mm was given: correct one of them."),
            (
                {"bare_m": "0.3", "covered_m": "", "covering": "enamel 1"},
                "40 SWG is 0.1219 mm bare, and 0.3 mm was given: correct one of them.",
            ),
            ({"bare_m": "-1"}, "40 SWG is 0.1219 mm bare, and -1 mm was given: correct one of them."),
            ({"former_m": ""}, "Give the diameter of the former in millimetres."),
            ({"former_m": "thick"}, "“thick” was given, and this is a length"),
            ({"former_m": "0"}, "A former has a diameter above zero; 0 mm was given."),
            ({"turns": "many"}, "Write a whole number."),
            ({"turns": "0"}, "A coil has at least one turn."),
            ({"turns": "1000000"}, "That is more than 100,000 turns; check the number."),
            ({"code": ""}, "Give the coil a code, to be written on its card and its bag."),
            ({"title": ""}, "Say in a few words what coil this is."),
            ({"designs": "KS-99"}, "There is no drawing KS-99; write one number to a line, as the list has it."),
            ({"body_ohm": "0"}, "The resistance of a body is above zero and finite; 0.0 Ω was given."),
            ({"tolerance": "120"}, "A tolerance is from 0 to below 100 %; 120 % was given."),
        ],
    )  # fmt: skip
    def test_what_is_refused(self, maker: Client, changed: dict[str, str], says: str) -> None:
        answer = maker.post(page("coil-add"), sent(**changed))
        assert answer.status_code == 422
        assert says in words(answer)
        assert not CoilRecipe.objects.exists()
        assert not Entry.objects.exists()

    def test_a_code_that_is_taken(self, maker: Client, coil: CoilRecipe) -> None:
        answer = maker.post(page("coil-add"), SENT)
        assert answer.status_code == 422
        assert "There is a coil L-1 already; the code of a coil is used once." in words(answer)


class TestEditing:
    def test_what_is_stored_stands_in_the_form_and_sends_back_the_same(self, maker: Client, coil: CoilRecipe) -> None:
        form = maker.get(page("coil-edit", "L-1")).context["form"]
        back = {name: form[name].value() or "" for name in form.fields}
        before = CoilRecipe.objects.values().get()
        assert maker.post(page("coil-edit", "L-1"), back).status_code == 302
        after = CoilRecipe.objects.values().get()
        assert after.pop("version") == before.pop("version") + 1
        assert after == before
        assert Entry.objects.order_by("-number")[0].details == {"changed": {}}

    def test_two_people_at_once(
        self, coil: CoilRecipe, builder: Person, drawings_keeper: Person, as_person: Any
    ) -> None:
        address = page("coil-edit", "L-1")
        pilar, owen = as_person(builder), as_person(drawings_keeper)
        seen = version_in(pilar.get(address).content.decode())
        pilar.post(address, sent(version=seen, turns="180", remarks="Two coats."))
        late = owen.post(address, sent(version=seen, turns="184", remarks="Mark the bag."))
        text = late.content.decode()
        assert late.status_code == 409
        assert "Someone else stored this while you were writing" in text
        assert "Two coats." in text
        assert "Mark the bag." in text
        assert CoilRecipe.objects.get().turns == 180
        again = owen.post(address, sent(version=version_in(text), turns="184", remarks="Two coats. Mark the bag."))
        assert again.status_code == 302
        assert CoilRecipe.objects.get().turns == 184

    def test_the_code_stays(self, maker: Client, coil: CoilRecipe) -> None:
        maker.post(page("coil-edit", "L-1"), sent(version="1", code="L-2"))
        assert CoilRecipe.objects.get().code == "L-1"

    def test_none(self, maker: Client) -> None:
        assert maker.get(page("coil-edit", "L-9")).status_code == 404


class TestDesign:
    def test_a_drawing_names_the_coils_it_calls_for(self, maker: Client, coil: CoilRecipe) -> None:
        said = words(maker.get(reverse("machine:design-detail", args=["KS-31"])))
        assert "Coils it calls for L-1 peaking inductor, 178 turns of 40 SWG, close wound in one layer" in said

    def test_one_that_calls_for_none_says_nothing(self, maker: Client) -> None:
        make_design("KS-32")
        assert "Coils it calls for" not in words(maker.get(reverse("machine:design-detail", args=["KS-32"])))
