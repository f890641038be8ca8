"""What the sums take: many clean plants, the figures of a key, and the demo's day from nothing.

Each stands beside something it cannot do without, or that takes time anyway: one pass over as
much state, one plain run over the same log, reading the log.
"""

import os
import time
from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from functools import partial
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

import numpy as np

from rounds.clock import Clock
from rounds.core.biology.day import Values
from rounds.core.biology.process import Process, make_process
from rounds.core.body import make_body
from rounds.core.inference.ahead import AHEAD_BUDGET
from rounds.core.inference.answer import LIVE_BUDGET, answer, chance_clean
from rounds.core.inference.batch import AT_ONCE
from rounds.core.inference.evidence import gather
from rounds.core.inference.facts import PlantFacts
from rounds.core.inference.side_by_side import answers_of_clean
from rounds.core.log.effective import EffectiveLook, EffectiveTally
from rounds.core.plan.risk import harm_of_one
from rounds.core.quarantine.days import days_looked
from rounds.core.quarantine.outlook import Outlook
from rounds.core.quarantine.warmth import LIMIT_DAYS
from rounds.service.demo import make_demo
from rounds.service.inference.day import CollectionDay
from rounds.service.inference.together import in_order
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.parameters import load_parameters
from rounds.store import derived
from tests.bench.process import in_turns
from tests.bench.table import Row, ratio_of_medians
from tests.bench.today import run_timed
from tests.proof.calibrate import known_logs
from tests.proof.conditioning import condition
from tests.proof.exact_predict import evidence, left
from tests.proof.heavy import heavy_logs
from tests.proof.sample_logs import sample_logs
from tests.proof.values import plant_process

REPEATS = 5
RANK = ("-m", "rounds", "rank", "--json")
MOST_FRESH = 5.0
"""times as long as with everything kept: the goal of a rank with nothing kept"""
USUAL, HEAVY = 60, 20
"""random logs with finds, and heavy ones"""
MEDIAN_MS, WORST_MS = 100.0, 1000.0
LATE_DAYS, LATE_FINDS = 180, 12
DAYS, MANY, NURSERY = 60, 1000, 10_000
DISTINCT = 210
"""plants that differ; more are these again"""
PARTICLE_LOG, PARTICLE_ERROR = "clean a fortnight since", 0.01
"""what whole insects are conditioned on, and the standard error of the chance they must reach"""
REPLICATES, BATCHES = 4000, 10
MILD = (16.0, 24.0)
FIRST = date(2025, 3, 1)
FINDS = {9: "axils", 17: "undersides", 30: "axils"}
"""of the plant at hand, one each"""

PARAMETERS = load_parameters()
BODY = make_body("leafy-plant", "medium", False, PARAMETERS)
Timed = Callable[[], float]


def measure(repeats: int) -> list[Row]:
    """Ours and the other in turns."""
    sixty = (AT_ONCE, MANY, NURSERY)
    rows = [_row(f"clean-{n}", "us", repeats, _clean(n), _passes(n)) for n in sixty]
    same = _one_run(_facts(2, FINDS), LIVE_BUDGET)
    rows.append(_row("chance-of-key", "ms", repeats, _of_key(), same))
    rows.append(_row("forecast", "ms", repeats, _foreseen(), _one_run(_heavy(), AHEAD_BUDGET)))
    rows.append(_row("particles", "ms", 1, _figures(), _particles()))
    with TemporaryDirectory(prefix="rounds-bench-") as folder:
        demo = make_demo(Path(folder) / "demo.db", Clock()).path
        with Logbook(demo, Clock()) as logbook:
            ours, read = _worked_out(logbook), _read(logbook)
            rows.append(_row("cold-day", "ms", repeats, ours, read))
            rows += _ranked(repeats, logbook, demo)
    return [*rows, *_figures_with_finds()]


def _row(name: str, unit: str, repeats: int, ours: Timed, against: Timed) -> Row:
    mine, other = in_turns(repeats, ours, against)
    return Row(name, unit, mine, other, ratio_of_medians(mine, other), None)


