"""How many there were, from what successive passes over the same place took away.

Nothing is born, comes or goes between the passes, and every pass finds the same share of those
still there: of N, pass i takes N p q^(i - 1) on average, q = 1 - p. With k passes of catches c_i:
T = sum c_i were removed, and X = sum (k - i) c_i.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

WALD = 1.959963984540054
"""standard errors to each side of an estimate: 95 % of a normal distribution"""
CUT = 3.841458820694124
"""95 % point of the chi-square distribution with one degree of freedom"""
FARTHEST = 1e9
"""times the catch, beyond which a likelihood that still does not fall has no limit"""
STEPS = 200
GOLDEN = (math.sqrt(5) - 1) / 2


class NoEstimate(ValueError):
    """The catches allow no estimate; `reason` says why, by code."""

    def __init__(self, reason: str) -> None:
        super().__init__(reason)
        self.reason = reason


@dataclass(frozen=True, slots=True)
class Removal:
    """How many there were before the first pass, and what one pass finds."""

    estimate: float
    standard_error: float | None
    low: float
    """of a 95 % interval; never below what was removed"""
    high: float | None
    """None where the catches set no upper limit"""
    detection: float
    """share of those there that a pass takes; in `unequal_first` a pass after the first"""
    removed: int
    first_detection: float | None = None
    """share that the first pass takes, where it has one of its own"""
    chi_square: float | None = None
    """likelihood ratio of a first pass with a share of its own; one degree of freedom"""

    @property
    def remaining(self) -> float:
        """Those left after the last pass."""
        return self.estimate - self.removed

    @property
    def p_value(self) -> float | None:
        """Of `chi_square`: how often as much comes of passes that all find the same share."""
        return None if self.chi_square is None else math.erfc(math.sqrt(self.chi_square / 2))


def carle_strub(catches: Sequence[int]) -> Removal:
    """The maximum weighted likelihood estimate, a whole number; p has a uniform prior.

    Carle & Strub 1978, Biometrics 34:621-630, equation 7; the standard error is that of Zippin
    (Seber 2002, equation 7.23), the interval a normal one.
    """
    passes, removed, weighted = _sums(catches)

    def still_rises(number: int) -> bool:
        """Whether the likelihood of one more is at least as great."""
        ratio = (number + 1) / (number - removed + 1)
        for later in range(passes):
            seen = passes * number - weighted - removed
            ratio *= (seen + 1 + later) / (seen + removed + 2 + later)
        return ratio >= 1

    number = _first_false(still_rises, removed)
    return _with_error(number, passes, removed, weighted)


def likelihood(catches: Sequence[int]) -> Removal:
    """The maximum of the likelihood over all numbers, whole or not, with its ratio's interval.

    Moran 1951, Biometrika 38:307-311; Schnute 1983, Can J Fish Aquat Sci 40:2153-2169 (form of
    the likelihood and interval).
    """
    passes, removed, weighted = _sums(catches)
    if len(catches) < 2 or weighted <= removed * (passes - 1) / 2:
        raise NoEstimate("no-decline")
    number, low, high = _peak(lambda n: _misfit(n, catches, _equal_shares(n, catches)), removed)
    found = _with_error(number, passes, removed, weighted)
    return Removal(number, found.standard_error, low, high, found.detection, removed)


def unequal_first(catches: Sequence[int]) -> Removal:
    """As `likelihood`, but the first pass finds a share of its own: it takes the easiest.

    Schnute 1983, Can J Fish Aquat Sci 40:2153-2169. No standard error: the interval is that of the
    likelihood ratio.
    """
    passes, removed, _ = _sums(catches)
    if passes < 3:
        raise NoEstimate("needs-three-passes")
    if sum(catches[1:]) == 0:
        raise NoEstimate("first-pass-alone")

    def own(number: float) -> float:
        return _misfit(number, catches, _own_first(number, catches))

    def equal(number: float) -> float:
        return _misfit(number, catches, _equal_shares(number, catches))

    number, low, high = _peak(own, removed)
    if number > FARTHEST * removed / 2:
        raise NoEstimate("no-decline")
    gain = equal(_least(equal, removed)) - own(number)
    first, later = _own_shares(number, catches)
    return Removal(
        number, None, low, high, later, removed,
        first_detection=first, chi_square=max(0.0, 2 * gain),
    )  # fmt: skip


def two_pass(catches: Sequence[int]) -> Removal:
    """c1^2 / (c1 - c2): Seber & Le Cren 1967, J Anim Ecol 36:631-643; Seber 2002, p. 312."""
    first, second = _two(catches)
    return _of_two(first, second, first**2 / (first - second))


def robson_regier(catches: Sequence[int]) -> Removal:
    """(c1^2 - c2) / (c1 - c2), less biased: Robson & Regier, as in Cowx 1983, Fish Manage 14:75."""
    first, second = _two(catches)
    return _of_two(first, second, (first**2 - second) / (first - second))


def three_pass(catches: Sequence[int]) -> Removal:
    """The explicit solution for three passes: Seber 2002, equation 7.24."""
    passes, removed, weighted = _sums(catches)
    if passes != 3:
        raise NoEstimate("needs-three-passes-exactly")
    if weighted <= removed:
        raise NoEstimate("no-decline")
    root = math.sqrt(removed**2 + 6 * removed * weighted - 3 * weighted**2)
    top = 6 * weighted**2 - 3 * weighted * removed - removed**2 + removed * root
    return _with_error(top / (18 * (weighted - removed)), passes, removed, weighted)


def _sums(catches: Sequence[int]) -> tuple[int, int, int]:
    """k, T and X."""
    passes = len(catches)
    removed = sum(catches)
    if not removed:
        raise NoEstimate("nothing-removed")
    return passes, removed, sum((passes - 1 - at) * count for at, count in enumerate(catches))


def _two(catches: Sequence[int]) -> tuple[int, int]:
    if len(catches) != 2:
        raise NoEstimate("needs-two-passes-exactly")
    first, second = catches
    if first <= second:
        raise NoEstimate("no-decline" if first else "nothing-removed")
    return first, second


def _of_two(first: int, second: int, number: float) -> Removal:
    removed, gap = first + second, first - second
    error = math.sqrt(first**2 * second**2 * removed / gap**4)
    low, high = max(removed, number - WALD * error), max(removed, number + WALD * error)
    return Removal(number, error, low, high, 1 - second / first, removed)


def _with_error(number: float, passes: int, removed: int, weighted: int) -> Removal:
    """With the share that goes with a number, and Zippin's standard error."""
    share = removed / (passes * number - weighted)
    stays = 1 - share
    left = stays**passes
    # with one pass, or none seen twice, there is no information on the share
    spread = (1 - left) ** 2 - (share * passes) ** 2 * stays ** (passes - 1)
    if share >= 1:
        return Removal(number, 0.0, removed, number, 1.0, removed)
    if spread <= 0:
        return Removal(number, None, removed, None, share, removed)
    error = math.sqrt(number * (1 - left) * left / spread)
    low = max(float(removed), number - WALD * error)
    return Removal(number, error, low, number + WALD * error, share, removed)


