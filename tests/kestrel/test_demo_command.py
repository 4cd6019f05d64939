import pytest

from restoration.machine.models import Machine, Rack
from restoration.people.models import Person
from tests.factories import make_rack

pytestmark = pytest.mark.django_db


def test_someones_work_is_left_alone(run_command):
    make_rack("C")
    status, _, err = run_command("demo", "--no-serve")
    assert status == 2
    assert err.startswith("This database holds someone's work, so the demonstration is not put into it.")
    assert Rack.objects.count() == 1
    assert not Person.objects.exists()


def test_a_demonstration_that_is_there_is_not_filled_again(run_command):
    Machine.objects.create(name="Kestrel Sands tide computer", is_demo=True)
    status, out, _ = run_command("demo", "--no-serve")
    assert (status, out) == (0, "The demonstration is in this database already.\n")