def _ranked(repeats: int, logbook: Logbook, demo: Path) -> list[Row]:
    """`rank --json` with nothing kept from before, against all kept; in processes of their own.

    From start to end, and again in time of the processor, which what else runs is no part of: of
    both cores together, as half of what is not kept is worked out on a second one.
    """
    used: dict[bool, list[float]] = {True: [], False: []}

    def run(*, is_fresh: bool) -> Timed:
        def timed() -> float:
            if is_fresh:
                derived.forget_all(logbook.file)
            before = _processes_ms()
            took = run_timed(RANK, demo)
            used[is_fresh].append(_processes_ms() - before)
            return took

        return timed

    fresh, kept = in_turns(repeats, run(is_fresh=True), run(is_fresh=False))
    # the first turn of all warms the caches up
    of_fresh, of_kept = used[True][-repeats:], used[False][-repeats:]
    return [
        Row(name, "ms", ours, other, ratio_of_medians(ours, other), goal)
        for name, ours, other, goal in (
            ("rank-fresh", fresh, kept, MOST_FRESH),
            ("rank-fresh-cpu", of_fresh, of_kept, None),
        )
    ]


def _processes_ms() -> float:
    """Time of the processor of all processes that were started and have ended."""
    spent = os.times()
    return (spent.children_user + spent.children_system) * 1e3


def _figures_with_finds() -> list[Row]:
    """Milliseconds of all figures of one plant: random logs with finds, and heavy ones.

    Each stands beside the chance clean alone within the budget of a key. Of the processor, as
    their goals are times and what else runs is no part of them.
    """
    usual = [one.log for one in known_logs(USUAL)]
    heavy = [one.log for one in heavy_logs(HEAVY)]
    logs = [evidence(log).log for log in (*usual, *heavy)]
    whole = [_processor_ms(partial(answer, log)) for log in logs]
    key = [_processor_ms(partial(chance_clean, log, LIVE_BUDGET)) for log in logs]
    middle, worst = median(whole[: len(usual)]), max(whole)
    return [
        Row("figure-median", "ms", whole[: len(usual)], key[: len(usual)], middle, MEDIAN_MS),
        Row("figure-worst", "ms", whole, key, worst, WORST_MS),
        _found_late(),
    ]


def _found_late() -> Row:
    """The same of the costliest log known: looked at daily for half a year, then twelve finds.

    Of the thread that is asked for it alone: one of the two ends is worked out beside it, so that
    this is how long it takes where two cores are free.
    """
    zones = [zone.zone for zone in BODY.outside]
    finds = {LATE_DAYS - 1 - n: zones[n % len(zones)] for n in range(LATE_FINDS)}
    on = FIRST + timedelta(days=LATE_DAYS)
    log = gather(_facts(1, finds, last=LATE_DAYS), on, PARAMETERS).log
    of_thread = time.thread_time
    whole = [_processor_ms(partial(answer, log), of_thread) for _ in range(REPEATS)]
    key = [_processor_ms(partial(chance_clean, log, LIVE_BUDGET)) for _ in range(REPEATS)]
    return Row("figure-late", "ms", whole, key, median(whole), WORST_MS)


def _processor_ms(
    run: Callable[[], object], clock: Callable[[], float] = time.process_time
) -> float:
    began = clock()
    run()
    return (clock() - began) * 1e3


def _timed(run: Callable[[], object], times: float) -> Timed:
    """How long it takes, times so much."""

    def timed() -> float:
        began = time.perf_counter()
        run()
        return (time.perf_counter() - began) * times

    return timed


def _clean(plants: int) -> Timed:
    """Microseconds a plant-day: plants apart, looked at every one to seven days, no finds."""
    known = [
        gather(_facts(1 + n % 7, {}), _last(), PARAMETERS).log for n in range(min(plants, DISTINCT))
    ]
    logs = [known[n % DISTINCT] for n in range(plants)]
    return _timed(lambda: answers_of_clean(logs), 1e6 / (plants * DAYS))


