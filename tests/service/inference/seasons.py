"""Random logs of one plant apart, and how looks go on as a forecast supposes, reckoned on its own.

Nothing here asks the program what it supposes: which days are complete and when something was last
found is known from how a log was drawn; what follows is written down as the rules are told.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise
from pathlib import Path
from random import Random
from statistics import median
from typing import Any

from rounds.clock import SetClock
from rounds.core.body import MEDIUM, Body, make_body
from rounds.service.collection.away_entry import enter_away
from rounds.service.collection.plants import (
    PlaceDetails,
    PlantDetails,
    add_plant,
    move_plant,
    put_place,
    put_weather,
)
from rounds.service.entries.looks import LookEntered, enter_look
from rounds.service.inference.day import record_of
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.choices import choose
from rounds.service.logbook.moment import local_noon
from rounds.service.logbook.parameters import load_parameters
from rounds.service.plant.record import PlantRecord
from rounds.store import desk

PARAMETERS = load_parameters()
ON = date(2026, 5, 4)
CODE = "S03"
STAIR, SHELF = "stair foot", "porch shelf"
RULES = ("lenient", "default", "default", "strict")
FORMS = ("leafy-plant", "leafy-plant", "monopodial-orchid", "fern")
ROOTS_AFTER, ROOTS_APART = 21, {"lenient": 0, "default": 0, "strict": 14}
ROOT_LOOKS = {"lenient": 0, "default": 1, "strict": 2}
ROOT_SECONDS, SECONDS_PER_FIND = 120.0, 8.0
LAST_LOOKS = 10
PART = ("axils",)
"""what is seen in a look that is not complete"""


@dataclass(frozen=True)
class Looked:
    """One day of a log: times the reference seconds of each zone, and what was found."""

    times: Mapping[str, float]
    complete: bool
    found: int = 0
    doubtful: bool = False
    roots: bool = False


@dataclass
class Season:
    """A log by days from ON on, all of them before or on it."""

    rules: str
    form: str
    size: str
    celsius: float
    came: int
    apart: int
    is_open: bool
    """ON is today"""
    looked: dict[int, Looked] = field(default_factory=dict)
    warm: dict[int, tuple[float, float]] = field(default_factory=dict)
    away: list[tuple[int, int]] = field(default_factory=list)

    @property
    def body(self) -> Body:
        return make_body(self.form, self.size, False, PARAMETERS)

    @property
    def complete(self) -> list[int]:
        return [day for day, looked in sorted(self.looked.items()) if looked.complete]

    @property
    def interval(self) -> int:
        """Days between complete looks, those without a day away between them; else one."""
        last = self.complete[-LAST_LOOKS:]
        gaps = [
            b - a
            for a, b in pairwise(last)
            if not any(day in range(a + 1, b) for day in self.days_away)
        ]
        return int(median(gaps) + 0.5) if gaps else 1

    @property
    def days_away(self) -> set[int]:
        return {day for first, last in self.away for day in range(first, last + 1)}

    @property
    def usual(self) -> dict[str, float]:
        """Times the reference seconds of each zone in a look to come."""
        last = [self.looked[day].times for day in self.complete[-LAST_LOOKS:]]
        return {z: median(times[z] for times in last) for z in last[0]} if last else {}


def drawn(seed: int, *, heavy: bool = False) -> Season:
    """A log drawn from a seed; a heavy one has more finds than are followed one by one."""
    draw = Random(seed)
    is_late = draw.random() < 0.15
    came = -draw.randint(20, 40) if is_late else -draw.randint(1, 70)
    apart = came if draw.random() < 0.5 else draw.randint(came, 0)
    season = Season(
        rules=draw.choice(RULES),
        form=draw.choice(FORMS),
        size=draw.choice(["small", "medium"]),
        celsius=round(draw.uniform(13, 27), 2),
        came=came,
        apart=-draw.randint(0, 5) if is_late else apart,
        is_open=draw.random() < 0.5,
    )
    # a plant seen every day and put apart late waits for its roots
    every = 1 if is_late else draw.choice([1, 1, 2, 2, 3, 3, 4, 6, 7, 9])
    _draw_looks(draw, season, every, heavy=heavy)
    season.warm = {
        -day: (low, low + round(draw.uniform(0, 8), 1))
        for day in range(draw.choice([1, 1, 0]), 20)
        if day <= -came and draw.random() < 0.5 and (low := round(draw.uniform(9, 22), 1))
    }
    for _ in range(draw.choice([0, 0, 1, 2])):
        first = draw.randint(0, 50)
        season.away.append((first, first + draw.randint(0, 18)))
    if season.days_away & set(season.looked):
        season.away.clear()
    return season


def _draw_looks(draw: Random, season: Season, every: int, *, heavy: bool) -> None:
    usual = draw.uniform(0.6, 1.6)
    is_even, without = draw.random() < 0.6, draw.random() < 0.1
    sees_all = [draw.random() < 0.85 for _ in range(80)]
    finds, day = (
        draw.choice([8, 12] if heavy else [0, 1, 1, 2, 3]),
        season.came + draw.randint(0, 3),
    )
    while day <= 0 and draw.random() < 0.97:
        found = draw.randint(1, 9 if heavy else 3) if finds and draw.random() < 0.5 else 0
        finds -= bool(found)
        each = usual * draw.uniform(0.9, 1.2)
        zones = [zone.zone for zone in season.body.outside]
        times = {z: each if is_even else usual * draw.uniform(0.85, 1.8) for z in zones}
        if without:
            times[MEDIUM] = 0.0
        complete = sees_all[-day]
        doubtful = not complete and not found and draw.random() < 0.1
        if not complete:
            times = {zone: each for zone in PART}
        roots = draw.random() < 0.1
        season.looked[day] = Looked(times, complete, found, doubtful, roots)
        day += max(1, every + draw.choice([0, 0, 0, -1, 1, 3]))


class Lived:
    """A season in a logbook of its own."""

    def __init__(self, path: Path, season: Season) -> None:
        self.season = season
        day = ON if season.is_open else ON + timedelta(1)
        self.clock = SetClock(datetime.combine(day, time(12), UTC))
        self.logbook = Logbook(path, self.clock)
        # no power fails in here: hundreds of small writes need not wait for the disk
        self.logbook.file.connection.execute("PRAGMA synchronous = OFF")
        # a date supposes that the grower's eye stays as it is known today
        choose(self.logbook, "own-eye", "off")
        self._enter()

    def record(self, day: int) -> PlantRecord:
        plant = self.logbook.collection().plant(CODE)
        assert plant is not None
        return record_of(self.logbook, plant, on(day))

    def _enter(self) -> None:
        season, book = self.season, self.logbook
        desk.put_setting(book.file, "rules", season.rules)
        # a date supposes the eye that is known on its day; every look of a learned one may move it
        desk.put_setting(book.file, "own-eye", "off")
        came, apart = on(season.came), on(season.apart)
        usual = PlaceDetails(usual_c=season.celsius)
        put_place(book, local_noon(came), SHELF, usual)
        put_place(book, local_noon(came), STAIR, replace(usual, apart=True))
        place = STAIR if came == apart else SHELF
        details = PlantDetails(name="Lanyard", form=season.form, size=season.size, place=place)
        # one that arrives is in quarantine from that day on
        is_new = apart == came
        details = replace(details, arrived=came if is_new else None, already_here=not is_new)
        add_plant(book, local_noon(came), CODE, details)
        for day, looked in sorted(season.looked.items()):
            self.look(day, looked)
        if apart != came:
            move_plant(book, local_noon(apart), CODE, STAIR, apart=True)
        stands = STAIR if apart == came else None
        for day, (low, high) in season.warm.items():
            for place in [stands] if stands else [STAIR, SHELF]:
                put_weather(book, local_noon(on(day)), place, on(day), low, high)
        for first, last in season.away:
            enter_away(book, local_noon(ON), on(first), on(last))

    def look(self, day: int, looked: Looked) -> None:
        """Enter what was looked at on a day."""
        reference = {zone.zone: zone.reference_seconds for zone in self.season.body.outside}
        counts = {"removed": looked.found} if looked.found else {}
        counts |= {"doubtful": 1} if looked.doubtful else {}
        if len(set(looked.times.values())) == 1 and looked.complete and not counts:
            self._entered(day, (), next(iter(looked.times.values())) * sum(reference.values()))
        else:
            for number, (zone, times) in enumerate(looked.times.items()):
                if times:
                    here = counts if number == 0 else {}
                    handling = SECONDS_PER_FIND * sum(here.values())
                    self._entered(day, (zone,), times * reference[zone] + handling, counts=here)
        if looked.roots:
            self._entered(day, ("roots",), ROOT_SECONDS, unpotted=True)

    def _entered(self, day: int, zones: tuple[str, ...], seconds: float, **said: Any) -> None:
        entered = LookEntered(zones, seconds, **said)
        enter_look(self.logbook, local_noon(on(day)), CODE, entered)

    def go_on(self, until: int) -> None:
        """Let time pass as a forecast supposes, up to the end of a day."""
        season = self.season
        self.clock.instant = datetime.combine(on(until), time(12), UTC)
        for place in (STAIR, SHELF):
            usual = PlaceDetails(usual_c=self.mean_c)
            put_place(self.logbook, local_noon(on(1)), place, usual, change=True)
        usual_times = season.usual or {zone.zone: 1.0 for zone in season.body.outside}
        looks = {day: Looked(usual_times, complete=True) for day in looks_to_come(season, until)}
        for day in root_looks_to_come(season):
            if day <= until:
                known = looks.get(day, Looked({}, complete=False))
                looks[day] = replace(known, roots=True)
        for day, looked in sorted(looks.items()):
            self.look(day, looked)

    @property
    def mean_c(self) -> float:
        """Of the last 14 days up to ON, degC."""
        season = self.season
        known = (season.warm.get(-back, (season.celsius, season.celsius)) for back in range(14))
        return sum((low + high) / 2 for low, high in known) / 14


def first_to_come(season: Season) -> int:
    """The first day on which something may still be done."""
    today = season.looked.get(0)
    is_over = today is not None and (today.found or today.doubtful)
    return 0 if season.is_open and not is_over and 0 not in season.days_away else 1


def looks_to_come(season: Season, until: int) -> Iterator[int]:
    """Days of complete looks."""
    day = max(season.complete[-1] + season.interval, -99) if season.complete else -99
    day = at_home(season, max(day, first_to_come(season)))
    while day <= until:
        yield day
        day = at_home(season, day + season.interval)


def root_looks_to_come(season: Season) -> list[int]:
    """Days of the looks at the roots that are outstanding, each on the first day it counts."""
    found = [day for day, looked in season.looked.items() if looked.found]
    counts_from = max([season.came, *found]) + ROOTS_AFTER
    counts_from = max(counts_from, season.apart)
    made = 0
    for day, looked in sorted(season.looked.items()):
        if looked.roots and not looked.found and day >= counts_from:
            made += 1
            counts_from = day + max(1, ROOTS_APART[season.rules])
    days = []
    for _ in range(ROOT_LOOKS[season.rules] - made):
        days.append(at_home(season, max(counts_from, first_to_come(season))))
        counts_from = days[-1] + max(1, ROOTS_APART[season.rules])
    return days


def at_home(season: Season, day: int) -> int:
    while day in season.days_away:
        day += 1
    return day


def on(day: int) -> date:
    return ON + timedelta(day)


def number(day: date | None) -> int | None:
    return None if day is None else (day - ON).days
