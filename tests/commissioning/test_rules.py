"""The rules of doubt as a site changes them: versions kept, refusals, the pages and who may."""

from datetime import timedelta
from typing import Any

import pytest
from django.core.exceptions import ValidationError
from django.utils import timezone

from restoration.commissioning import rules
from restoration.commissioning.gates import GATES_OF
from restoration.commissioning.models import RuleVersion
from restoration.commissioning.reading import standings_of
from restoration.commissioning.rules import DEFAULTS, asked_in_words, gates_to_choose, rule_book, save_rule
from restoration.commissioning.services import compare_standing, recompute_all
from restoration.common.versions import EditedMeanwhile
from restoration.engineering.doubt import DEFAULT_RULES, LEADS_TO, Kind, Reach, Rule, Share
from restoration.logbook.models import Entry
from tests.commissioning.records import fault, prove
from tests.counting import queries_in, queries_of
from tests.factories import make_link, make_signal

pytestmark = pytest.mark.django_db

LOOM = 16


def saved(by: Any, **changes: Any) -> RuleVersion:
    """Write the loom's rule in other words."""
    given = {
        "number": LOOM,
        "version_seen": 0,
        "gates": ["signal-checked"],
        "share": Share.ALL.value,
        "one_in": 5,
        "reason": "Two wires of loom L3 were found crossed.",
        "why": "We look at every neighbour now.",
        "by": by,
    }
    return save_rule(**given | changes)


class TestTheBook:
    def test_where_nobody_changed_a_rule_the_defaults_are_in_force(self):
        assert rule_book().rules == DEFAULT_RULES

    def test_it_takes_one_query_whatever_was_changed(self, site_lead):
        assert queries_in(rule_book) == 1
        for version in range(3):
            saved(site_lead, version_seen=version, one_in=version + 2)
        assert queries_in(rule_book) == 1

    def test_the_newest_version_is_in_force_and_the_rest_is_as_it_was(self, site_lead):
        saved(site_lead)
        saved(site_lead, version_seen=1, share=Share.SAMPLE.value, one_in=2, gates=["rung out"])
        book = rule_book()
        rule = book.rule(Kind.REMADE, Reach.LOOM)
        assert (rule.version, rule.share, rule.one_in, rule.gates) == (2, Share.SAMPLE, 2, frozenset({"rung out"}))
        assert [one for one in book.rules if one.number != LOOM] == [r for r in DEFAULT_RULES if r.number != LOOM]

    def test_an_earlier_moment_has_the_rules_that_were_in_force_then(self, site_lead):
        moment = timezone.now()
        row = saved(site_lead)
        RuleVersion.objects.filter(pk=row.pk).update(written_at=moment - timedelta(days=2))
        assert rule_book(moment - timedelta(days=3)).by_number[LOOM].version == 0
        assert rule_book(moment).by_number[LOOM].version == 1

    def test_every_default_asks_for_gates_that_there_are_and_that_the_reach_leads_to(self):
        for rule in DEFAULT_RULES:
            allowed = {gate for gates in gates_to_choose(rule).values() for gate in gates}
            assert rule.gates <= allowed, f"rule {rule.number} asks for {rule.gates - allowed}"
            assert set(LEADS_TO[rule.reach]) <= set(GATES_OF)

    def test_the_rules_in_words(self):
        words = {number: asked_in_words(rule) for number, rule in DEFAULTS.by_number.items()}
        assert words[1] == "fitted, heaters on, HT on"
        assert words[25] == "signal-checked (the critical ones, and one in 5 of the rest)"
        assert words[31] == "nothing"
        assert words[33] == "bench-tested, signal-checked"


