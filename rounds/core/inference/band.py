"""How far the chance clean moves with what is assumed: the whole log refitted, one at a time."""

import math
from collections.abc import Generator, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from rounds.core.inference.answer import ANYTHING, NOTHING, is_possible
from rounds.core.inference.backward import Backward, known_at_first, prepare
from rounds.core.inference.evidence import gather
from rounds.core.inference.facts import PlantFacts, Refit
from rounds.core.inference.observed import ImpossibleEntry, Log
from rounds.core.inference.scale import ChanceOutOfRange, fault_of, scales
from rounds.core.inference.side_by_side import chances_of_clean, is_clean
from rounds.core.parameters import Infestation, Parameters

BAND_BUDGET = 1024
"""coefficients of each of the refits"""
MOST_TOLD, FIRST_BUDGET = 64, 256
"""coefficients up to which a log is asked how well it fits; its last day may pass the first"""

EYE_WORSE, EYE_BETTER = "eye-worse", "eye-better"
MOVES_LESS, MOVES_MORE, BOTH_LESS = "moves-less", "moves-more", "eye-and-moves-less"
HIDES_MORE, ARRIVALS_MORE = "hides-more", "arrivals-more"
START_LIKELIER, START_RARER = "start-likelier", "start-rarer"


@dataclass(frozen=True, slots=True)
class Band:
    """The chance clean, and its lowest and highest value over all refits."""

    value: float
    low: float
    high: float
    low_why: str
    """code of the refit that gives the low end; empty where none is lower than the figure"""
    fits: Mapping[str, float]
    """by code of the refit, the logarithm of how much likelier the log then is"""


Told = tuple[float, float]
"""chance clean, and logarithm of the chance of the log"""


def refits(infestation: Infestation) -> tuple[Refit, ...]:
    """The log as it is, then each assumption otherwise."""
    low, high = infestation.band_low, infestation.band_high
    return (
        Refit(),
        Refit(code=EYE_WORSE, detection=low),
        Refit(code=EYE_BETTER, detection=high),
        Refit(code=MOVES_LESS, exchange=low),
        Refit(code=MOVES_MORE, exchange=high),
        Refit(code=BOTH_LESS, detection=low, exchange=low),
        Refit(code=HIDES_MORE, tucked=infestation.band_tucked),
        Refit(code=START_LIKELIER, infested=infestation.band_start_likelier),
        Refit(code=START_RARER, infested=infestation.band_start_rarer),
        Refit(code=ARRIVALS_MORE, arrivals=infestation.band_arrivals),
    )


def band_in_steps(
    facts: PlantFacts,
    on: date,
    parameters: Parameters,
    budget: int = BAND_BUDGET,
    known: Backward | None = None,
) -> Generator[None, None, Band]:
    """The band of the chance clean at the end of `on`, over all refits of the whole log.

    It pauses often enough that no key press waits.

    Args:
        facts: of the plant, for one pest.
        on: the day spoken about.
        parameters: the table.
        budget: coefficients of each run.
        known: a run of the log as it is, used where it took together what is wanted here.

    Raises:
        ImpossibleEntry: something was entered that cannot happen.
        ChanceOutOfRange: it can, but its chance fits no floating-point scale.
    """
    if is_clean(gather(facts, on, parameters).log):
        yield
        return (yield from bands_of_clean([facts], on, parameters))[0]
    chances: dict[str, Told] = {}
    those = refits(parameters.infestation)
    for alike in _sharing_a_run(those, facts):
        try:
            log = gather(facts, on, parameters, alike[0]).log
            as_it_is = known if alike[0] == those[0] else None
            chances |= yield from _chances(log, alike, budget, as_it_is)
        except (ImpossibleEntry, ChanceOutOfRange):
            # under an assumption of the band what was entered may be out of the question
            if alike[0] == those[0]:
                raise
    return _band([(refit.code, chances[refit.code]) for refit in those if refit.code in chances])


def bands_of_clean(
    found: Sequence[PlantFacts], on: date, parameters: Parameters
) -> Generator[None, None, dict[int, Band]]:
    """By number, the bands of plants without finds: all refits of all of them side by side.

    Those with finds are missing from the result. It pauses as `band_in_steps` does.
    """
    those = refits(parameters.infestation)
    logs = []
    for facts in found:
        logs += yield from _refitted(facts, on, parameters, those)
    chances = yield from chances_of_clean(logs)
    codes = [refit.code for refit in those]
    return {
        number: _band([(code, chances[first + at]) for at, code in enumerate(codes)])
        for number, first in enumerate(range(0, len(logs), len(codes)))
        if first in chances
    }


