"""What years of looks cost: today, and a plant's page, beside the same on the season of the demo.

A collection of some age is written as its rounds would have, every plant every few days, up to
yesterday. Each day is worked out once before anything is timed; that first time is told by itself.
"""

import json
import random
import re
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import product
from pathlib import Path
from tempfile import TemporaryDirectory

from rounds.clock import Clock
from rounds.core.log.entries import Look, Tally
from rounds.core.walks import Round, Step
from rounds.service.collection.plants import PlaceDetails, PlantDetails, add_plant, put_place
from rounds.service.demo import make_demo
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import Moment, local_noon
from rounds.store import log, walks
from tests.bench.process import CHECKOUT, NotMeasured, environment, in_turns
from tests.bench.table import Row, ratio_of_medians

REPEATS = 10
SEED = 7
PLACES = ("north sill", "south sill", "cabinet", "long bench")
ZONES = ("axils", "undersides", "new-growth", "sheaths", "stem-base", "pot-rim", "medium")
SECONDS = {"axils": 70, "undersides": 50, "new-growth": 30, "sheaths": 20}
FOUND_ON, A_FIND = 20, 0.004
"""of so many plants insects are found on one, at this share of its looks"""


@dataclass(frozen=True, slots=True)
class Age:
    """So many plants looked at whole every few days for so many days, up to yesterday."""

    name: str
    plants: int
    days: int
    every: int
    today_goal: float
    """times the demo's"""

    @property
    def looks(self) -> int:
        """How many looks that makes."""
        return self.plants * (self.days // self.every) * len(ZONES)


TWO_YEARS = Age("two-years", plants=60, days=726, every=3, today_goal=2.0)
A_MILLION = Age("a-million", plants=300, days=954, every=2, today_goal=3.0)


def write_years(path: Path, age: Age, clock: Clock) -> None:
    """The logbook of an age."""
    today = clock.today()
    chance = random.Random(SEED)
    first = today - timedelta(days=age.days)
    with Logbook(path, clock) as logbook, logbook.file.writing():
        at = local_noon(first)
        for name in PLACES:
            put_place(logbook, at, name, PlaceDetails(room="porch", bench=name, usual_c=19.0))
        ids = [_plant(logbook, at, number) for number in range(age.plants)]
        for back in range(age.days, 0, -1):
            _round(logbook, ids, today - timedelta(days=back), age.every, chance)


def _plant(logbook: Logbook, at: Moment, number: int) -> int:
    details = PlantDetails(
        name=f"Plant {number}", place=PLACES[number % len(PLACES)], already_here=True
    )
    return add_plant(logbook, at, f"W{number:03}", details).id


def _round(logbook: Logbook, ids: list[int], day: date, every: int, chance: random.Random) -> None:
    file, at = logbook.file, local_noon(day).seconds
    walk = Round(file.next_id(), day, None, at, at + 600, 60.0, "walked")
    walks.append_round(file, walk)
    seen = [plant_id for plant_id in ids if (plant_id + day.toordinal()) % every == 0]
    steps = [
        Step(number, plant_id, zone, SECONDS.get(zone, 12), "unseen")
        for number, (plant_id, zone) in enumerate(product(seen, ZONES), 1)
    ]
    walks.append_steps(file, walk.id, steps)
    for plant_id in seen:
        for zone in ZONES:
            seconds = SECONDS.get(zone, 12) * chance.uniform(0.6, 1.4)
            look = Look(file.next_id(), day, plant_id, zone, walk.id, at, seconds, "looked")
            if plant_id % FOUND_ON == 0 and chance.random() < A_FIND:
                tally = Tally(
                    file.next_id(), day, plant_id, look.id, at * 1000, "removed", "young",
                    "mealybug", 1,
                )  # fmt: skip
                log.append_tally(file, tally)
            log.append_look(file, look)
            at += round(seconds)


def measure(repeats: int, ages: tuple[Age, ...] = (TWO_YEARS, A_MILLION)) -> list[Row]:
    """Each age beside the demo."""
    rows: list[Row] = []
    with TemporaryDirectory(prefix="rounds-bench-") as folder:
        demo = make_demo(Path(folder) / "demo.db", Clock()).path
        for age in ages:
            path = Path(folder) / f"{age.name}.db"
            write_years(path, age, Clock())
            rows += _of_age(age, path, demo, repeats)
    return rows


def _of_age(age: Age, path: Path, demo: Path, repeats: int) -> Iterator[Row]:
    plant = ("plant", "W007", "--json"), ("plant", "S03", "--json")
    today = ("today", "--json"), ("today", "--json")
    for name, (ours, theirs), goal in (
        ("today", today, age.today_goal), ("plant", plant, 2.0),
    ):  # fmt: skip
        first = timed(ours, path)()
        timed(theirs, demo)()
        yield Row(f"{age.name}-{name}-first", "ms", [first], [], first, None)
        of_age, of_demo = in_turns(repeats, timed(ours, path), timed(theirs, demo))
        ratio = ratio_of_medians(of_age, of_demo)
        yield Row(f"{age.name}-{name}", "ms", of_age, of_demo, ratio, goal)
    megabytes = [memory(today[0], path) for _ in range(3)]
    yield Row(f"{age.name}-memory", "MB", megabytes, [], max(megabytes), 120.0)


def timed(arguments: tuple[str, ...], path: Path) -> Callable[[], float]:
    """A call of the program on a logbook: its milliseconds, from start to end."""

    def run() -> float:
        started = time.perf_counter()
        done = _run((sys.executable, "-m", "rounds", *arguments), path)
        taken = (time.perf_counter() - started) * 1000
        if json.loads(done.stdout)["format"] != f"rounds.{arguments[0]}":
            raise NotMeasured(f"{arguments[0]} did not answer")
        return taken

    return run


PEAK = (
    "import sys; from rounds.__main__ import main; sys.argv = ['rounds', *sys.argv[1:]]\n"
    "try: main()\n"
    "finally: print(*(line for line in open('/proc/self/status') if line.startswith('VmHWM')), "
    "file=sys.stderr)"
)


def memory(arguments: tuple[str, ...], path: Path) -> float:
    """Megabytes at the most, of the program alone: getrusage tells those of its parent too."""
    done = _run((sys.executable, "-c", PEAK, *arguments), path)
    found = re.findall(rb"\d+", done.stderr)
    if not found:
        raise NotMeasured("no figure of memory")
    return int(found[-1]) / 1024


def _run(words: tuple[str, ...], path: Path) -> "subprocess.CompletedProcess[bytes]":
    done = subprocess.run(
        words, cwd=CHECKOUT, env=environment(path), capture_output=True, check=False
    )
    if done.returncode:
        raise NotMeasured(done.stderr.decode(errors="replace")[-400:])
    return done