class TestSaving:
    def test_a_version_keeps_who_when_and_why_and_the_log_book_says_what_it_was_before(self, site_lead):
        row = saved(site_lead)
        assert (row.version, row.written_by, row.why) == (1, site_lead, "We look at every neighbour now.")
        line = Entry.objects.get(act="rule changed")
        assert (line.subject_kind, line.subject_code) == ("rule", "16")
        assert line.sentence == (
            f"{site_lead} changed rule 16 of doubt, wire re-made or re-routed, other links of the same loom: it asks "
            "for signal-checked (all); before, signal-checked (one in 5). Why: We look at every neighbour now."
        )
        assert line.details["before"]["share"] == "one in so many"

    @pytest.mark.parametrize(
        ("wrong", "field", "sentence"),
        [
            (
                {"gates": ["bonded"]},
                "gates",
                "This rule cannot ask for bonded; it may ask for joined, rung out, signal-checked.",
            ),
            ({"one_in": 0}, "one_in", "“One in” takes a whole number from 1 up; 0 was given."),
            (
                {"reason": " "},
                "reason",
                "A rule carries its reason; write why this kind of change puts that evidence in doubt.",
            ),
            ({"why": ""}, "why", "Say why the rule is changed; whoever reads it later will ask."),
            (
                {"number": 17, "share": Share.SAMPLE.value, "gates": ["soak"]},
                "share",
                "This rule cannot ask for “one in so many”; it may ask for: all; the critical ones.",
            ),
            (
                {"number": 33, "gates": ["rung out"]},
                "gates",
                "This rule cannot ask for rung out; it may ask for bench-tested, signal-checked.",
            ),
        ],
    )
    def test_what_makes_no_sense_is_refused_and_nothing_is_kept(self, site_lead, wrong, field, sentence):
        with pytest.raises(ValidationError) as refused:
            saved(site_lead, **wrong)
        assert refused.value.message_dict[field] == [sentence]
        assert not RuleVersion.objects.exists()
        assert not Entry.objects.filter(act="rule changed").exists()

    def test_what_follows_from_an_act_is_always_asked_whole(self, site_lead):
        rule = DEFAULTS.rule(Kind.LOAD, Reach.SOURCE)
        with pytest.raises(ValidationError, match="it may ask for: all"):
            saved(site_lead, number=rule.number, share=Share.SAMPLE.value)

    def test_there_is_no_rule_of_that_number(self, site_lead):
        with pytest.raises(ValidationError, match=r"There is no rule 99; the rules are numbered from 1 to 57\."):
            saved(site_lead, number=99)

    def test_a_version_that_never_was_is_refused(self, site_lead):
        with pytest.raises(ValidationError, match=r"Rule 16 has no version 3; open its page again\."):
            saved(site_lead, version_seen=3)

    def test_the_same_words_again_are_no_change(self, site_lead):
        rule = DEFAULTS.by_number[LOOM]
        with pytest.raises(ValidationError, match=r"The rule says all this already; nothing was changed\."):
            saved(site_lead, share=rule.share.value, reason=rule.reason)

    def test_whoever_saw_an_older_version_is_told_of_the_newer(self, site_lead, tester):
        newer = saved(tester)
        with pytest.raises(EditedMeanwhile) as news:
            saved(site_lead, reason="Another reason.")
        assert news.value.current == newer
        assert RuleVersion.objects.count() == 1

    def test_two_at_the_same_moment_the_database_lets_one_in(self, site_lead, tester, monkeypatch):
        seen = DEFAULTS.by_number[LOOM]
        newer = saved(tester)
        monkeypatch.setattr(rules, "_as_seen", lambda number, version_seen: seen)
        with pytest.raises(EditedMeanwhile) as news:
            saved(site_lead, reason="Another reason.")
        assert news.value.current == newer

    def test_no_gates_at_all_is_a_rule_that_asks_for_nothing(self, site_lead):
        saved(site_lead, gates=[])
        assert asked_in_words(rule_book().by_number[LOOM]) == "nothing"


def signal_checked(link: Any) -> str:
    """How the signal check of a link stands, by the stored copy."""
    return next(s.state.value for s in standings_of("interconnect", [link.pk])[link.pk] if s.gate == "signal-checked")