def _band(told: Sequence[tuple[str, Told]]) -> Band:
    """From what is told of the log as it is, and then of each refit."""
    value, of_log = told[0][1]
    chances = [(code, chance) for code, (chance, _) in told]
    # the first of equal ones, so that the figure itself comes before what does not lower it
    code, low = min(chances, key=lambda refitted: refitted[1])
    fits = {code: logarithm - of_log for code, (_, logarithm) in told[1:]}
    return Band(value, low, max(chance for _, chance in chances), code, fits)


def _sharing_a_run(those: Sequence[Refit], facts: PlantFacts) -> list[list[Refit]]:
    """Refits by what an insect lives through: start and arrivals are told at the end of a run.

    Where neighbours send insects too, other arrivals are no multiple, and take a run of their own.
    """
    by_run: dict[tuple[float, ...], list[Refit]] = {}
    for refit in those:
        arrivals = refit.arrivals if facts.neighbours else 1.0
        run = refit.detection, refit.exchange, refit.tucked, arrivals
        by_run.setdefault(run, []).append(refit)
    return list(by_run.values())


def _refitted(
    facts: PlantFacts, on: date, parameters: Parameters, those: Sequence[Refit]
) -> Generator[None, None, list[Log]]:
    """The log under each refit; those that share a run are read once."""
    found: dict[str, Log] = {}
    for alike in _sharing_a_run(those, facts):
        log = gather(facts, on, parameters, alike[0]).log
        for refit in alike:
            found[refit.code] = _otherwise(log, refit, alike[0])
        yield
    return [found[refit.code] for refit in those]


def _otherwise(log: Log, refit: Refit, as_read: Refit) -> Log:
    """The log of a refit from that of one that shares its run: another start, other arrivals."""
    days, times = log.days, refit.arrivals / as_read.arrivals
    if times != 1:
        days = tuple(replace(day, arrivals=times * day.arrivals) for day in days)
    return replace(log, start=log.start.supposing(refit.infested), days=days)


def _chances(
    log: Log, alike: Sequence[Refit], budget: int, known: Backward | None
) -> Generator[None, None, dict[str, Told]]:
    """By code, what is told under refits that share a run."""
    yield
    if known is not None and known.course.pooling == prepare(log, budget).pooling:
        run = known
    else:
        run = yield from _run(log, budget, NOTHING)
    first = _first_told(log)
    first_run = run if first is log else (yield from _run(first, FIRST_BUDGET, ANYTHING))
    scaled = sum(first_run.course.pooling.caps) * math.log(first_run.scale)
    found = {}
    for refit in alike:
        start, _ = known_at_first(replace(log, start=log.start.supposing(refit.infested)))
        arrivals = refit.arrivals / alike[0].arrivals
        nothing, anything = run.values(start, arrivals)
        of_first = float(first_run.values(start, arrivals)[-1])
        of_log = start.log_factor + math.log(of_first) - scaled
        found[refit.code] = float(nothing / anything), of_log
    return found


def _first_told(log: Log) -> Log:
    """The log up to the day on which its finds come to take more than `MOST_TOLD` coefficients.

    Finds that are taken together fit one assumption better than another by their being so. Where
    it ends is known on that day, so that what was bet until then is fair (optional stopping).
    """
    size = 1
    for number, day in enumerate(log.days):
        looks = day.looks if number else known_at_first(log)[1]
        size *= math.prod(find.count + 1 for look in looks for find in look.finds)
        if size > MOST_TOLD:
            return replace(log, days=log.days[: number + 1])
    return log


def _run(log: Log, budget: int, first: int) -> Generator[None, None, Backward]:
    """A run of the log, at a scale that serves, for the terminals from the first one wanted on."""
    course = prepare(log, budget)
    ends = np.tile([[0.0], [1.0]], (len(log.landing), 1, 1))[:, first:]
    tries = scales()
    scale = next(tries)
    while True:
        run = Backward(course, ends, scale, in_parts=True)
        parts = run.parts()
        while _goes_on(parts):
            yield
        with np.errstate(over="ignore", invalid="ignore", under="ignore"):
            chance = float(run.values()[-1])
        try:
            scale = tries.send(chance)
        except StopIteration as end:
            if end.value[0] is None:
                raise fault_of(log, is_possible) from None
            return run


def _goes_on(parts: Iterator[None]) -> bool:
    # not around the yield: code that runs meanwhile keeps its own numpy error settings
    with np.errstate(over="ignore", invalid="ignore", under="ignore"):
        return next(parts, parts) is None
