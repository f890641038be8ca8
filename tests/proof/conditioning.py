"""What a log leaves possible, by simulation: only replicates that agree with it are kept.

After each look the replicates that found just what was written down go on; when they grow few
each is branched into copies, which live on independently. The product of the shares that agreed
is an unbiased estimate of P(log), so that batches of different luck are weighted by it. Copies
of one first-day replicate are not independent: `ancestors` says how many of them are behind the
end, and the standard errors come from independent batches alone.
"""

import math
from dataclasses import dataclass

import numpy as np

from tests.proof.insects import Colonies, Numbers, bare, unlooked
from tests.proof.process import Flags, Process, Values
from tests.proof.records import DayLooks, PlantLog, Start, ZoneLook, channels

HEAVINESS_STEPS = 20_000


@dataclass(frozen=True, slots=True)
class Estimate:
    """A value with its standard error."""

    value: float
    error: float

    def off(self, expected: float) -> float:
        """Distance from a value in standard errors."""
        return (self.value - expected) / self.error


@dataclass(frozen=True, slots=True)
class Conditioned:
    """What is left at the end of the last day, given the log."""

    clean: Estimate
    left: Estimate
    left_by_zone: tuple[Estimate, ...]
    log_chance: float
    """ln P(log)"""
    log_chance_error: float
    ancestors: int
    """distinct first-day replicates behind the end, over all batches"""
    least_ancestors: int
    """on any day, over all batches: where the log was hardest to agree with"""