class TestStandingFollowsTheRules:
    def test_what_was_done_before_keeps_the_rule_that_was_in_force_then(self, site_lead):
        link = make_link()
        prove(link, 1)
        fault(link, 2)
        recompute_all()
        assert signal_checked(link) == "in doubt"
        saved(site_lead, number=DEFAULTS.rule(Kind.FAULT, Reach.LINK).number, gates=[])
        assert signal_checked(link) == "in doubt"
        assert compare_standing() == []

    def test_limits_are_compared_with_those_of_today_so_their_rule_is_felt_at_once(self, site_lead):
        link = make_link(signal=make_signal(amplitude=(15, None, 20)))
        reading = {"end": "load", "stage": "left", "quantity": "amplitude", "value": 17, "verdict": "within"}
        prove(link, 1).readings.create(least=10, most=20, **reading)
        recompute_all()
        assert signal_checked(link) == "in doubt"
        saved(site_lead, number=DEFAULTS.rule(Kind.LIMITS, Reach.LINK).number, gates=[])
        assert signal_checked(link) == "passed"
        assert compare_standing() == []


def page(client: Any, address: str) -> str:
    return client.get(address).content.decode()


def sent(rule: Rule, **changes: Any) -> dict[str, Any]:
    """The form as its page gives it, with some answers changed."""
    form = {
        "gates": sorted(rule.gates),
        "share": rule.share.value,
        "one_in": rule.one_in,
        "reason": rule.reason,
        "why": "The site found otherwise.",
        "version": rule.version,
    }
    return form | changes


