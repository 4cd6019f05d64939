"""Many layers: Lyle, Grover's coil of Brooks, the integral of Bessel functions, Neumann's integral."""

import math

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.special import j0, j1, struve

from restoration.engineering.coils import (
    Block,
    Laid,
    Layer,
    block_h,
    current_sheet_h,
    layered_h,
    loops_h,
    wheeler_multilayer_h,
)
from restoration.engineering.coils.many_layers import MOST_LAYERS
from restoration.engineering.coils.sheet import MU0

MM = 1e-3
MICRO = 1e-6


def bessel(function, radius_m):
    """The integral of a function of k from nought far out, by Gauss's points between the zeros."""
    step = math.pi / radius_m
    points, weights = np.polynomial.legendre.leggauss(16)
    k = (np.arange(3000)[:, None] + 0.5 + points / 2) * step
    return float((function(k) * weights).sum() * step / 2)


def along(k, length_m):
    """Mean of exp(-k |z1 - z2|) over one length twice."""
    reach = k * length_m
    return 2 * (reach - 1 + np.exp(-reach)) / reach**2


def sheets_h(one_m, other_m, length_m):
    """Mutual inductance of two sheets of one turn each, of the same length."""
    return bessel(
        lambda k: math.pi * MU0 * one_m * other_m * j1(k * one_m) * j1(k * other_m) * along(k, length_m), other_m
    )


def even_block_h(block):
    """Self-inductance of an evenly filled rectangle by the same integral, with Struve functions for the radii."""

    def reached(x):
        return math.pi * x / 2 * (j1(x) * struve(0, x) - j0(x) * struve(1, x))

    inner, outer = block.radius_m - block.depth_m / 2, block.radius_m + block.depth_m / 2

    def part(k):
        across = (reached(k * outer) - reached(k * inner)) / k**2 / block.depth_m
        return math.pi * MU0 * block.turns**2 * across**2 * along(k, block.length_m)

    return bessel(part, block.radius_m)


class TestLoops:
    @pytest.mark.parametrize(("one_mm", "other_mm", "apart_mm"), [(100, 100, 100), (10, 12, 1), (5, 50, 20)])
    def test_against_neumann(self, one_mm, other_mm, apart_mm):
        """mu0 / 2 × the integral of a b cos(phi) / distance over a turn, by scipy's quadrature."""
        a, b, z = one_mm * MM, other_mm * MM, apart_mm * MM

        def part(angle):
            return math.cos(angle) / math.sqrt(a * a + b * b + z * z - 2 * a * b * math.cos(angle))

        wanted = MU0 * a * b * quad(part, 0, math.pi, epsabs=0, epsrel=1e-11, limit=200)[0]
        assert float(loops_h(np.array(a), np.array(b), np.array(z))) == pytest.approx(wanted, rel=1e-9)


def layers_of_block(count):
    """5000 turns 10 mm long and 10 mm deep round 20 mm, in so many layers."""
    return [Laid(Layer(5000 / count, 2 * (0.010 + (number + 0.5) * 0.01 / count), 0.01)) for number in range(count)]


class TestLayers:
    def test_one_layer_is_the_sheet(self):
        layer = Layer(80, 0.02, 0.04)
        assert layered_h([Laid(layer)]) == current_sheet_h(layer)

    @pytest.mark.parametrize(("other_mm", "length_mm"), [(10.5, 25.0), (10.05, 25.0), (14.0, 3.0)])
    def test_two_layers_against_bessel(self, other_mm, length_mm):
        """Tolerance 1e-6: the integral is cut off."""
        one, other = (Layer(50, 2 * radius * MM, length_mm * MM) for radius in (10.0, other_mm))
        wanted = current_sheet_h(one) + current_sheet_h(other)
        wanted += 2 * 50**2 * sheets_h(10.0 * MM, other_mm * MM, length_mm * MM)
        assert layered_h([Laid(one), Laid(other)]) == pytest.approx(wanted, rel=1e-6)

    def test_one_layer_cut_in_two_is_the_same(self):
        """Two halves of a layer on almost one radius, end to end: the corners that are not alike."""
        whole = current_sheet_h(Layer(80, 0.02, 0.04))
        halves = [Laid(Layer(40, 0.02, 0.02)), Laid(Layer(40, 0.02 * (1 + 1e-9), 0.02), 0.02)]
        assert layered_h(halves) == pytest.approx(whole, rel=1e-6)

    def test_a_short_layer_lies_where_it_starts(self):
        """Over the middle of a layer it couples more than over its end, and mirrored it couples as much."""
        below = Laid(Layer(100, 0.02, 0.04))
        left, middle, right = (layered_h([below, Laid(Layer(20, 0.021, 0.008), at)]) for at in (0.0, 0.016, 0.032))
        assert middle > 1.02 * left
        assert left == pytest.approx(right, rel=1e-9)

    def test_many_thin_layers_become_the_block(self):
        """What sheets differ from the even block goes with 1 / layers²: 9 in ten thousand with 25 of them."""
        block_is_h = block_h(Block(5000, 0.015, 0.01, 0.01))
        off = [layered_h(layers_of_block(count)) / block_is_h - 1.0 for count in (25, 50)]
        assert off[0] == pytest.approx(9e-4, rel=0.01)
        assert off[0] / off[1] == pytest.approx(4.0, rel=0.01)

    @pytest.mark.parametrize("count", [0, MOST_LAYERS + 1])
    def test_how_many(self, count):
        with pytest.raises(ValueError, match=f"A coil has 1 to 100 layers here; {count} were given."):
            layered_h([Laid(Layer(10, 0.02, 0.01))] * count)


