"""Two people at one row: the second is shown the first, and neither loses a word."""

import threading

import pytest
from django import forms
from django.db import connection

from restoration.common.versions import EditedMeanwhile, Theirs, VersionField, save_version, theirs
from tests.factories import make_chassis, make_design


@pytest.fixture
def chassis(db):
    return make_chassis("SR-14", remarks="As found.")


def test_saving_writes_only_the_fields_named(chassis):
    other = make_design("KS-300", issue="A")
    type(chassis).objects.filter(pk=chassis.pk).update(design=other)  # meanwhile, without a version
    save_version(chassis, version=1, remarks="Cleaned.")
    assert (chassis.remarks, chassis.version, chassis.design) == ("Cleaned.", 2, other)


def test_the_second_is_told_and_shown_what_stands_now(chassis):
    save_version(chassis, version=1, remarks="Theirs.")
    with pytest.raises(EditedMeanwhile) as meanwhile:
        save_version(chassis, version=1, remarks="Mine.")
    assert meanwhile.value.current.remarks == "Theirs."
    assert meanwhile.value.current.version == 2
    assert str(meanwhile.value) == (
        "chassis SR-14 was changed by someone else while you were writing. Nothing of yours was stored yet."
    )
    chassis.refresh_from_db()
    assert chassis.remarks == "Theirs."


def test_sending_again_with_the_new_version_is_a_decision(chassis):
    save_version(chassis, version=1, remarks="Theirs.")
    save_version(chassis, version=2, remarks="Theirs. And mine.")
    assert (chassis.remarks, chassis.version) == ("Theirs. And mine.", 3)


@pytest.mark.parametrize("version", [0, 2, 99])
def test_a_version_that_never_was_saves_nothing(chassis, version):
    with pytest.raises(EditedMeanwhile):
        save_version(chassis, version=version, remarks="Mine.")
    chassis.refresh_from_db()
    assert (chassis.remarks, chassis.version) == ("As found.", 1)


class RemarksForm(forms.Form):
    version = VersionField()
    serial = forms.CharField(label="Serial", required=False)
    remarks = forms.CharField(label="Remarks", required=False)


def test_only_what_differs_is_shown(chassis):
    form = RemarksForm({"version": "7", "serial": "SR-14", "remarks": "Mine."})
    assert theirs(form, chassis) == [Theirs("Remarks", "As found.")]


def test_the_version_travels_out_of_sight(chassis):
    form = RemarksForm(initial={"version": chassis.version})
    assert str(form["version"]) == '<input type="hidden" name="version" value="1" id="id_version">'
    assert theirs(RemarksForm({"version": "7"}), chassis) == []


@pytest.mark.usefixtures("transactional_db")
def test_of_two_at_the_same_moment_one_is_stored_and_one_is_told():
    chassis = make_chassis("SR-14")
    gate, told, stored = threading.Barrier(2), [], []

    def write(words):
        try:
            gate.wait(timeout=10)
            save_version(type(chassis).objects.get(pk=chassis.pk), version=1, remarks=words)
            stored.append(words)
        except EditedMeanwhile as meanwhile:
            told.append(meanwhile.current.remarks)
        finally:
            connection.close()

    threads = [threading.Thread(target=write, args=(words,)) for words in ("Pilar's words", "Ama's words")]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(timeout=60)
    chassis.refresh_from_db()
    assert [chassis.remarks] == stored == told
    assert chassis.version == 2
