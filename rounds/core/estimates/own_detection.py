"""How much of what is there a grower finds, learned from zones looked at twice in a row.

Nothing moves between the two looks, and what the first one found is gone. Of all insects found at
such a pair, the share found by the second look says how much the first one left. It is not as
plain as one minus the second count over the first: the insects differ in how well they are seen,
and those that are left are the worse seen ones.
"""

import math
from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from rounds.core.body import ROOTS, Body
from rounds.core.log.effective import EffectiveLook
from rounds.core.parameters import Inspection, SecondLooks, StageParameters
from rounds.core.quarantine.days import credited_seconds

GRID = 120
"""grid points, over 0 to 1, of the share of laying adults that one look finds"""

TIMES_APART = 20
"""Steps per reference time of a zone to which the lengths of looks are rounded."""


@dataclass(frozen=True, slots=True)
class Pair:
    """Two looks at one zone, one straight after the other: what each found and how long it took.

    `first_times` and `second_times` are the seconds of each in reference seconds of the zone.
    """

    first: int
    second: int
    first_times: float = 1.0
    second_times: float = 1.0

    @property
    def found(self) -> int:
        """Insects found by both looks."""
        return self.first + self.second


def pairs_of(
    looks: Sequence[EffectiveLook],
    body_on: Callable[[date], Body],
    pest: str,
    inspection: Inspection,
) -> Iterator[Pair]:
    """The pairs among the looks at one plant that can tell something of how a pest is found."""
    by_id = {look.id: look for look in looks}
    for look in looks:
        first = by_id.get(look.second_to or 0)
        if first is not None and _can_tell(first) and _can_tell(look):
            times = [_times(of, body_on(of.day), inspection) for of in (first, look)]
            if first.zone == look.zone and all(times):
                yield Pair(_found(first, pest), _found(look, pest), *times)


def _can_tell(look: EffectiveLook) -> bool:
    """Whether a look was finished and left nothing that the other may have seen again."""
    stays = any(tally.kind in ("left", "doubtful") for tally in look.tallies)
    return look.outcome == "looked" and look.zone != ROOTS and not stays


def _found(look: EffectiveLook, pest: str) -> int:
    return sum(tally.count for tally in look.tallies if tally.pest == pest)


def _times(look: EffectiveLook, body: Body, inspection: Inspection) -> float:
    """Length of a look in reference seconds of its zone; 0 where there was no such zone."""
    reference = next((z.reference_seconds for z in body.zones if z.zone == look.zone), None)
    if reference is None:
        return 0.0
    seconds = credited_seconds(look, reference, inspection)
    least = inspection.seconds_with_find if look.tallies else 0.0
    return round(max(seconds, least) / reference * TIMES_APART) / TIMES_APART


def own_detection(
    pairs: Sequence[Pair], stages: Sequence[StageParameters], known: SecondLooks
) -> float:
    """The factor of a grower's detection rates over the table's; 1 while nothing was found.

    With p = 1 - (1 - p_ref) ** (rate * times) for each stage and m its share of an infestation,
    the insects found by the second look are Binomial(all found, rho / (1 + rho)) with
    rho = sum m (1 - p_first) p_second / sum m p_first. What a look of the reference seconds finds
    of laying adults has a beta prior; its posterior mean, taken on a grid, gives the factor, which
    is held within the limits.

    Args:
        pairs: of zones looked at twice.
        stages: of the pest, the best seen last.
        known: the prior and the limits.
    """
    by_times: dict[tuple[float, float], list[int]] = defaultdict(lambda: [0, 0])
    for pair in pairs:
        if pair.found:
            counts = by_times[pair.first_times, pair.second_times]
            counts[0] += pair.first
            counts[1] += pair.second
    if not by_times:
        return 1.0
    make_up = [stage.make_up for stage in stages]
    rates = [-math.log1p(-stage.found_in_reach) for stage in stages]
    shares = [(n + 0.5) / GRID for n in range(GRID)]
    tried = [-math.log1p(-share) / rates[-1] for share in shares]
    weights = [
        (known.found_before - 1) * math.log(share) + (known.missed_before - 1) * math.log1p(-share)
        for share in shares
    ]
    # what a look leaves of each stage, once for each length: most pairs share theirs
    times = {time for pair in by_times for time in pair}
    for at, rate in enumerate(tried):
        left = {time: [math.exp(-rate * time * r) for r in rates] for time in times}
        for (first_times, second_times), (first, second) in by_times.items():
            later = second_share(make_up, left[first_times], left[second_times])
            weights[at] += second * math.log(later) + first * math.log1p(-later)
    most = max(weights)
    weights = [math.exp(weight - most) for weight in weights]
    mean = sum(w * s for w, s in zip(weights, shares, strict=True)) / sum(weights)
    return min(known.most, max(known.least, -math.log1p(-mean) / rates[-1]))


def second_share(
    make_up: Sequence[float], unseen_first: Sequence[float], unseen_second: Sequence[float]
) -> float:
    """Of the insects found by two looks, the share expected at the second: rho / (1 + rho).

    Args:
        make_up: of each stage its share of an infestation.
        unseen_first: of each stage the chance that the first look misses one.
        unseen_second: the same of the second look.
    """
    first = second = 0.0
    for share, missed, missed_again in zip(make_up, unseen_first, unseen_second, strict=True):
        first += share * (1 - missed)
        second += share * missed * (1 - missed_again)
    return second / (first + second)
