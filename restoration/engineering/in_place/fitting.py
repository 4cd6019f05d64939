"""The wiring constants of a site, fitted to its own records."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

import numpy as np
from scipy.optimize import least_squares

from restoration.engineering.in_place.constants import (
    CAPACITANCE,
    COMMON,
    DRIVE,
    INDUCTANCE,
    NOMINAL,
    PRIOR_WEIGHT,
    Matrix,
    SiteConstants,
    pick_rows,
)
from restoration.engineering.in_place.records import Nearby, Record, look_nearby
from restoration.engineering.in_place.scales import FITTED, UNSAID
from restoration.engineering.limits import Quantity
from restoration.engineering.refusals import refuse_unless

KNEE = 3.0
"""Standard deviations beyond which a figure pulls no longer with its square but with its distance."""
WILD = 4.5
"""Standard deviations beyond which a figure is called wild, named, and left out of the scatter."""
ENOUGH_OF_A_KIND = 4
"""Records of one kind of wire from which it gets constants of its own."""
MOST_ROUNDS = 5
FULL_ROUNDS = 2
"""Rounds that go all the way; later ones go a half, a third and so on, since figures have kinks."""
SPREAD_ROUNDS = 25
RATIO_WEIGHT = 10.0
"""How many figures the expectation that the stated uncertainties are right counts for."""
CLOSE = 0.1
"""Change of the common logarithms, in their own standard deviations, below which the fit has come to rest."""


def fit(records: Sequence[Record], prior: SiteConstants = NOMINAL) -> SiteConstants:
    """Constants of the site from its records, the prior holding them where records are few.

    Formula: the most likely logarithms of the factors on C', L' and drive resistance, common to the site, with one
    each for kinds of wire that have records enough and for each drive, under Gaussian priors: minimise
    sum rho(((y - f)/s)^2) + (m - m0)' S0^-1 (m - m0) + sum (m_kind/sd_kind)^2 + sum (m_drive/sd_drive)^2, with
    s^2 = r^2 (u^2 + unsaid^2) and rho(z) = 2 k^2 (sqrt(1 + z/k^2) - 1) beyond about k = 3 deviations, so
    that a wild record is named and does not lead. Each round takes the model as straight about where it stands and
    solves that with scipy's least_squares; the ratio r of each quantity and the spread between drives then follow by
    expectation and maximisation. Covariance is the inverse of the curvature.
    Source: Gauss-Newton, empirical Bayes of linear mixed models, the ratio after R. T. Birge, "The calculation of
    errors by the method of least squares", Phys. Rev. 40, 1932 (from memory). The model is
    `figures.predict`. Valid for records whose cases are right but for these constants; what else is wrong goes into
    the scatter. Deterministic. Units: none; the logarithms are of factors. Errors: ValueError for a prior that holds
    records itself, which would count them twice.

    >>> fit([]) == SiteConstants.from_geometry()
    True
    """
    refuse_unless(
        prior.record_count == 0 and prior.names == COMMON,
        f"The prior of a fit has no records of its own; this one has {prior.record_count}. Fit all records at once.",
    )
    kept = [record for record in records if any(quantity in FITTED for quantity, _ in record.figures())]
    if not kept:
        return prior
    names = _names(kept)
    state = _State(kept, names, prior, np.concatenate([prior.means, np.zeros(len(names) - 3)]))
    for done in range(MOST_ROUNDS):
        if state.improve(1.0 / max(1, done - FULL_ROUNDS + 2)) < CLOSE:
            break
    return state.constants()


def _names(records: Sequence[Record]) -> tuple[str, ...]:
    kinds = sorted({record.wire for record in records})
    own = [kind for kind in kinds if sum(record.wire == kind for record in records) >= ENOUGH_OF_A_KIND]
    if len(kinds) == 1:
        own = []
    drives = sorted({_drive(record) for record in records})
    return (
        *COMMON,
        *(f"{constant}:{kind}" for constant in (CAPACITANCE, INDUCTANCE) for kind in own),
        *(f"{DRIVE}:{drive}" for drive in drives),
    )


def _drive(record: Record) -> str:
    """The drive of a record; one that names none is taken for a drive of its own."""
    return record.drive or record.name


@dataclass(frozen=True)
class _Straight:
    """The model taken as straight: what is measured less what is predicted, slopes, and which figure each row is."""

    at: Matrix
    misses: Matrix
    slopes: Matrix
    expected: Matrix
    quantities: tuple[Quantity, ...]
    owners: tuple[int, ...]

    def misses_at(self, means: Matrix) -> Matrix:
        return self.misses - self.slopes @ (means - self.at)


class _State:
    """A fit on its way."""

    def __init__(self, records: Sequence[Record], names: tuple[str, ...], prior: SiteConstants, means: Matrix) -> None:
        self.records, self.names, self.prior, self.means = records, names, prior, means
        self.picks = [pick_rows(names, record.wire, _drive(record)) for record in records]
        self.ratios = dict.fromkeys(FITTED, 1.0)
        self.drive_spread = prior.drive_spread
        self.straight = _Straight(means, np.empty(0), np.empty((0, means.size)), np.empty(0), (), ())

    def look(self) -> None:
        """Take the model as straight about the means."""
        near = [
            look_nearby(record.case, record.end, picks @ self.means, FITTED)
            for record, picks in zip(self.records, self.picks, strict=True)
        ]
        self.straight = self._straightened(near)

    def _straightened(self, near: Sequence[Nearby]) -> _Straight:
        misses, slopes, expected, quantities, owners = [], [], [], [], []
        for at, (record, picks, there) in enumerate(zip(self.records, self.picks, near, strict=True)):
            for datum in record.data(there.figures):
                misses.append(datum.value - there.values[datum.quantity])
                slopes.append(np.array(there.slopes[datum.quantity]) @ picks)
                expected.append(math.hypot(datum.uncertainty, UNSAID[datum.quantity]))
                quantities.append(datum.quantity)
                owners.append(at)
        return _Straight(
            self.means,
            np.array(misses),
            np.array(slopes),
            np.array(expected),
            tuple(quantities),
            tuple(owners),
        )

    def improve(self, share: float) -> float:
        """One round; returns how far the common logarithms moved, in standard deviations of theirs."""
        before = self.means
        self.look()
        for _ in range(2):
            self.means = self._most_likely()
            self._spread()
        self.means = before + share * (self._most_likely() - before)
        moved = np.abs(self.means - before) / np.sqrt(np.diag(self._covariance()))
        return float(moved[:3].max())

    @property
    def deviations(self) -> Matrix:
        """Standard deviation of each figure about the model: stated and unsaid, times the ratio of its quantity."""
        ratios = np.array([self.ratios[quantity] for quantity in self.straight.quantities])
        deviations: Matrix = ratios * self.straight.expected
        return deviations

    @property
    def precision(self) -> Matrix:
        """What the prior says, as the inverse of its covariance."""
        spreads = [
            self.drive_spread if name.startswith(f"{DRIVE}:") else self.prior.kind_spread for name in self.names[3:]
        ]
        inverse = np.zeros((len(self.names), len(self.names)))
        inverse[:3, :3] = np.linalg.inv(np.array(self.prior.covariance))
        inverse[3:, 3:] = np.diag([spread**-2.0 for spread in spreads])
        return inverse

    def _most_likely(self) -> Matrix:
        straight, deviations = self.straight, self.deviations
        root = np.linalg.cholesky(self.precision).T
        prior_means = np.concatenate([self.prior.means, np.zeros(len(self.names) - 3)])
        count = straight.misses.size

        def misses(means: Matrix) -> Matrix:
            return np.concatenate([straight.misses_at(means) / deviations, root @ (prior_means - means)])

        slopes = np.vstack([-straight.slopes / deviations[:, None], -root])
        found = least_squares(
            misses, self.means, jac=lambda _: slopes, loss=lambda squares: _loss(squares, count), method="trf"
        )
        return np.asarray(found.x)

    def _weights(self) -> Matrix:
        """What each figure counts for: all of one, less beyond the knee, nothing where it is wild."""
        far = np.abs(self.straight.misses_at(self.means)) / self.deviations
        weights: Matrix = np.where(far > WILD, 0.0, 1.0 / np.sqrt(1.0 + (far / KNEE) ** 2))
        return weights

    def _covariance(self) -> Matrix:
        slopes = self.straight.slopes / self.deviations[:, None]
        return np.asarray(np.linalg.inv(self.precision + slopes.T @ (self._weights()[:, None] * slopes)), float)

    def _spread(self) -> None:
        """Ratio of each quantity's scatter to what was expected, and spread between drives, until they rest."""
        for _ in range(SPREAD_ROUNDS):
            covariance = self._covariance()
            tame = self._weights() > 0.0
            of_model = np.einsum("ij,jk,ik->i", self.straight.slopes, covariance, self.straight.slopes)
            misses = self.straight.misses_at(self.means)
            seen = (misses**2 + of_model) / self.straight.expected**2
            for quantity in FITTED:
                rows = tame & np.array([one is quantity for one in self.straight.quantities])
                self.ratios[quantity] = math.sqrt(
                    (RATIO_WEIGHT + float(seen[rows].sum())) / (RATIO_WEIGHT + rows.sum())
                )
            self._spread_of_drives(covariance)

    def _spread_of_drives(self, covariance: Matrix) -> None:
        at = [place for place, name in enumerate(self.names) if name.startswith(f"{DRIVE}:")]
        if at:
            expected = self.means[at] ** 2 + np.diag(covariance)[at]
            guess = self.prior.drive_spread**2
            self.drive_spread = math.sqrt(
                (PRIOR_WEIGHT * guess + float(expected.sum())) / (PRIOR_WEIGHT + expected.size)
            )

    def constants(self) -> SiteConstants:
        straight, deviations = self.straight, self.deviations
        far = straight.misses_at(self.means) / deviations
        wild = tuple(
            f"{self.records[owner].name}: its {quantity.words} is {abs(miss):.1f} standard deviations "
            f"{'above' if miss > 0 else 'below'} what the other records say."
            for miss, quantity, owner in zip(far.tolist(), straight.quantities, straight.owners, strict=True)
            if abs(miss) > WILD
        )
        scatter, freedom = dict(self.prior.scatter), dict(self.prior.freedom)
        for quantity in FITTED:
            rows = [one is quantity for one in straight.quantities]
            if any(rows):
                scatter[quantity] = self.ratios[quantity] * float(np.median(straight.expected[rows]))
            freedom[quantity] = RATIO_WEIGHT + sum(rows)
        return replace(
            self.prior,
            names=self.names,
            means=tuple(self.means.tolist()),
            covariance=tuple(tuple(row) for row in self._covariance().tolist()),
            drive_spread=self.drive_spread,
            scatter=MappingProxyType(scatter),
            freedom=MappingProxyType(freedom),
            record_count=len(self.records),
            wires=MappingProxyType({record.wire: record.case.wire for record in self.records}),
            wild=wild,
        )


def _loss(squares: Matrix, count: int) -> Matrix:
    """Soft beyond the knee for the first so many, plain squares for the rest (the priors)."""
    told = squares[:count] / KNEE**2
    rho = np.vstack([squares, np.ones_like(squares), np.zeros_like(squares)])
    root = np.sqrt(1.0 + told)
    rho[:, :count] = 2 * KNEE**2 * (root - 1.0), 1.0 / root, -0.5 / KNEE**2 / root**3
    return rho
