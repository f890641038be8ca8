"""What ten finds and eight pairs can tell of an eye, whatever was thought of it before.

    python -m tests.proof.eye_priors --plants 150 --seeds 7 8

Growers as in `eyes`. Is ln P(log | theta) right: its slope at the true factor is 0 on average. How
much is in a find: the mean square of that slope (Fisher's information; the bound of an unbiased
estimate: Cramér 1946, Rao 1945). And the mean that is told after ten finds and eight pairs, under
the prior in use, under others of the same mean, and under the one of all priors whose greatest
error is least.
"""

import argparse
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.optimize import minimize

from rounds.core.estimates.own_detection import times_tried
from tests.proof.eyes import ADULTS, EYES, KNOWN, Told, growers, plants_of, told_by
from tests.proof.logs import EVERY

Array = np.ndarray
GRID = np.linspace(KNOWN.least, KNOWN.most, 141)
FINDS, PAIRS = 10, 8
ENOUGH = (250, 200)
"""finds and pairs from which the mean lies within .15 of the truth, whatever the eye and rhythm"""
STEP = 0.02
"""of theta, either side of the true one, for a slope"""
NAME = 24
"""width of the column of names"""
GREATEST = 8
"""power of the errors whose sum stands for the greatest of them"""


@dataclass(frozen=True, slots=True)
class Slope:
    """What the slope of ln P by theta says at the true factor, over plants."""

    z: float
    """mean over its standard error: 0 where the chances are right"""
    error_of_ten: float
    """least standard error of an unbiased estimate from ten finds"""


def at(told: Told, thetas: Array) -> Array:
    """ln P(log | theta) between the factors tried: the polynomial in ln theta through them."""
    tried = np.log(times_tried(KNOWN))
    fit = np.polynomial.Polynomial.fit(tried, told.chances, len(tried) - 1)
    found: Array = fit(np.log(thetas))
    return found


def slope(told: Sequence[Told], theta: float) -> Slope:
    """Of all plants of growers with one factor."""
    sides = np.array([at(one, np.array([theta - STEP, theta + STEP])) for one in told])
    slopes = (sides[:, 1] - sides[:, 0]) / (2 * STEP)
    finds = np.mean([one.found for one in told])
    return Slope(
        float(slopes.mean() / slopes.std() * len(slopes) ** 0.5),
        float((slopes.var() * FINDS / finds) ** -0.5),
    )


def priors() -> dict[str, Array]:
    """Logarithms of densities on the grid, each tilted to a mean of 1 but for the last."""
    rate = -np.log1p(-ADULTS)
    found, missed = np.log(-np.expm1(-rate * GRID)), -rate * GRID
    return {
        "beta(8, 2), in use": _with_mean_one(7 * found + 2 * missed),
        "beta(4, 1)": _with_mean_one(3 * found + missed),
        "beta(2, .5)": _with_mean_one(found + 0.5 * missed),
        "flat in theta, mean 1": _with_mean_one(0 * GRID),
        "flat in theta": 0 * GRID,
        "flat in ln theta": -np.log(GRID),
    }


def _with_mean_one(plain: Array) -> Array:
    low, high = -100.0, 100.0
    for _ in range(60):
        tilt = (low + high) / 2
        weights = _shares(plain + tilt * GRID)
        low, high = (tilt, high) if weights @ GRID < 1 else (low, tilt)
    return plain + low * GRID


def _shares(logs: Array) -> Array:
    weights = np.exp(logs - logs.max(axis=-1, keepdims=True))
    shares: Array = weights / weights.sum(axis=-1, keepdims=True)
    return shares


def likelihoods(told: Sequence[Told], finds: int = FINDS, pairs: int = PAIRS) -> Array:
    """(growers, grid): ln P of all logs of each grower with so many finds and pairs."""
    dealt = growers(told, finds, pairs)
    return np.array([np.sum([at(one, GRID) for one in of], axis=0) for of in dealt])


def mean_told(likely: Array, prior: Array) -> float:
    """The mean over growers of the mean that each is told."""
    return float((_shares(likely + prior) @ GRID).mean())


def best_prior(cells: Sequence[tuple[float, Array]]) -> Array:
    """Of all priors on the grid the one whose greatest error over these growers is least.

    Args:
        cells: true factors, each with what `likelihoods` says of growers who have it.
    """

    def error(prior: Array) -> tuple[float, Array]:
        total, by_prior = 0.0, np.zeros_like(prior)
        for theta, likely in cells:
            shares = _shares(likely + prior)
            means = shares @ GRID
            off = means.mean() - theta
            total += abs(off) ** GREATEST
            moved = (shares * (GRID - means[:, None])).mean(axis=0)
            by_prior += GREATEST * abs(off) ** (GREATEST - 1) * np.sign(off) * moved
        whole = total ** (1 / GREATEST)
        return whole, by_prior * whole / (GREATEST * total)

    ends = np.where(abs(GRID - GRID.mean()) > np.ptp(GRID) / 2 - 0.02, 10.0, 0.0)
    tried = [
        minimize(error, start, jac=True, method="L-BFGS-B", bounds=[(-30, 30)] * len(GRID))
        for start in (ends, 0 * GRID, priors()["beta(8, 2), in use"])
    ]
    found: Array = min(tried, key=lambda each: each.fun).x
    return found


def tables(told: Mapping[tuple[float, int], Sequence[Told]]) -> Iterator[str]:
    """Lines of the two tables, from what plants tell by factor and days between looks."""
    yield "theta every   slope z   least error of ten finds"
    for (theta, every), those in told.items():
        of = slope(those, theta)
        yield f"{theta:5.2f} {every:5d}   {of.z:+7.2f}   {of.error_of_ten:.2f}"
    yield ""
    yield "prior".ljust(NAME) + "".join(f"{theta:.1f}/{every}".rjust(7) for theta, every in told)
    few = {kind: likelihoods(those) for kind, those in told.items()}
    enough = {kind: likelihoods(those, *ENOUGH) for kind, those in told.items()}
    cells = [(theta, likely) for (theta, _), likely in few.items()]
    for name, prior in {**priors(), "the best of all": best_prior(cells)}.items():
        yield _row(name, prior, few.values())
    prior = next(iter(priors().values()))
    yield _row(f"{ENOUGH[0]} finds, {ENOUGH[1]} pairs", prior, enough.values())


def _row(name: str, prior: Array, several: Iterable[Array]) -> str:
    return name.ljust(NAME) + "".join(f"{mean_told(likely, prior):7.2f}" for likely in several)


def main() -> None:
    """Prints the two tables."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--plants", type=int, default=150, help="with finds, each kind")
    parser.add_argument("--seeds", type=int, nargs="+", default=[7], help="so many plants of each")
    asked = parser.parse_args()
    told: dict[tuple[float, int], list[Told]] = {}
    for theta in EYES:
        for rhythm, every in enumerate(EVERY):
            for seed in asked.seeds:
                logs = plants_of(theta, rhythm, seed)
                some = [told_by(next(logs)) for _ in range(asked.plants)]
                told.setdefault((theta, every), []).extend(some)
    print("\n".join(tables(told)))


if __name__ == "__main__":
    main()