def _passes(plants: int) -> Timed:
    """The same for one multiplication in place of as much state, day by day and part by part."""
    process = make_process(BODY.zones, PARAMETERS, "mealybug")
    state = np.ones((process.size, 2, AT_ONCE))
    factor = np.full((process.size, 1, 1), 1.0)

    def run() -> None:
        for _ in range(DAYS * plants // AT_ONCE):
            np.multiply(state, factor, out=state)

    return _timed(run, 1e6 / (plants // AT_ONCE * AT_ONCE * DAYS))


def _of_key() -> Timed:
    """Milliseconds from what is known of a plant, with what the key meant, to its figures."""
    facts = _facts(2, FINDS)

    def run() -> None:
        evidence = gather(facts, _last(), PARAMETERS)
        found = answer(evidence.log, LIVE_BUDGET, with_interval=False)
        assert (_weights(evidence.process) @ found.mean > 0).all()

    return _timed(run, 1e3)


def _weights(process: Process) -> Values:
    """What is asked of the insects left: how many, and what they may cost."""
    return harm_of_one(process, 22.0, PARAMETERS.risk).counted


def _one_run(facts: PlantFacts, budget: int) -> Timed:
    """Milliseconds of one figure for the same plant, its log at hand."""
    log = gather(facts, _last(), PARAMETERS).log
    return _timed(lambda: chance_clean(log, budget), 1e3)


def _heavy() -> PlantFacts:
    """A plant with finds on every day but the last ones: 300 insects in all."""
    return _facts(1, dict.fromkeys(range(DAYS - 10), "axils"), found=6)


def _foreseen() -> Timed:
    """Milliseconds until it is known on which day that plant is likely clean."""
    facts, level = _heavy(), PARAMETERS.pests["mealybug"].rules["default"].chance_clean
    days = [_last() + timedelta(days=number) for number in range(1, LIMIT_DAYS + 1)]
    looked = days_looked(facts.looks, facts.body_on, facts.pest, PARAMETERS.inspection)
    to_come = [replace(looked[-1], day=day) for day in days]

    def run() -> None:
        outlook = Outlook(facts, _last(), PARAMETERS, to_come, looked, 20.0, levels=(level,))
        assert any(outlook(day) >= level for day in days)

    return _timed(run, 1e3)


def _figures() -> Timed:
    """Milliseconds of chance and mean for the log that the particles are asked about."""
    log = sample_logs(plant_process(PARAMETERS))[PARTICLE_LOG]
    return _timed(lambda: left(log), 1e3)


def _particles() -> Timed:
    """Milliseconds of whole insects that agree with the log, until their error is as wanted.

    A short run tells its own error, which falls with the root of the time.
    """
    process = plant_process(PARAMETERS)
    log = sample_logs(process)[PARTICLE_LOG]

    def timed() -> float:
        began = time.perf_counter()
        seen = condition(process, log, REPLICATES, BATCHES, 1)
        took = time.perf_counter() - began
        return took * 1e3 * (seen.clean.error / PARTICLE_ERROR) ** 2

    return timed


def _worked_out(logbook: Logbook) -> Timed:
    """Milliseconds for likely clean and the risk of every plant, nothing kept from before."""

    def run() -> None:
        derived.forget_all(logbook.file)
        day = CollectionDay(logbook, logbook.clock.today())
        for record in in_order(list(day.records.values())):
            assert record.likely.chance_clean + record.likely.risk.value >= 0

    return _timed(run, 1e3)


def _read(logbook: Logbook) -> Timed:
    """Milliseconds for reading every plant's log and what still stands of it."""

    def run() -> None:
        for record in CollectionDay(logbook, logbook.clock.today()).records.values():
            assert len(record.log) >= 0

    return _timed(run, 1e3)


def _last() -> date:
    return FIRST + timedelta(days=DAYS)


def _facts(every: int, finds: dict[int, str], found: int = 1, last: int = DAYS) -> PlantFacts:
    days = sorted({*range(0, last + 1, every), *finds})
    return PlantFacts(
        looks=tuple(look for day in days for look in _looks(day, finds.get(day), found)),
        body_on=lambda _: BODY,
        range_c=lambda _: MILD,
        apart=lambda _: True,
        first_day=FIRST,
        arrived=True,
        pest="mealybug",
    )


def _looks(day: int, found_in: str | None, found: int) -> list[EffectiveLook]:
    on = FIRST + timedelta(days=day)
    one = (EffectiveTally(1, "removed", "adult", "mealybug", found, 0, None),)
    return [
        EffectiveLook(
            1, on, zone.zone, 1, 0, zone.reference_seconds, "looked", None, False, False,
            one if zone.zone == found_in else (),
        )
        for zone in BODY.outside
    ]  # fmt: skip
