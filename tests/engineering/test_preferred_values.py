"""Preferred values against published members and against an independent package."""

import math

import eseries
import pytest
from hypothesis import given
from hypothesis import strategies as st

from restoration.engineering.preferred_values import SERIES, nearest, neighbours, tolerance_of, values_between

NAMES = list(SERIES)
POSITIVE = st.floats(1e-13, 1e9)


class TestPublishedMembers:
    """Members as en.wikipedia's page on E series of preferred numbers and qsl.net/g4usp print them."""

    def test_two_digits(self):
        assert SERIES["E3"] == (10, 22, 47)
        assert SERIES["E6"] == (10, 15, 22, 33, 47, 68)
        assert SERIES["E12"] == (10, 12, 15, 18, 22, 27, 33, 39, 47, 56, 68, 82)
        assert set(SERIES["E24"]) - set(SERIES["E12"]) == {11, 13, 16, 20, 24, 30, 36, 43, 51, 62, 75, 91}

    def test_three_digits(self):
        assert SERIES["E48"][::4] == (100, 121, 147, 178, 215, 261, 316, 383, 464, 562, 681, 825)
        printed = {102, 105, 107, 118, 124, 412, 475, 499, 604, 732, 845, 887, 909, 931, 953, 976}
        assert printed <= set(SERIES["E96"])
        assert 920 in SERIES["E192"]
        assert 919 not in SERIES["E192"]

    def test_each_series_has_as_many_members_as_its_name_says(self):
        assert [f"E{len(members)}" for members in SERIES.values()] == NAMES

    @pytest.mark.parametrize(("narrow", "wide"), [("E3", "E6"), ("E6", "E12"), ("E12", "E24"), ("E48", "E96")])
    def test_a_series_is_every_second_member_of_the_next(self, narrow, wide):
        assert SERIES[narrow] == SERIES[wide][::2]

    def test_only_nine_members_are_not_the_rounded_power(self):
        """Package eseries 1.2.1 compared with rounding gives the same nine."""
        exceptions = {
            (name, member)
            for name, digits in (("E24", 10), ("E192", 100))
            for place, member in enumerate(SERIES[name])
            if member != round(digits * 10 ** (place / len(SERIES[name])))
        }
        two_digits = {27, 30, 33, 36, 39, 43, 47, 82}
        assert exceptions == {("E24", member) for member in two_digits} | {("E192", 920)}

    def test_tolerances(self):
        """A mirror of the same page on wikisum.wiki, and eseries 1.2.1."""
        assert {name: tolerance_of(name) for name in NAMES} == {
            "E3": 0.40, "E6": 0.20, "E12": 0.10, "E24": 0.05, "E48": 0.02, "E96": 0.01, "E192": 0.005,
        }  # fmt: skip
        for series in eseries.ESeries:
            assert tolerance_of(series.name) == pytest.approx(eseries.tolerance(series))


@pytest.mark.parametrize("series", list(eseries.ESeries), ids=lambda series: series.name)
class TestAgainstEseries:
    """The package eseries 1.2.1, which was written by others from the same standard."""

    def test_members(self, series):
        assert SERIES[series.name] == tuple(eseries.series(series))

    @pytest.mark.parametrize("decade", range(-12, 9))
    def test_every_decade(self, series, decade):
        least, most = 10.0**decade, 10.0 ** (decade + 1)
        assert values_between(series.name, least, most) == pytest.approx(list(eseries.erange(series, least, most)))

    def test_nearest_by_difference(self, series):
        for step in range(200):
            value = 10 ** (1 + step / 83)
            ours = nearest(series.name, value, by="difference")
            assert ours == pytest.approx(eseries.find_nearest(series, value))

    def test_neighbours(self, series):
        for step in range(200):
            value = 10 ** (1 + step / 83)
            expected = eseries.find_less_than_or_equal(series, value), eseries.find_greater_than_or_equal(series, value)
            assert neighbours(series.name, value) == pytest.approx(expected)


