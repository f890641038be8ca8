"""The same question worked out a second time, plainly, for many plants of one grower at once.

Written from `Process` and `Start` alone: it shares the table of values with the package, and no
code. States have the shape (kinds, ends, coefficients, plants): the ends are 'nothing is left' and
'anything is', the coefficients those of a power series with a variable for each find after the
first day, cut at its count.
"""

from collections import defaultdict
from collections.abc import Sequence
from itertools import product as all_of

import numpy as np
from scipy.sparse import csr_array

from tests.proof.logs import Grower
from tests.proof.process import Day, Process, Values
from tests.proof.records import DayLooks, Group, PlantLog, Start

Caps = tuple[int, ...]
Later = list[tuple[int, int, Group, int]]
"""Day, place in it, group and count of each find after the first day, greatest count first."""
Found = dict[tuple[int, int], list[tuple[int, int, Group]]]
"""Plant, variable and group of the finds, by day and place in it."""


class Series:
    """Power series cut at `caps`; their coefficients stand on the axis before the last."""

    def __init__(self, caps: Caps) -> None:
        self.caps = caps
        self.powers = list(all_of(*(range(cap + 1) for cap in caps)))
        at = {powers: number for number, powers in enumerate(self.powers)}
        self.pairs = [
            (one, other, at[both])
            for one, first in enumerate(self.powers)
            for other, second in enumerate(self.powers)
            if (both := tuple(a + b for a, b in zip(first, second, strict=True))) in at
        ]

    def variable(self, number: int) -> int:
        """The coefficient of a variable by itself."""
        return self.powers.index(tuple(int(n == number) for n in range(len(self.caps))))

    def product(self, first: Values, second: Values) -> Values:
        """Of two series."""
        result = np.zeros(np.broadcast_shapes(first.shape, second.shape))
        for one, other, both in self.pairs:
            result[..., both, :] += first[..., one, :] * second[..., other, :]
        return result

    def exp(self, exponent: Values) -> Values:
        """The exponential of a series."""
        terms: list[Values] = [np.exp(exponent[..., 0, :])]
        for n in range(1, sum(self.caps) + 1):
            terms.append(terms[-1] / n)
        return self._summed(exponent, terms)

    def falling_power(self, base: Values, power: Values) -> Values:
        """The series to minus a power, one for each plant."""
        first = base[..., 0, :]
        terms: list[Values] = [first**-power]
        for n in range(1, sum(self.caps) + 1):
            terms.append(-terms[-1] * (power + n - 1) / n / first)
        return self._summed(base, terms)

    def _summed(self, series: Values, terms: Sequence[Values]) -> Values:
        """terms[0] + terms[1] y + terms[2] y^2 ..., y the series without its constant term."""
        rest = series.copy()
        rest[..., 0, :] = 0.0
        result = np.zeros_like(series)
        result[..., 0, :] = terms[0]
        power = rest
        for term in terms[1:]:
            result += term[..., None, :] * power
            power = self.product(power, rest)
        return result


class Life:
    """Days of a process as matrices over kinds, kept by their temperatures."""

    def __init__(self, process: Process) -> None:
        self.process = process
        self.kinds = int(np.prod(process.shape))
        self.of_stage = self.kinds // process.shape[0]
        self._days: dict[tuple[float, float], tuple[csr_array, float]] = {}

    def day(self, temperatures: tuple[float, float]) -> tuple[csr_array, float]:
        """Chances of each kind (row) to be each other, and the eggs of a laying adult."""
        if temperatures not in self._days:
            day = self.process.day(self.process.degree_days(*temperatures))
            rows = [self._become(kind, day) for kind in range(self.kinds)]
            self._days[temperatures] = csr_array(np.stack(rows)), day.eggs
        return self._days[temperatures]

    def _become(self, kind: int, day: Day) -> Values:
        """What one insect is at the end of a day, in the order in which things happen to it."""
        process, survive, advance = self.process, day.survive, day.advance
        stage, zone, reach = np.unravel_index(kind, process.shape)
        grown = np.zeros(process.shape)
        grown[stage, zone, reach] = survive[stage] * (1 - advance[stage])
        if stage + 1 < len(advance):
            further = np.zeros(process.shape[1:])
            further[zone, reach] = 1.0
            if stage + 1 == process.crawler:
                settled = process.stays * further + (1 - process.stays) * process.landing
                further = (1 - process.leaves) * settled
            grown[stage + 1] += survive[stage] * advance[stage] * further
        moving = process.exchange[:, None] * day.moving
        tucks = grown[..., 0] * moving * process.tucked_share
        shows = grown[..., 1] * moving * (1 - process.tucked_share)
        moved = np.stack([grown[..., 0] - tucks + shows, grown[..., 1] + tucks - shows], axis=2)
        return moved.ravel()