WORKED = [
    # turns, mean radius, length, depth (mm); loops 24 × 24; Lyle's fourth order by a public package; Wheeler (µH)
    (500, 10, 10, 10, 3165.81, 3166.41, 3149.606),
    (1000, 12.5, 15, 10, 15881.87, 15882.27, 15875.03),
    (300, 8, 10, 5, 967.035, 966.825, 964.986),
    (200, 15, 5, 5, 1509.418, 1509.416, 1532.241),
    (1000, 10, 30, 5, 8313.95, 8304.7, 8288.44),
]


class TestBlock:
    @pytest.mark.parametrize("worked", WORKED, ids=lambda worked: "{}-{}-{}-{}".format(*worked[:4]))
    def test_against_bessel(self, worked):
        """Independent of any loop: Bessel and Struve functions of scipy. Tolerance 1e-7."""
        turns, radius, length, depth = worked[:4]
        block = Block(turns, radius * MM, length * MM, depth * MM)
        assert block_h(block) == pytest.approx(even_block_h(block), rel=1e-7)

    @pytest.mark.parametrize("worked", WORKED, ids=lambda worked: "{}-{}-{}-{}".format(*worked[:4]))
    def test_against_loops_lyle_and_wheeler(self, worked):
        """Loops and Lyle to 2e-4 where the section is near square.

        On the long coil (30 by 5 mm) they disagree, 8313.95 and 8304.7 with 8287.53 by the integral of Bessel
        functions: there loops of a square grid and Lyle's series are outside their range, and 0.4 % is allowed.
        """
        turns, radius, length, depth, loops, lyle, wheeler = worked
        found = block_h(Block(turns, radius * MM, length * MM, depth * MM)) / MICRO
        within = 2e-4 if length < 30 else 4e-3
        assert found == pytest.approx(loops, rel=within)
        assert found == pytest.approx(lyle, rel=within)
        block = Block(turns, radius * MM, length * MM, depth * MM)
        assert wheeler_multilayer_h(block) / MICRO == pytest.approx(wheeler, rel=1e-6)
        assert found == pytest.approx(wheeler, rel=1.6e-2)

    def test_coil_of_brooks(self):
        """Grover: a square section whose inner radius is its side has 1.6994e-6 a N² (a mean radius); from memory."""
        assert block_h(Block(1, 0.015, 0.01, 0.01)) == pytest.approx(1.6994e-6 * 0.015, rel=3e-5)

    @pytest.mark.parametrize(
        ("depth_over_length", "distance"),
        # Lyle 1914 p. 429, table 1: geometric mean distance of a rectangle over the sum of its sides.
        [(0.025, 0.223328), (0.1, 0.223599), (0.25, 0.223686), (0.5, 0.223601), (1.0, 0.223525)],
    )
    def test_thin_ring_has_lyles_mean_distance(self, depth_over_length, distance):
        """A ring far larger than its section: mu0 a (ln(8 a / R) - 2); what is left out goes with (b/a)² ln(a/b)."""
        radius_m, length_m = 1.0, 1e-3
        depth_m = depth_over_length * length_m
        found = block_h(Block(1, radius_m, length_m, depth_m)) / (MU0 * radius_m)
        mean_m = 8.0 * radius_m / math.exp(found + 2.0)
        assert mean_m / (length_m + depth_m) == pytest.approx(distance, rel=2e-5)

    @pytest.mark.parametrize("length_m", [2.0, 1.0, 0.5])
    def test_thin_block_is_the_sheet(self, length_m):
        sheet = current_sheet_h(Layer(1, 2.0, length_m))
        assert block_h(Block(1, 1.0, length_m, 1e-6)) == pytest.approx(sheet, rel=1e-5)

    @pytest.mark.parametrize("nonsense", [0.0, -1.0, math.nan, math.inf])
    @pytest.mark.parametrize(
        ("place", "words"), [(0, "a number of turns"), (1, "a radius"), (2, "a length"), (3, "a depth")]
    )
    def test_nonsense(self, place, words, nonsense):
        given_ = [100.0, 0.02, 0.05, 0.005]
        given_[place] = nonsense
        with pytest.raises(ValueError, match=f"A coil has {words} above zero; {nonsense} was given."):
            Block(*given_)

    def test_past_the_axis(self):
        with pytest.raises(
            ValueError, match="A winding 10 mm deep round a mean radius of 4 mm would reach past the axis."
        ):
            Block(100, 0.004, 0.01, 0.01)
