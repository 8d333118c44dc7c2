"""Sudden changes of a factory's pace: a machine lost, a second shift, another saw.

A level that only wanders needs months to follow a step, and every forecast it made meanwhile reads
as if the factory were that uncertain. So steps are looked for by themselves: the likeliest first day
of one (a score test over every day of placing, on the working weights of a fit), kept if a stiff
level with that step explains the past much better than any level that wanders or drifts without it.
Open orders speak too, so a step shows before the late orders have shipped. Pure numpy.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from ordering.estimator.level import BREAK, Array, Fit, Level, Orders, fit, working_targets

STIFF = 0.01
# Log of how much likelier a step must make the past, how many there may be, and how many orders,
# shipped or overdue, must stand on either side of one.
MUCH, MOST, FEWEST = 6.0, 3, 8


def sudden_changes(orders: Orders, day: int, rank: int, rivals: list[Level]) -> tuple[int, ...]:
    """First days (since 1970) of the changes seen by `day`, the earliest first.

    `rivals` are the levels without a sudden change that the past might be explained by instead.
    """
    if np.count_nonzero(orders.shipped <= day) < 2 * FEWEST:
        return ()
    stiff = replace(rivals[0], wander=STIFF, drift=0.0)
    kept: tuple[int, ...] = ()
    best = max(fit(orders, day, rank, rival).evidence for rival in rivals)
    breaks, now = kept, fit(orders, day, rank, stiff)
    for _ in range(MOST):
        # Two may be needed before either explains much: up and down again, or in two steps.
        start = _likeliest(orders, now, now, rank)
        if start is None or start in breaks:
            break
        without = now
        now = fit(orders, day, rank, replace(stiff, breaks=(*breaks, start)))
        # Once the step is there the orders weigh differently, and its day shows better.
        better = _likeliest(orders, without, now, rank)
        if better is not None and better not in (start, *breaks):
            again = fit(orders, day, rank, replace(stiff, breaks=(*breaks, better)))
            if again.evidence > now.evidence:
                start, now = better, again
        breaks = (*breaks, start)
        if now.evidence > best + MUCH * (len(breaks) - len(kept)):
            kept, best = breaks, now.evidence
    return tuple(sorted(kept))


def _likeliest(orders: Orders, without: Fit, seen: Fit, rank: int) -> int | None:
    """The day of placing from which a step beside the level of `without` would raise the likelihood
    most, the orders weighing as in the fit `seen`; None where none can.
    """
    rows, log_days, done = orders.as_known(without.day, rank)
    known = orders.take(rows)
    expected = seen.middle(known)
    weight, aim, _ = working_targets(log_days - np.log(known.middle), expected, done, seen.noise)
    heavy, weight = weight, weight / seen.noise
    aim = aim - (expected - seen.design(known) @ seen.beta)
    days, first = np.unique(known.placed, return_index=True)

    def since(values: Array) -> Array:
        """Sums of `values` over the orders placed on or after each of `days`."""
        return np.cumsum(values[::-1], axis=0)[::-1][first]

    design = without.design(known)
    weighted = design * weight[:, None]
    covariance = np.linalg.inv(design.T @ weighted + without.penalty())
    miss = aim - design @ (covariance @ (weighted.T @ aim))
    crossed = since(weighted)
    own = since(weight) - np.einsum("ij,jk,ik->i", crossed, covariance, crossed)
    gain = since(weight * miss) ** 2 / (np.maximum(own, 0.0) + 1 / BREAK**2)
    after = since(heavy)
    gain[(after < FEWEST) | (after[0] - after < FEWEST)] = 0.0
    return int(days[gain.argmax()]) if gain.any() else None
