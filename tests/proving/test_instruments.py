"""The list of instruments."""

from datetime import date, timedelta

import pytest
from django.core.exceptions import ValidationError
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from restoration.common.versions import EditedMeanwhile
from restoration.logbook.models import Entry
from restoration.proving.models import Instrument
from restoration.proving.services import InstrumentFacts, add_instrument, edit_instrument
from tests.counting import queries_of

SCOPE = InstrumentFacts(kind="oscilloscope", description="Harbour 100", bandwidth_hz=100e6, gain_accuracy=0.02)
SENT = {
    "mark": "OSC-2",
    "kind": "oscilloscope",
    "description": "Harbour 100",
    "bandwidth_mhz": "100",
    "gain_accuracy_percent": "2",
    "check_due_on": "2027-03-01",
}


def page(name, *args):
    return reverse(f"proving:{name}", args=args)


def test_an_instrument_is_put_on_the_list_with_a_line(tester):
    instrument = add_instrument(mark="OSC-2", facts=SCOPE, by=tester)
    assert (instrument.bandwidth_hz, instrument.gain_accuracy) == (100e6, 0.02)
    assert Entry.objects.get().sentence == "Tomasz Wilk put instrument OSC-2 on the list: oscilloscope."


def test_a_mark_is_used_once(tester):
    add_instrument(mark="OSC-2", facts=SCOPE, by=tester)
    with pytest.raises(ValidationError, match="There is an instrument OSC-2 already"):
        add_instrument(mark="OSC-2", facts=SCOPE, by=tester)


def test_the_second_of_two_who_write_at_once_is_told(tester, second_tester):
    instrument = add_instrument(mark="OSC-2", facts=SCOPE, by=tester)
    edit_instrument(instrument=instrument, version=1, facts=InstrumentFacts(kind="meter"), by=tester)
    with pytest.raises(EditedMeanwhile):
        edit_instrument(instrument=instrument, version=1, facts=SCOPE, by=second_tester)
    instrument.refresh_from_db()
    assert instrument.kind == "meter"


def test_the_form_takes_megahertz_and_per_cent(tester, as_person):
    assert as_person(tester).post(page("instrument-add"), SENT).status_code == 302
    instrument = Instrument.objects.get()
    assert (instrument.bandwidth_hz, instrument.gain_accuracy) == (100e6, 0.02)
    assert instrument.check_due_on == date(2027, 3, 1)
    form = as_person(tester).get(page("instrument-edit", "OSC-2")).content.decode()
    assert 'value="100.0"' in form
    assert 'value="2.0"' in form
    assert 'value="2027-03-01"' in form


@pytest.mark.parametrize(
    ("wrong", "field"), [({"mark": ""}, "mark"), ({"gain_accuracy_percent": "0"}, "gain"), ({"kind": "spoon"}, "kind")]
)
def test_what_cannot_be_is_refused(tester, as_person, wrong, field):
    answer = as_person(tester).post(page("instrument-add"), {**SENT, **wrong})
    assert answer.status_code == 422
    assert not Instrument.objects.exists()


def test_a_mark_taken_already_is_refused_beside_its_field(tester, as_person):
    add_instrument(mark="OSC-2", facts=SCOPE, by=tester)
    answer = as_person(tester).post(page("instrument-add"), SENT)
    assert answer.status_code == 422
    assert "There is an instrument OSC-2 already; give this one another mark." in answer.content.decode()


def test_both_texts_are_shown_and_sending_again_is_a_decision(tester, second_tester, as_person):
    instrument = add_instrument(mark="OSC-2", facts=SCOPE, by=tester)
    theirs = InstrumentFacts(kind="oscilloscope", description="Repaired in May")
    edit_instrument(instrument=instrument, version=1, facts=theirs, by=second_tester)
    client, sent = as_person(tester), {**SENT, "version": 1, "description": "New probe"}
    answer = client.post(page("instrument-edit", "OSC-2"), sent)
    said = answer.content.decode()
    assert answer.status_code == 409
    assert "Repaired in May" in said
    assert 'value="New probe"' in said
    assert 'name="version" value="2"' in said
    assert client.post(page("instrument-edit", "OSC-2"), {**sent, "version": 2}).status_code == 302
    instrument.refresh_from_db()
    assert instrument.description == "New probe"


def test_the_list_says_which_are_past_their_check(tester, builder, as_person):
    yesterday = timezone.localdate() - timedelta(days=1)
    add_instrument(mark="OSC-2", facts=InstrumentFacts(kind="oscilloscope", check_due_on=yesterday), by=tester)
    add_instrument(mark="MET-1", facts=InstrumentFacts(kind="meter"), by=tester)
    said = as_person(tester).get(page("instrument-list")).content.decode()
    assert "One instrument is past the day of its check." in said
    assert page("instrument-edit", "OSC-2") in said
    assert page("instrument-edit", "OSC-2") not in as_person(builder).get(page("instrument-list")).content.decode()


def test_the_list_needs_the_same_number_of_queries_for_few_and_many(tester, as_person):
    client = as_person(tester)

    def queries_with(count):
        Instrument.objects.bulk_create(
            Instrument(mark=f"M-{Instrument.objects.count() + number}", kind="meter") for number in range(count)
        )
        return queries_of(client, page("instrument-list"))

    assert queries_with(2) == queries_with(40)


def test_who_keeps_the_list(builder, power_person, as_person, db):
    assert as_person(builder).get(page("instrument-add")).status_code == 403
    assert as_person(power_person).get(page("instrument-add")).status_code == 200
    assert Client().get(page("instrument-list")).status_code == 302
    assert as_person(power_person).get(page("instrument-edit", "OSC-9")).status_code == 404
