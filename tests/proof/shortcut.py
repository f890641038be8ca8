"""The losing rival: a forward filter that knows a plant by a mean, a shape and a chance.

Between looks the plant is: with chance 1 - `infested` empty, else Poisson(L * mean of each kind),
L gamma of mean 1 and `shape`. Looks are exact under that form, finds included. A day is not:
layers give many eggs or none, arrivals come to empty plants; the form that comes closest is the
one with the same means and the same second moment of the number of insects. It is the obvious
method, it is fast, and it is wrong in a way that calibration shows.

The joined rival runs it to the last find and from there goes by generating functions, exact for
clean looks, so that only what it hands over is wrong.
"""

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from tests.proof.process import Day, Process, Values
from tests.proof.records import DayLooks, PlantLog, Treatment, ZoneLook, channels

WIDEST = 1e6
"""shape beyond which a gamma-Poisson number is a Poisson one"""
NARROWEST = 1e-3


@dataclass(frozen=True, slots=True)
class Held:
    """What the filter holds: the means are those of an infested plant."""

    infested: float
    mean: Values
    shape: float

    @property
    def clean(self) -> float:
        """Chance that no insect is there."""
        none = math.pow(1 + float(self.mean.sum()) / self.shape, -self.shape)
        return 1 - self.infested + self.infested * none


def filtered_clean(process: Process, log: PlantLog) -> float:
    """Chance clean at the end of the log by the filter alone."""
    return filtered(process, log, log.last_day).clean


def joined_clean(process: Process, log: PlantLog) -> float:
    """Chance clean by the filter to the last find, exactly from there on."""
    handed_on = log.last_find or 0
    held = filtered(process, log, handed_on)
    empty, any_left = np.zeros(process.shape), np.ones(process.shape)
    return math.exp(
        _log_chance(process, log, handed_on, held, empty)
        - _log_chance(process, log, handed_on, held, any_left)
    )


def filtered(process: Process, log: PlantLog, last_day: int) -> Held:
    """The filter after the looks and treatments of a day.

    Raises:
        ValueError: something found was not removed, which the filter has no form for.
    """
    start = log.start
    held = Held(start.infested, process.start_means(start), start.shape)
    for day in range(last_day + 1):
        if day:
            held = lived(process, held, _day(process, *log.temperatures[day - 1]))
            held = arrived(process, held, log.arrivals)
        looks = log.by_day.get(day, DayLooks(day, ()))
        for look in looks.looks:
            held = looked(process, held, look)
        for treatment in looks.treatments:
            held = treated(process, held, treatment)
    return held


def looked(process: Process, held: Held, look: ZoneLook) -> Held:
    """After one look: the heavier the infestation, the more had been found."""
    if any(find.done != "removed" or find.group == "egg-mass" for find in look.finds):
        raise ValueError("the filter has a form only for what is taken off")
    finding = _finding(process, look.zone, look.seconds, look.unpotted)
    expected = float((held.mean * finding).sum())
    for group, count in channels(look).items():
        members = process.members(group)[:, None, None]
        if count and not (held.mean * finding * members).any():
            raise ValueError("nothing of that group can be there")
    heavier = (held.shape + look.found) / (held.shape + expected)
    unseen = (1 + expected / held.shape) ** -held.shape
    passed_over = held.infested * unseen
    infested = 1.0 if look.found else passed_over / (1 - held.infested + passed_over)
    return Held(infested, held.mean * (1 - finding) * heavier, held.shape + look.found)


def treated(process: Process, held: Held, treatment: Treatment) -> Held:
    """Thinning keeps the form."""
    return Held(held.infested, held.mean * (1 - process.killing(treatment)), held.shape)


def lived(process: Process, held: Held, day: Day) -> Held:
    """One day on; layers and their broods widen the spread."""
    survive, advance = day.survive[:, None, None], day.advance[:, None, None]
    lives = held.mean * survive
    eggs = lives[-1] * day.eggs
    moved = lives * advance
    mean = lives - moved
    mean[1:] += moved[:-1]
    hatched = moved[process.crawler - 1]
    mean[process.crawler] -= hatched
    remain = (1 - process.leaves) * hatched
    settled = (1 - process.stays) * remain.sum() * process.landing
    mean[process.crawler] += process.stays * remain + settled
    mean = _exchanged(process, day.moving, mean)
    mean[0] += eggs
    layers = float(held.mean[-1].sum()) * float(day.survive[-1])
    # of each insect of today, those it is tomorrow: one or none, a layer with Poisson eggs more
    pairs = layers * (2 * day.eggs + day.eggs**2)
    return _shaped(held, mean, pairs)