class TestNearest:
    @pytest.mark.parametrize(
        ("name", "value", "found"),
        # Package eseries 1.2.1; ratio and difference agree on these.
        [
            ("E12", 5000, 4700), ("E24", 5000, 5100), ("E48", 5000, 5110), ("E96", 5000, 4990),
            ("E24", 47500, 47000), ("E48", 47500, 46400), ("E96", 47500, 47500),
        ],
    )  # fmt: skip
    def test_examples(self, name, value, found):
        assert nearest(name, value) == nearest(name, value, by="difference") == found

    def test_ratio_and_difference_differ_between_the_two_means(self):
        """Geometric mean of 4.3 and 4.7 is 4.4956, arithmetic 4.5; eseries goes by difference and says 4.3."""
        assert nearest("E24", 4.495) == 4.3
        assert nearest("E24", 4.498) == 4.7
        assert nearest("E24", 4.498, by="difference") == eseries.find_nearest(eseries.E24, 4.498) == 4.3
        assert nearest("E24", 4.501, by="difference") == 4.7

    def test_a_tie_goes_to_the_lower(self):
        """4.5 lies midway between 4.3 and 4.7; eseries says 4.3 too."""
        assert nearest("E24", 4.5, by="difference") == 4.3
        assert nearest("E24", 4500.0, by="difference") == 4300.0
        assert nearest("E24", 45e-12, by="difference") == 43e-12

    def test_the_end_of_a_decade_is_near_the_next(self):
        assert nearest("E6", 9.0) == 10.0
        assert nearest("E192", 9.98e5) == 1e6

    @given(st.sampled_from(NAMES), POSITIVE)
    def test_no_member_is_nearer(self, name, value):
        found = nearest(name, value)
        off = abs(math.log(found / value))
        near = values_between(name, value / 10, value * 10)
        assert off <= min(abs(math.log(member / value)) for member in near) + 1e-12

    @given(st.sampled_from(NAMES), POSITIVE)
    def test_a_member_is_nearest_to_itself(self, name, value):
        member = nearest(name, value)
        assert nearest(name, member) == nearest(name, member, by="difference") == member
        assert neighbours(name, member) == (member, member)

    @given(st.sampled_from(NAMES[3:]), POSITIVE)
    def test_no_value_is_further_from_a_member_than_twice_the_tolerance(self, name, value):
        """Not within the tolerance itself: 102 to 104 of E192 and 13 to 15 of E24 lie wider apart."""
        assert abs(nearest(name, value) / value - 1) < 2.0 * tolerance_of(name)


class TestBetween:
    def test_limits_are_included(self):
        assert values_between("E3", 10, 47) == (10.0, 22.0, 47.0)

    def test_a_limit_of_arithmetic_counts_as_its_member(self):
        assert values_between("E12", 3 * 1.1e-9, 3.9e-9) == (3.3e-9, 3.9e-9)
        assert neighbours("E24", 0.1 + 0.2) == (0.3, 0.3)

    def test_none_between(self):
        assert values_between("E3", 11, 21) == ()

    def test_values_are_the_doubles_people_would_type(self):
        assert values_between("E6", 4.7e-12, 6.8e-12) == (4.7e-12, 6.8e-12)
        assert values_between("E96", 1020, 1050) == (1020.0, 1050.0)

    @given(st.sampled_from(NAMES), POSITIVE, st.floats(1, 1e4))
    def test_rising_and_within(self, name, least, times):
        found = values_between(name, least, least * times)
        assert list(found) == sorted(set(found))
        assert all(least * (1 - 2e-9) <= value <= least * times * (1 + 2e-9) for value in found)


class TestRefusals:
    @pytest.mark.parametrize("value", [0.0, -4.7, math.nan, math.inf, -math.inf, 1e31, 1e-31])
    def test_values_out_of_reach(self, value):
        for asked in (nearest, neighbours):
            with pytest.raises(ValueError) as refused:
                asked("E24", value)
            assert str(refused.value) == (
                f"The value is {value}; preferred values are looked up between 1e-30 and 1e+30."
            )

    def test_limits(self):
        with pytest.raises(ValueError) as refused:
            values_between("E24", 200, 100)
        assert str(refused.value) == "The least value, 200, is above the most, 100."
        with pytest.raises(ValueError) as refused:
            values_between("E24", 1, math.inf)
        assert str(refused.value) == ("The most value is inf; preferred values are looked up between 1e-30 and 1e+30.")

    @pytest.mark.parametrize(
        "asked",
        [
            lambda: tolerance_of("E13"),
            lambda: nearest("E13", 1.0),
            lambda: neighbours("E13", 1.0),
            lambda: values_between("E13", 1.0, 2.0),
        ],
    )
    def test_a_series_there_is_not(self, asked):
        with pytest.raises(ValueError) as refused:
            asked()
        assert str(refused.value) == (
            "There is no series “E13”; the preferred values are E3, E6, E12, E24, E48, E96, E192."
        )

    def test_a_measure_there_is_not(self):
        with pytest.raises(ValueError) as refused:
            nearest("E24", 1.0, by="luck")
        assert str(refused.value) == "Nearest is by ratio or by difference; “luck” was given."
