"""A site whose wires and drives are not as drawn: by how much is hidden in what was measured."""

from restoration.conditioning.known import case_of
from restoration.engineering.in_place import predict
from restoration.engineering.in_place.constants import with_factors
from restoration.machine.models import Interconnect, TerminalFigures
from tests.conditioning.links import bench_test, check, made_link

HIDDEN = (1.22, 0.88, 1.3)
"""Factors on capacitance, inductance and drive resistance."""
LENGTHS_M = (2.0, 8.0, 5.0, 3.0, 9.0, 6.5, 4.0, 7.0)
DRIVES_OHM = (150.0, 1500.0, 100.0, 1000.0)
LOADS_OHM = (1.2e3, 47e3, 680.0, 22e3, 2.2e3, 100e3, 1e3, 10e3)


def wired(number):
    """One link of the site, made where it is not there yet."""
    ends = f"B-0{number + 1}:7", f"C-0{number + 1}:2"
    link = Interconnect.objects.filter(code=">".join(ends)).first() or made_link(*ends, length_m=LENGTHS_M[number])
    TerminalFigures.objects.filter(design=link.load.slot.design).update(load_ohm=LOADS_OHM[number])
    drive_ohm = DRIVES_OHM[number % len(DRIVES_OHM)]
    TerminalFigures.objects.filter(design=link.source.slot.design).update(drive_ohm=drive_ohm)
    return Interconnect.objects.with_ends().get(pk=link.pk)


def site(tester, second, count=8, *, hidden=HIDDEN, days=2.0):
    """So many links, each tested on the bench and checked in place."""
    return [measured(wired(number), tester, second, hidden=hidden, days=days) for number in range(count)]


def measured(link, tester, second, *, hidden=HIDDEN, days=2.0, times=1.0):
    """Test the source of a link on the bench and check the link as its hidden constants have it."""
    if not link.source.slot.fittings.get(removed_at=None).chassis.benchtests.exists():
        bench_test(link, tester)
    figures = predict(with_factors(case_of(link).case, hidden)).load
    told = {name: figures.get(name) for name in ("amplitude", "pulse_duration", "rise_time", "fall_time", "overshoot")}
    told["amplitude"] *= times
    check(link, tester, second, days=days, **told)
    return link
