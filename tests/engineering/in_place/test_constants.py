"""The wiring constants of a site: what holds for whom, told for people, kept as data."""

import json
import math

import pytest

from restoration.engineering.in_place import NOMINAL, SiteConstants, fit
from tests.engineering.in_place.cases import a_case
from tests.engineering.in_place.synthetic import WIRE, links_of_a_site


@pytest.fixture(scope="module")
def fitted():
    return fit([link.record for link in links_of_a_site(11, 24)[:12]])


def test_data_and_back(fitted):
    told = json.loads(json.dumps(fitted.as_dict(), allow_nan=False))
    assert SiteConstants.of_dict(told) == fitted
    assert SiteConstants.of_dict(json.loads(json.dumps(NOMINAL.as_dict()))) == NOMINAL


def test_a_known_drive_is_known_better(fitted):
    drive = next(name for name in fitted.names if name.startswith("drive:")).removeprefix("drive:")
    known, unknown = (fitted.own("tinned copper", key)[1][2, 2] for key in (drive, "another"))
    assert known < unknown
    assert unknown == pytest.approx(fitted.covariance[2][2] + fitted.drive_spread**2)


def test_a_kind_of_wire_without_records_is_known_less(fitted):
    here, there = (fitted.own(kind, "")[1] for kind in ("tinned copper", "screened"))
    assert there[0, 0] == pytest.approx(here[0, 0] + fitted.kind_spread**2)
    assert there[1, 1] == pytest.approx(here[1, 1] + fitted.kind_spread**2)


def test_rows_for_people(fitted):
    rows = {row.name: row for row in fitted.rows()}
    assert list(rows) == ["capacitance_f_per_m", "inductance_h_per_m", "drive_factor", "drive_spread"]
    assert rows["capacitance_f_per_m"].wire == "tinned copper"
    assert rows["capacitance_f_per_m"].value == pytest.approx(WIRE.capacitance_f_per_m * math.exp(fitted.means[0]))
    for row in rows.values():
        assert 0 < row.low < row.value < row.high
    wider = {row.name: row for row in fitted.rows(0.99)}
    assert all(wider[name].low < row.low and row.high < wider[name].high for name, row in rows.items())


def test_applied_to_a_case():
    case = NOMINAL.applied(a_case(), "", "")
    assert case == a_case()


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        (
            {"names": ["capacitance"]},
            "There are 1 names of constants; means and covariance have to be of the same size.",
        ),
        (
            {"names": ["a", "b", "c"]},
            "The first three constants are capacitance, inductance, drive; a, b, c were given.",
        ),
        ({"drive_spread": math.nan}, "Every constant of a site has to be a finite number; one that is not was given."),
        (
            {"wires": None},
            "These are no wiring constants of a site: something is missing or not as it should be ('NoneType' object "
            "has no attribute 'items').",
        ),
    ],
)
def test_data_that_cannot_be_is_refused(change, sentence):
    with pytest.raises(ValueError) as refused:
        SiteConstants.of_dict({**NOMINAL.as_dict(), **change})
    assert str(refused.value) == sentence


@pytest.mark.parametrize("level", [0.0, 1.0, 90.0, math.nan])
def test_a_level_is_a_part_of_one(level):
    with pytest.raises(
        ValueError, match=r"The level of an interval is a part of one, above 0 and below 1; .* was given\."
    ):
        NOMINAL.rows(level)