class TestThePages:
    def test_the_list_shows_every_rule_with_its_reason_and_reads_the_rules_once(self, as_person, site_lead):
        client = as_person(site_lead)
        text = page(client, "/rules/")
        assert all(f"Rule&nbsp;{rule.number}<" in text for rule in DEFAULT_RULES)
        assert "57 rules say which evidence no longer stands after a change, and why; this site has left them" in text
        before = queries_of(client, "/rules/")
        for version in range(4):
            saved(site_lead, version_seen=version, one_in=version + 2)
        assert "put 1 of them in other words" in page(client, "/rules/")
        assert queries_of(client, "/rules/") == before

    def test_those_who_may_not_change_a_rule_read_its_history_and_see_no_form(self, as_person, site_lead, tester):
        saved(site_lead)
        text = page(as_person(tester), "/rules/16/")
        assert "We look at every neighbour now." in text
        assert str(site_lead) in text
        assert "As it came" in text
        assert "<button" not in text.split("<main")[1]

    def test_those_who_may_not_are_told_whom_to_ask(self, as_person, tester):
        answer = as_person(tester).post("/rules/16/change/", sent(DEFAULTS.by_number[LOOM], share="all"))
        assert answer.status_code == 403
        said = "To change the rules of doubt is not among the things you may do here. Ask a site lead."
        assert said in answer.content.decode()
        assert not RuleVersion.objects.exists()

    @pytest.mark.parametrize("address", ["/rules/99/", "/rules/99/change/"])
    def test_a_rule_that_is_not_there(self, as_person, site_lead, address):
        assert as_person(site_lead).get(address).status_code == 404

    def test_the_form_offers_the_gates_its_reach_leads_to_and_no_share_where_there_is_no_choice(
        self, as_person, site_lead
    ):
        client = as_person(site_lead)
        assert 'value="bonded"' not in page(client, "/rules/16/")
        assert 'name="one_in"' in page(client, "/rules/16/")
        text = page(client, "/rules/29/")
        assert 'value="bonded"' in text
        assert 'name="share"' not in text
        assert "It always asks for all that it reaches." in text
        assert "bench-tested (chassis)" in page(client, "/rules/33/")

    def test_a_change_is_stored_once_and_leads_to_the_rule(self, as_person, site_lead):
        client, rule = as_person(site_lead), DEFAULTS.by_number[LOOM]
        form = sent(rule, share="all", gates=["rung out", "signal-checked"])
        form["form_token"] = "0b9a5f8e-7f0b-4c8e-9c1d-2f3a4b5c6d7e"
        for _ in range(2):
            answer = client.post("/rules/16/change/", form)
            assert (answer.status_code, answer.url) == (302, "/rules/16/")
        assert RuleVersion.objects.count() == 1
        text = page(client, "/rules/16/")
        assert "Rule 16 reads otherwise from now on." in text
        assert "It puts in doubt: rung out, signal-checked (all)." in text

    def test_a_rule_of_one_thing_is_changed_without_a_share(self, as_person, site_lead):
        form = sent(DEFAULTS.by_number[29], gates=["bonded", "soaked"])
        del form["share"], form["one_in"]
        assert as_person(site_lead).post("/rules/29/change/", form).status_code == 302
        row = RuleVersion.objects.get()
        assert (row.gates, row.share, row.one_in) == (["bonded", "soaked"], "all", 5)

    def test_one_in_left_empty_stays_as_it_was(self, as_person, site_lead):
        form = sent(DEFAULTS.by_number[LOOM], share="all", one_in="")
        assert as_person(site_lead).post("/rules/16/change/", form).status_code == 302
        assert RuleVersion.objects.get().one_in == 5

    @pytest.mark.parametrize(
        ("wrong", "sentence"),
        [
            ({"why": ""}, "Say why the rule is changed; whoever reads it later will ask."),
            ({"one_in": "0"}, "“One in” takes a whole number from 1 up."),
            ({"one_in": "few"}, "“One in” takes a whole number, 5 say."),
            ({"reason": ""}, "A rule carries its reason; write why this kind of change puts that in doubt."),
            ({}, "The rule says all this already; nothing was changed."),
        ],
    )
    def test_a_form_that_makes_no_sense_comes_back_with_a_sentence(self, as_person, site_lead, wrong, sentence):
        answer = as_person(site_lead).post("/rules/16/change/", sent(DEFAULTS.by_number[LOOM], **wrong))
        assert answer.status_code == 422
        assert sentence in answer.content.decode()
        assert not RuleVersion.objects.exists()

    def test_someone_elses_change_meanwhile_is_shown_and_ones_own_words_are_kept(self, as_person, site_lead, tester):
        saved(tester, gates=["rung out"], reason="Their reason.", why="Their why.")
        client, rule = as_person(site_lead), DEFAULTS.by_number[LOOM]
        answer = client.post("/rules/16/change/", sent(rule, reason="My own reason."))
        text = answer.content.decode()
        assert answer.status_code == 409
        for words in ("Their reason.", "My own reason.", "Their why.", str(tester)):
            assert words in text
        assert "As stored now, the rule asks for: rung out (all)." in text
        assert 'name="version" value="1"' in text
        assert RuleVersion.objects.count() == 1
        assert client.post("/rules/16/change/", sent(rule, reason="Both reasons.", version=1)).status_code == 302
        assert rule_book().by_number[LOOM].version == 2

    def test_a_rule_that_asks_for_nothing_says_so(self, as_person, site_lead):
        text = page(as_person(site_lead), "/rules/31/")
        assert "It puts nothing in doubt; the change is recorded, and that is all." in text

    @pytest.mark.parametrize(
        ("number", "said"),
        [
            (2, "It is followed when somebody records such a change. Whatever was done before keeps the rule"),
            (19, "records such a change, and when such a thing is done by a form of its own. Whatever was done"),
            (47, "It is followed when such a thing is done, by a form of its own. Whatever was done before"),
            (54, "It compares with how things are today, so other words are felt at once.</p>"),
        ],
    )
    def test_each_rule_says_when_it_is_followed(self, as_person, tester, number, said):
        assert said in page(as_person(tester), f"/rules/{number}/")
