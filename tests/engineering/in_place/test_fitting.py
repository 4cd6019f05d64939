"""The fit: finds hidden constants, is not led by wild records, does not run away on few."""

import math
from dataclasses import replace

import pytest

from restoration.engineering.in_place import NOMINAL, LinkCase, Record, WireConstants, fit, predict
from restoration.engineering.in_place.constants import with_factors
from restoration.engineering.link_model import LinkLoad, PulseSource
from tests.engineering.in_place.cases import a_case
from tests.engineering.in_place.synthetic import links_of_a_site

HIDDEN = (1.20, 0.85, 1.30)
LOADS = [LinkLoad(1500.0, 40e-12), LinkLoad(4700.0, 20e-12), LinkLoad(22e3, 60e-12), LinkLoad(100e3, 15e-12)]


def exact_records(factors=HIDDEN, wire="tinned copper", count=12):
    """Records without noise, each of a drive of its own, as the hidden factors make them."""
    records = []
    for number in range(count):
        source = PulseSource(0.0, 20.0, 2e-6, (60 + 15 * number) * 1e-9, 1.3e-7, (150.0, 400.0, 1000.0)[number % 3])
        case = LinkCase(source, 1.0 + 0.5 * number, WireConstants(12e-12, 0.9e-6), LOADS[number % 4])
        figures = predict(with_factors(case, factors)).load
        measured = {
            "amplitude": (figures.amplitude_v, 0.005 * figures.amplitude_v),
            "rise_time": (figures.rise_time_s, 0.01 * figures.rise_time_s),
            "fall_time": (figures.fall_time_s, 0.01 * figures.fall_time_s),
            "overshoot": (figures.overshoot, 0.005),
        }
        records.append(Record(f"K{number}", case, measured, wire, f"V{number}"))
    return records


@pytest.fixture(scope="module")
def fitted():
    return fit(exact_records())


def test_hidden_constants_are_found(fitted):
    """Within 6 %, the drive within 3 %: the prior pulls a little, and what is unsaid is guessed, not nothing."""
    found = fitted.factors("tinned copper", "")
    assert found[0] == pytest.approx(HIDDEN[0], rel=0.06)
    assert found[1] == pytest.approx(HIDDEN[1], rel=0.06)
    assert found[2] == pytest.approx(HIDDEN[2], rel=0.03)
    assert fitted.record_count == 12
    assert fitted.wild == ()


def test_and_lie_within_what_is_stated(fitted):
    for mean, row, hidden in zip(fitted.means, range(3), HIDDEN, strict=False):
        assert abs(mean - math.log(hidden)) < 2.5 * math.sqrt(fitted.covariance[row][row])


def test_the_same_records_give_the_same_constants(fitted):
    assert fit(exact_records()) == fitted


def test_a_few_wild_records_are_named_and_do_not_lead(fitted):
    records = exact_records()
    for at, factor in ((2, 10.0), (7, 0.5)):
        measured = dict(records[at].measured)
        value, uncertainty = measured["amplitude"]
        measured["amplitude"] = (factor * value, factor * uncertainty)
        records[at] = replace(records[at], measured=measured)
    found = fit(records)
    assert [words.split(":")[0] for words in found.wild] == ["K2", "K7"]
    assert "K2: its amplitude is " in found.wild[0]
    assert found.wild[0].endswith(" standard deviations above what the other records say.")
    assert found.factors("tinned copper", "")[2] == pytest.approx(HIDDEN[2], rel=0.08)
    assert found.scatter["amplitude"] < 2 * fitted.scatter["amplitude"]


def test_one_record_does_not_run_away():
    """One amplitude that would need a drive of twenty times the drawing's: the prior holds."""
    case = a_case(load=LinkLoad(4700.0, 30e-12))
    found = fit([Record("K1", case, {"amplitude": (8.0, 0.08)}, drive="V1")])
    assert 0.5 < found.factors("", "")[2] < 2.5
    assert found.factors("", "")[0] == pytest.approx(1.0, abs=0.1)


def test_more_records_tell_more():
    links = [link.record for link in links_of_a_site(17, 14)]
    sizes = [fit(links[:count]) for count in (2, 6, 14)]
    deviations = [[math.sqrt(found.covariance[at][at]) for at in range(3)] for found in sizes]
    assert deviations[0] > deviations[1] > deviations[2]
    assert all(few > many for few, many in zip(deviations[0], deviations[2], strict=True))


def test_kinds_of_wire_with_records_enough_get_constants_of_their_own():
    records = [*exact_records(), *exact_records((0.9, 0.85, 1.30), wire="in the long loom", count=9)[1:]]
    found = fit(records)
    assert "capacitance:in the long loom" in found.names
    copper, loom = (found.factors(kind, "")[0] for kind in ("tinned copper", "in the long loom"))
    assert copper > 1.05 * loom


def test_records_without_a_figure_that_is_fitted_tell_nothing():
    assert fit([Record("K1", a_case(), {"delay": (1e-8, 1e-9)})]) == NOMINAL


def test_a_prior_with_records_is_refused(fitted):
    with pytest.raises(ValueError) as refused:
        fit(exact_records(), prior=fitted)
    assert str(refused.value) == (
        "The prior of a fit has no records of its own; this one has 12. Fit all records at once."
    )
