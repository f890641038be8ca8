"""How far the chance clean moves with what is assumed: the whole log refitted, one at a time."""

import math
from collections.abc import Generator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from rounds.core.inference.abreast import Abreast, run_abreast
from rounds.core.inference.answer import is_possible
from rounds.core.inference.backward import Course, known_at_first, prepare
from rounds.core.inference.evidence import gather
from rounds.core.inference.facts import PlantFacts, Refit
from rounds.core.inference.observed import ImpossibleEntry, Log
from rounds.core.inference.prior import Known
from rounds.core.inference.scale import GREATEST, LEAST, fault_of
from rounds.core.inference.series import Array
from rounds.core.inference.side_by_side import chances_of_clean, is_clean
from rounds.core.parameters import Infestation, Parameters

BAND_BUDGET = 64
"""coefficients of each of the refits, and of the log as it is beside them: what is lost in one is
lost in all, so that they are moved along with the figure, which has more"""
MOST_TOLD, FIRST_BUDGET = 16, 64
"""coefficients up to which a log is asked how well it fits; its last day may pass the first. What
more finds tell of the assumptions is little: collections were told apart as well with 64 and 256"""

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
    figure: float | None = None,
) -> Generator[None, None, Band]:
    """The band of the chance clean at the end of `on`, over all refits of the whole log.

    It pauses often enough that no key press waits.

    Args:
        facts: of the plant, for one pest.
        on: the day spoken about.
        parameters: the table.
        budget: coefficients of each refit.
        figure: the chance clean as it is, from as many coefficients as it has.

    Raises:
        ImpossibleEntry: something was entered that cannot happen.
        ChanceOutOfRange: it can, but its chance fits no floating-point scale.
    """
    if is_clean(gather(facts, on, parameters).log):
        yield
        return (yield from bands_of_clean([facts], on, parameters))[0]
    those = refits(parameters.infestation)
    read: list[_Read] = []
    for alike in _sharing_a_run(those, facts):
        try:
            log = gather(facts, on, parameters, alike[0]).log
            read.append(_Read(alike, log, prepare(log, budget)))
        except ImpossibleEntry:
            # under an assumption of the band what was entered may be out of the question
            if alike[0] == those[0]:
                raise
        yield
    # those that share their days stand side by side, the log as it is first
    read.sort(key=lambda each: _days_of(each.alike[0]))
    chances = yield from _chances(read)
    band = _band([(refit.code, chances[refit.code]) for refit in those if refit.code in chances])
    return band if figure is None else moved_along(band, figure)


@dataclass(frozen=True, slots=True, eq=False)
class _Read:
    """Refits that share a run, and what they read."""

    alike: Sequence[Refit]
    log: Log
    course: Course


def _days_of(refit: Refit) -> tuple[bool, float, float]:
    return refit.exchange != 1, refit.exchange, refit.tucked


def moved_along(band: Band, figure: float) -> Band:
    """The band with its odds changed as those of the figure were by more coefficients."""
    if not (0 < figure < 1 and 0 < band.value < 1):
        return band
    times = figure / (1 - figure) * (1 - band.value) / band.value

    def moved(chance: float) -> float:
        return times * chance / (1 - chance + times * chance)

    return replace(band, value=figure, low=moved(band.low), high=moved(band.high))


def bands_of_clean(
    found: Sequence[PlantFacts], on: date, parameters: Parameters
) -> Generator[None, None, dict[int, Band]]:
    """By number, the bands of plants without finds: all refits of all of them side by side.

    Those with finds are missing from the result. It pauses as `band_in_steps` does.
    """
    those = refits(parameters.infestation)
    # of the others nothing is read under each of the refits, which takes as long as a run
    clean = [n for n, facts in enumerate(found) if is_clean(gather(facts, on, parameters).log)]
    logs = []
    for number in clean:
        logs += yield from _refitted(found[number], on, parameters, those)
    chances = yield from chances_of_clean(logs)
    codes = [refit.code for refit in those]
    return {
        number: _band([(code, chances[first + at]) for at, code in enumerate(codes)])
        for number, first in zip(clean, range(0, len(logs), len(codes)), strict=True)
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


def _chances(read: Sequence[_Read]) -> Generator[None, None, dict[str, Told]]:
    """By code, what is told under each refit; those whose chance is out of range are missing.

    Raises:
        ImpossibleEntry: the log as it is cannot have happened.
        ChanceOutOfRange: it can, but its chance fits no floating-point scale.
    """
    ends = yield from _runs(read, (0.0, 1.0))
    firsts = [_first_told(each.log) for each in read]
    if all(first is each.log for first, each in zip(firsts, read, strict=True)):
        first_ends = ends
    else:
        cut = [
            _Read(each.alike, first, prepare(first, FIRST_BUDGET))
            for first, each in zip(firsts, read, strict=True)
        ]
        first_ends = yield from _runs(cut, (1.0,))
    found = {}
    for of_log, of_first in zip(ends, first_ends, strict=True):
        if of_log is None or of_first is None:
            continue
        for refit in of_log.read.alike:
            nothing, anything = of_log.values(refit)
            first, start = float(of_first.values(refit)[-1]), of_log.start(refit)
            logarithm = start.log_factor + math.log(first) - of_first.scaled
            found[refit.code] = float(nothing / anything), logarithm
    return found


@dataclass(frozen=True, slots=True, eq=False)
class _Ran:
    """Refits that share a run, and where in it they stand."""

    read: _Read
    run: Abreast
    number: int

    def start(self, refit: Refit) -> Known:
        """The start under one of them, and what was seen before anything moved."""
        log = self.read.log
        return known_at_first(replace(log, start=log.start.supposing(refit.infested)))[0]

    def values(self, refit: Refit) -> Array:
        """The joint chances of the log under one of them, at the scale of the run."""
        times = refit.arrivals / self.read.alike[0].arrivals
        return self.run.chances_of(self.number, self.start(refit).infested, times)

    @property
    def is_in_range(self) -> bool:
        """Whether the chance of the log keeps within floating-point range."""
        with np.errstate(over="ignore", invalid="ignore", under="ignore"):
            return LEAST < float(self.run.chances_of(self.number)[-1]) < GREATEST

    @property
    def scaled(self) -> float:
        """What the scale adds to the logarithm of a chance."""
        return sum(self.run.course.pooling.caps) * math.log(self.run.scale)


def _runs(read: Sequence[_Read], ends: Sequence[float]) -> Generator[None, None, list[_Ran | None]]:
    """All of them in one run; those that its scale does not serve once more alone.

    Raises:
        ImpossibleEntry: the first cannot have happened.
        ChanceOutOfRange: it can, but its chance fits no floating-point scale.
    """
    run = yield from run_abreast([each.course for each in read], ends)
    found: list[_Ran | None] = []
    for number, each in enumerate(read):
        ran = _Ran(each, run, number)
        if not ran.is_in_range:
            ran = _Ran(each, (yield from run_abreast([each.course], ends)), 0)
        found.append(ran if ran.is_in_range else None)
    if found[0] is None:
        raise fault_of(read[0].log, is_possible)
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