def _first_false(holds: Callable[[int], bool], least: int) -> int:
    """The smallest whole number of `least` or more for which it does not hold; it changes once."""
    step = 1
    while holds(least + step - 1):
        step *= 2
    low, high = least + step // 2, least + step - 1
    while low < high:
        middle = (low + high) // 2
        low, high = (middle + 1, high) if holds(middle) else (low, middle)
    return high


def _equal_shares(number: float, catches: Sequence[int]) -> list[float]:
    """Expected catches where every pass finds the same share."""
    passes, removed, weighted = _sums(catches)
    share = removed / (passes * number - weighted)
    return [number * share * (1 - share) ** at for at in range(passes)]


def _own_first(number: float, catches: Sequence[int]) -> list[float]:
    first, later = _own_shares(number, catches)
    rest = number * (1 - first)
    return [number * first, *(rest * later * (1 - later) ** at for at in range(len(catches) - 1))]


def _own_shares(number: float, catches: Sequence[int]) -> tuple[float, float]:
    """The shares of the first pass and of each later one that fit a number best."""
    rest = catches[1:]
    passes, removed, weighted = _sums(rest)
    return catches[0] / number, removed / (passes * (number - catches[0]) - weighted)


def _misfit(number: float, catches: Sequence[int], expected: Sequence[float]) -> float:
    """Negative log-likelihood of a number, up to a constant: Schnute 1983."""
    removed = sum(catches)
    left, left_expected = number - removed, number - sum(expected)
    result = _x_log_x(number) - _x_log_x(removed)
    if left > 0:
        result -= left * math.log(max(left_expected, math.ulp(number)))
    result -= math.lgamma(number + 1) - math.lgamma(removed + 1) - math.lgamma(left + 1)
    return result + sum(
        count * math.log(count / mean)
        for count, mean in zip(catches, expected, strict=True)
        if count
    )


def _x_log_x(x: float) -> float:
    return x * math.log(x) if x > 0 else 0.0


def _peak(misfit: Callable[[float], float], removed: int) -> tuple[float, float, float | None]:
    """The number that fits best, and the ends of its likelihood-ratio interval."""
    number = _least(misfit, removed)
    most = misfit(number) + CUT / 2
    low = float(removed)
    if misfit(low) > most:
        low = _crossing(misfit, most, number, low)
    beyond = max(2.0 * number, number + 1)
    while misfit(beyond) <= most:
        if beyond > FARTHEST * removed:
            return number, low, None
        beyond *= 2
    return number, low, _crossing(misfit, most, number, beyond)


def _least(misfit: Callable[[float], float], removed: int) -> float:
    """Where a function with one valley is least, from `removed` on: golden section in the log.

    What is searched is the log of the number left and one half: numbers left of less than one are
    told apart as well as thousands.
    """

    def at(place: float) -> float:
        return misfit(removed + math.exp(place) - 0.5)

    low, high = math.log(0.5), math.log(FARTHEST * removed)
    inner, outer = high - GOLDEN * (high - low), low + GOLDEN * (high - low)
    at_inner, at_outer = at(inner), at(outer)
    for _ in range(STEPS):
        if at_inner <= at_outer:
            high, outer, at_outer = outer, inner, at_inner
            inner = high - GOLDEN * (high - low)
            at_inner = at(inner)
        else:
            low, inner, at_inner = inner, outer, at_outer
            outer = low + GOLDEN * (high - low)
            at_outer = at(outer)
    found = removed + math.exp((low + high) / 2) - 0.5
    return float(removed) if misfit(removed) <= misfit(found) else found


def _crossing(
    misfit: Callable[[float], float], level: float, inside: float, outside: float
) -> float:
    """The number between the two at which the misfit passes a level."""
    for _ in range(STEPS):
        middle = (inside + outside) / 2
        inside, outside = (middle, outside) if misfit(middle) <= level else (inside, middle)
    return inside