def _shaped(held: Held, mean: Values, pairs: float) -> Held:
    """`pairs` is the mean number of ordered pairs that have one mother, or are mother and egg."""
    total = float(mean.sum())
    if total == 0:
        return Held(held.infested, mean, held.shape)
    inverse = 1 / held.shape + pairs / total**2
    return Held(held.infested, mean, min(WIDEST, max(NARROWEST, 1 / inverse)))


def arrived(process: Process, held: Held, arrivals: float) -> Held:
    """Poisson arrivals, to empty plants too: an infested one is then one that began so or got any.

    Means and the mean number of ordered pairs are kept.
    """
    if not arrivals:
        return held
    old = float(held.mean.sum())
    infested = 1 - (1 - held.infested) * math.exp(-arrivals)
    mean = (
        held.infested * held.mean + arrivals * process.arrival / process.arrival.sum()
    ) / infested
    pairs = held.infested * (old**2 * (1 + 1 / held.shape) + 2 * old * arrivals) + arrivals**2
    total = float(mean.sum())
    wider = pairs / infested / total**2 - 1
    shape = min(WIDEST, 1 / wider) if wider > 1 / WIDEST else WIDEST
    return Held(infested, mean, max(NARROWEST, shape))


def _exchanged(
    process: Process, share: float, values: Values, *, backwards: bool = False
) -> Values:
    """Means moved between in reach and tucked; backwards, values seen from before the move."""
    exchange = process.exchange[:, None] * share
    into, back = exchange * process.tucked_share, exchange * (1 - process.tucked_share)
    in_reach, tucked = values[..., 0], values[..., 1]
    if backwards:
        pair = (in_reach + into * (tucked - in_reach), tucked + back * (in_reach - tucked))
    else:
        moved = into * in_reach - back * tucked
        pair = (in_reach - moved, tucked + moved)
    return np.stack(pair, axis=-1)


def _log_chance(process: Process, log: PlantLog, since: int, held: Held, end: Values) -> float:
    """ln of the chance that all looks after a day are clean and the end is as asked.

    `end` is 1 for a kind that may be there at the end and 0 for one that may not; backwards in
    time it becomes the chance that one insect of a kind is not found and leaves no such line.
    """
    value, from_arrivals = end, 0.0
    shares = process.arrival / process.arrival.sum()
    for day in range(log.last_day, since, -1):
        value = _before_looks(process, log.by_day.get(day, DayLooks(day, ())), value)
        from_arrivals += log.arrivals * (float((shares * value).sum()) - 1)
        value = _before_life(process, _day(process, *log.temperatures[day - 1]), value)
    spread = float((held.mean * (1 - value)).sum())
    none_seen = (1 + spread / held.shape) ** -held.shape
    return math.log(1 - held.infested + held.infested * none_seen) + from_arrivals


def _before_looks(process: Process, looks: DayLooks, value: Values) -> Values:
    for treatment in reversed(looks.treatments):
        kill = process.killing(treatment)
        value = kill + (1 - kill) * value
    for look in reversed(looks.looks):
        value = (1 - _finding(process, look.zone, look.seconds, look.unpotted)) * value
    return value


def _before_life(process: Process, day: Day, value: Values) -> Values:
    moved = _exchanged(process, day.moving, value, backwards=True)
    crawler = moved[process.crawler]
    elsewhere = float((process.landing * crawler).sum())
    settled = process.stays * crawler + (1 - process.stays) * elsewhere
    after = np.concatenate([moved[1:], moved[-1:]])
    after[process.crawler - 1] = process.leaves + (1 - process.leaves) * settled
    advance, survive = day.advance[:, None, None], day.survive[:, None, None]
    living = moved + advance * (after - moved)
    living[-1] *= np.exp(-day.eggs * (1 - value[0]))
    return 1 - survive + survive * living


@lru_cache(maxsize=1024)
def _finding(process: Process, zone: str, seconds: float, unpotted: bool) -> Values:
    return process.finding(ZoneLook(zone, seconds, unpotted))


@lru_cache(maxsize=4096)
def _day(process: Process, least_c: float, greatest_c: float) -> Day:
    return process.day(process.degree_days(least_c, greatest_c))