@dataclass
class Batch:
    """Replicates that agreed so far, the replicate of the first day each comes from."""

    colonies: Colonies
    ancestor: Numbers
    log_chance: float
    ancestors_by_day: list[int]

    def drop(self, agreeing: Flags) -> None:
        """Only the agreeing replicates go on."""
        share = float(agreeing.mean()) if len(agreeing) else 0.0
        self.log_chance += math.log(share) if share else -math.inf
        self.colonies.keep_plants(agreeing)
        self.ancestor = self.ancestor[agreeing]

    def branch_to(self, replicates: int) -> None:
        """As many copies of each as fit, and one more of some drawn by chance."""
        here = self.colonies.plants
        copies = np.full(here, replicates // here)
        more = self.colonies.rng.permutation(here)[: replicates % here]
        copies[more] += 1
        self.colonies.branch(copies)
        self.ancestor = np.repeat(self.ancestor, copies)

    def close_day(self) -> None:
        """Notes how many of the first day's replicates are still behind those here."""
        self.ancestors_by_day.append(int(np.count_nonzero(np.bincount(self.ancestor))))


def condition(
    process: Process,
    log: PlantLog,
    replicates: int,
    batches: int,
    seed: int,
    *,
    absorb_first_day: bool = True,
) -> Conditioned:
    """Estimates from `batches` independent batches of so many replicates each.

    The standard errors need twenty batches or more to mean what they say. `absorb_first_day`
    draws the replicates as the first day's looks leave them, where that can be done.

    Raises:
        ValueError: no replicate of any batch agreed with the log.
    """
    streams = np.random.SeedSequence(seed).spawn(batches)
    ends = [
        run_batch(process, log, replicates, np.random.default_rng(stream), absorb_first_day)
        for stream in streams
    ]
    largest = max(end.log_chance for end in ends)
    if largest == -math.inf:
        raise ValueError("no replicate agreed with the log")
    weight = np.array([math.exp(end.log_chance - largest) for end in ends])
    estimates = [_ratio(weight, column) for column in np.array([*map(_end_means, ends)]).T]
    return Conditioned(
        clean=estimates[0],
        left=estimates[1],
        left_by_zone=tuple(estimates[2:]),
        log_chance=largest + math.log(weight.mean()),
        log_chance_error=float(weight.std(ddof=1) / weight.mean() / math.sqrt(batches)),
        ancestors=sum(end.ancestors_by_day[-1] for end in ends),
        least_ancestors=min(map(sum, zip(*(end.ancestors_by_day for end in ends), strict=True))),
    )


def run_batch(
    process: Process,
    log: PlantLog,
    replicates: int,
    rng: np.random.Generator,
    absorb_first_day: bool = True,
) -> Batch:
    """One batch to the end of the log; without replicates where none agreed."""
    first = log.by_day.get(0, DayLooks(0, ()))
    if absorb_first_day and _absorbable(first):
        batch = after_first_day(process, log.start, first, replicates, rng)
    else:
        colonies = unlooked(process, log.start, replicates, rng)
        batch = Batch(colonies, np.arange(replicates), 0.0, [])
        _look_through(batch, first, replicates)
    _treat(batch, first)
    batch.close_day()
    for day in range(1, log.last_day + 1):
        if batch.colonies.plants:
            degree_days = process.degree_days(*log.temperatures[day - 1])
            batch.colonies.live(degree_days, log.arrivals)
            looks = log.by_day.get(day, DayLooks(day, ()))
            _look_through(batch, looks, replicates)
            _treat(batch, looks)
        batch.close_day()
    return batch


def agreement(colonies: Colonies, look: ZoneLook, found: Flags) -> Flags:
    """Which plants found just what the look says, group by group."""
    agreeing = np.ones(colonies.plants, np.bool_)
    if not look.found:
        agreeing[colonies.plant[found]] = False
        return agreeing
    told = channels(look)
    for group, count in told.items():
        members = colonies.process.members(group, beside_sacs="egg-mass" in told)
        of_group = found & members[colonies.sub_stage[colonies.kind]]
        agreeing &= colonies.counts(of_group) == count
    return agreeing


def _look_through(batch: Batch, looks: DayLooks, replicates: int) -> None:
    for look in looks.looks:
        found = batch.colonies.found(look)
        if not look.found and not found.any():
            continue
        agreeing = agreement(batch.colonies, look, found)
        found = found[agreeing[batch.colonies.plant]]
        batch.drop(agreeing)
        if look.found:
            _deal_with(batch.colonies, look, found)
        if 0 < batch.colonies.plants < replicates // 2:
            batch.branch_to(replicates)


def _deal_with(colonies: Colonies, look: ZoneLook, found: Flags) -> None:
    """What was found is removed, killed or left; which of a group was left is a toss-up."""
    told = channels(look)
    stays = np.zeros(len(found), np.bool_)
    for group in told:
        members = colonies.process.members(group, beside_sacs="egg-mass" in told)
        rows = np.flatnonzero(found & members[colonies.sub_stage[colonies.kind]])
        finds = [find for find in look.finds if group in (find.group, "unknown")]
        left = sum(find.count for find in finds if find.done == "left")
        killed = sum(find.count for find in finds if find.done == "killed")
        place = _place_among_its_plant(colonies, rows)
        lives = colonies.rng.random(len(rows)) >= colonies.process.killed
        stays[rows] = (place < left) | ((place < left + killed) & lives)
    sacs_go = any(find.group == "egg-mass" and find.done != "left" for find in look.finds)
    colonies.keep(~found | stays)
    if sacs_go:
        colonies.lose_sacs(look)


def _place_among_its_plant(colonies: Colonies, rows: Numbers) -> Numbers:
    """0, 1, ... for the rows of each plant, in an order drawn by chance."""
    order = np.lexsort((colonies.rng.random(len(rows)), colonies.plant[rows]))
    plant = colonies.plant[rows][order]
    starts = np.flatnonzero(np.r_[True, plant[1:] != plant[:-1]]) if len(rows) else order
    lengths = np.diff(np.r_[starts, len(rows)])
    place = np.empty(len(rows), np.int64)
    place[order] = np.arange(len(rows)) - np.repeat(starts, lengths)
    return place


def _treat(batch: Batch, looks: DayLooks) -> None:
    for treatment in looks.treatments:
        batch.colonies.treat(treatment)


def _absorbable(first: DayLooks) -> bool:
    """All that was found on the first day was taken off, and no sac with it."""
    finds = [find for look in first.looks for find in look.finds]
    return all(find.done == "removed" and find.group != "egg-mass" for find in finds)


def after_first_day(
    process: Process, start: Start, first: DayLooks, replicates: int, rng: np.random.Generator
) -> Batch:
    """Replicates that agree with a first day after which nothing found is left.

    Given the heaviness L of the infestation, numbers found by each look and group and numbers
    not found are independent and Poisson (colouring; Kingman 1993, Poisson Processes, ch. 5). So
    L is drawn from a fine grid weighted by the chance of the finds, and only what was not found
    is drawn.
    """
    not_found = process.start_means(start)
    expected, finds = [], []
    for look in first.looks:
        caught = not_found * process.finding(look)
        not_found = not_found - caught
        for group, count in channels(look).items():
            expected.append(float(caught[process.members(group)].sum()))
            finds.append(count)
    heaviness, chance = _heaviness_given(start, expected, finds)
    clean = (1 - start.infested) * (sum(finds) == 0)
    infested = start.infested * float(chance.sum())
    colonies = bare(process, replicates, rng)
    drawn = _stratified(chance, replicates, rng)
    is_infested = rng.permutation(replicates) < replicates * infested / (infested + clean)
    colonies.sow(is_infested * heaviness[drawn] * not_found.sum(), not_found)
    return Batch(colonies, np.arange(replicates), math.log(infested + clean), [])


def _heaviness_given(
    start: Start, expected: list[float], finds: list[int]
) -> tuple[Values, Values]:
    """A grid of L, evenly in ln L, and the chance of each point and of the finds together."""
    shape = start.shape
    low, high = math.log(1e-9) / shape, math.log(40.0 + 60.0 / shape + 10 * sum(finds))
    log_l = np.linspace(low, high, HEAVINESS_STEPS)
    log_chance = shape * math.log(shape) - math.lgamma(shape) + shape * (log_l - np.exp(log_l))
    for mean, count in zip(expected, finds, strict=True):
        if mean > 0:
            log_chance += count * (math.log(mean) + log_l) - mean * np.exp(log_l)
            log_chance -= math.lgamma(count + 1)
        elif count:
            log_chance -= math.inf
    return np.exp(log_l), np.exp(log_chance) * (log_l[1] - log_l[0])


def _stratified(chance: Values, number: int, rng: np.random.Generator) -> Numbers:
    """Indices in proportion to the chances, evenly strewn and then shuffled."""
    up_to = np.cumsum(chance)
    even = (np.arange(number) + rng.random(number)) / number * up_to[-1]
    return rng.permutation(np.searchsorted(up_to, even, side="right").clip(0, len(chance) - 1))


def _end_means(end: Batch) -> list[float]:
    """Share clean, insects left, and left by zone."""
    colonies = end.colonies
    zones = len(colonies.process.zones)
    if not colonies.plants:
        return [0.0] * (2 + zones)
    each = np.bincount(colonies.zone[colonies.kind], minlength=zones) / colonies.plants
    clean = float((colonies.counts() == 0).mean())
    return [clean, float(each.sum()), *map(float, each)]


def _ratio(weight: Values, value: Values) -> Estimate:
    """Weighted mean over independent batches, and its error as of a ratio of two sums."""
    mean = float((weight * value).sum() / weight.sum())
    spread = weight * (value - mean)
    batches = len(weight)
    error = math.sqrt(float((spread**2).sum()) * batches / (batches - 1)) / float(weight.sum())
    return Estimate(mean, error)