def caps_of(log: PlantLog) -> Caps:
    """Counts of the finds after the first day, greatest first."""
    return tuple(count for *_, count in _later(log))


def chances_clean(life: Life, logs: Sequence[PlantLog]) -> Values:
    """Chance clean of plants that share all but their finds, which have the same `caps_of`.

    All finds are taken off and recorded by stage; no zone is looked at twice on a day.
    """
    shared = logs[0]
    finds = [_later(log) for log in logs]
    series = Series(caps_of(shared))
    found: Found = defaultdict(list)
    for plant, later in enumerate(finds):
        for variable, (day, place, group, _) in enumerate(later):
            found[day, place].append((plant, variable, group))
    state, arrived = _end(life, series, len(logs))
    for day in range(shared.last_day, 0, -1):
        if day in shared.by_day:
            _looks_back(life, series, state, shared.by_day[day], found)
        arrived += _arrivals(life, state, shared.arrivals)
        state = _day_back(life, series, state, shared.temperatures[day - 1])
    first = shared.by_day[0]
    _looks_back(life, series, state, first, {})
    on_first = np.array([sum(look.found for look in log.by_day[0].looks) for log in logs])
    value = series.product(
        series.exp(arrived), _start(life, series, state, shared.start, on_first)
    )[:, -1]
    return np.asarray(value[0] / value[1])


def nothing_found(
    life: Life, start: Start, arrivals: float, grower: Grower, day: int, since: int
) -> tuple[float, float]:
    """Chance that from `since` to `day` nothing is found; and that nothing is left then as well.

    What was found before is taken off, however much it was.
    """
    series = Series(())
    state, arrived = _end(life, series, 1)
    for date in range(day, -1, -1):
        if date in grower.looks:
            chance = _seen(life, grower.looks[date])
            state *= 1 - chance
            state += chance if date < since else 0.0
        if date:
            arrived += _arrivals(life, state, arrivals)
            state = _day_back(life, series, state, grower.temperatures[date - 1])
    value = np.exp(arrived) * _start(life, series, state, start, np.zeros(1, np.int64))
    return float(value[1, 0, 0]), float(value[0, 0, 0])


def _later(log: PlantLog) -> Later:
    found = [
        (day.day, place, find.group, find.count)
        for day in log.days
        if day.day
        for place, look in enumerate(day.looks)
        for find in look.finds
    ]
    return sorted(found, key=lambda find: -find[-1])


def _end(life: Life, series: Series, plants: int) -> tuple[Values, Values]:
    state = np.zeros((life.kinds, 2, len(series.powers), plants))
    state[:, 1, 0] = 1.0
    return state, np.zeros(state.shape[1:])


def _arrivals(life: Life, state: Values, mean: float) -> Values:
    arrived = mean * np.tensordot(life.process.arrival.ravel(), state, axes=1)
    arrived[:, 0] -= mean
    return np.asarray(arrived)


def _day_back(life: Life, series: Series, state: Values, weather: tuple[float, float]) -> Values:
    matrix, eggs = life.day(weather)
    before: Values = (matrix @ state.reshape(life.kinds, -1)).reshape(state.shape)
    laid = eggs * state[: life.of_stage]
    laid[:, :, 0] -= eggs
    before[-life.of_stage :] = series.product(before[-life.of_stage :], series.exp(laid))
    before[:, :, 0] += (1 - matrix.sum(axis=1))[:, None, None]
    return before


def _seen(life: Life, looks: DayLooks) -> Values:
    """Chance of each kind to be found on a day, shaped as a state."""
    chances = [life.process.finding(look) for look in looks.looks]
    return np.asarray(sum(chances, np.zeros(life.process.shape)).reshape(-1, 1, 1, 1))


def _looks_back(life: Life, series: Series, state: Values, looks: DayLooks, found: Found) -> None:
    state *= 1 - _seen(life, looks)
    for place, look in enumerate(looks.looks):
        for plant, variable, group in found.get((looks.day, place), ()):
            of_group = life.process.members(group)[:, None, None]
            shown = life.process.finding(look) * of_group
            state[:, :, series.variable(variable), plant] += shown.reshape(-1, 1)


def _start(life: Life, series: Series, state: Values, start: Start, on_first: np.ndarray) -> Values:
    """The gamma of an infested plant: each insect found on the first day adds 1 to its shape."""
    mean = life.process.start_means(start).ravel()
    base = -np.tensordot(mean / start.shape, state, axes=1)
    base[:, 0] += 1 + mean.sum() / start.shape
    value = start.infested * series.falling_power(base, start.shape + on_first)
    value[:, 0] += np.where(on_first > 0, 0.0, 1 - start.infested)
    return np.asarray(value)
