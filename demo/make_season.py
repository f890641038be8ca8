"""Makes the demo's season: `python demo/make_season.py [FILE]`, byte for byte the same each time.

An invented grower walks ten weeks of rounds through an invented place. The insects live and are
found by chance under the parameters of the package; the cast says only who lives there.
"""

import json
import math
import sys
import tomllib
from pathlib import Path
from typing import Any

import numpy as np
from grower import Entry, Keeper, Pot
from insects import Biology, Colony

from rounds.core.biology.degree_days import day_degree_days
from rounds.core.body import make_body
from rounds.core.parameters import Parameters
from rounds.service.logbook.parameters import load_parameters

HERE = Path(__file__).parent
SEASON = HERE.parent / "rounds" / "demo" / "season.jsonl"

SEED = 2158
"""of the keeper's chances; it and the luck in the cast were chosen so that there is a plant of each
kind: the tests say which"""

STAIR_FOOT = "stair foot"
DAYS_MISSED = 0.1
AWAY = range(-31, -28)
DESK_DAYS = 14
WHY_EARLY = "its spot by the glass was wanted; all but the chance was met"
"""The keeper ends a quarantine by the days, the warmth, the looks and the roots alone."""
"""every other week roots are seen and quarantines ended"""
FIRST_DESK = -13
SPRAY = "spray"
"""what every course of the cast does"""
ARRIVALS_APART, ARRIVALS = 2e-4, 1e-3
"""crawlers a day from nowhere: an assumption, no source"""
REACH_TOUCHING, REACH_BENCH, REACH_ROOM = 1.0, 0.2, 0.02
"""shares of the crawlers leaving a plant that reach another: assumptions, no source"""


class Season:
    """The ten weeks, day by day; `entries` is what the logbook holds of them."""

    def __init__(self, seed: int, parameters: Parameters) -> None:
        self.cast = tomllib.loads((HERE / "cast.toml").read_text(encoding="utf-8"))
        self.parameters = parameters
        self.biology = Biology(parameters)
        self.rng = np.random.Generator(np.random.PCG64(seed))
        self.keeper = Keeper(self.rng, parameters.inspection)
        self.first_day: int = self.cast["first_day"]
        self.places = {place["name"]: place for place in self.cast["places"]}
        self.rows = {plant["code"]: plant for plant in self.cast["plants"]}
        self.pots: dict[str, Pot] = {}
        self.warmth: dict[tuple[str, int], float] = {}
        self.drift = dict.fromkeys(self.places, 0.0)
        self.entries: list[Entry] = []

    def live(self) -> list[Entry]:
        """All entries, in the order they were made."""
        for place in self.cast["places"]:
            said = {key: value for key, value in place.items() if key != "weather"}
            self._enter(self.first_day, 6 * 3600, "place", **said)
        for row in self.cast["plants"]:
            if "came" not in row:
                self._come(row, self.first_day, 6 * 3600 + 300)
        for day in range(self.first_day, 0):
            self._insects_live(day)
            self._morning(day)
            self._desk(day)
            self._treat(day)
            for row in self.cast["plants"]:
                if row.get("came") == day:
                    self._come(row, day, 17 * 3600)
            self._evening(day)
        return self.entries

    def _enter(self, day: int, at: int, kind: str, **said: Any) -> None:
        self.entries.append({"day": day, "at": at, "kind": kind, **said})

    def _come(self, row: dict[str, Any], day: int, at: int) -> None:
        """A plant is registered: one that came stands apart, the others stand where they stood."""
        arrived = "came" in row
        place = STAIR_FOOT if arrived else row["place"]
        clear_pot = row.get("clear_pot", False)
        body = make_body(row["form"], row["size"], clear_pot, self.parameters)
        colony = Colony(self.biology, body, luck_of(row))
        pot = Pot(
            row["code"], row["place"], body, colony, place, row.get("fixed", False), day,
            row.get("every_days", 1),
        )  # fmt: skip
        if arrived:
            pot.apart_since = day
        if day == row.get("infested_on", day):
            colony.begin(row.get("insects", 0.0))
        for other in row.get("touches", []):
            pot.touches.add(other)
            self.pots[other].touches.add(pot.code)
        self.pots[pot.code] = pot
        pot.spot = self._spot(pot)
        self._enter(
            day, at, "plant", code=pot.code, name=row["name"], form=row["form"],
            size=row["size"], clear_pot=clear_pot, place=place, spot=pot.spot,
            arrived=arrived, source=row.get("source"), touches=row.get("touches", []),
        )  # fmt: skip

    def _spot(self, pot: Pot) -> str:
        """The first free spot where a plant stands; at home, its own."""
        at_home = [row["code"] for row in self.rows.values() if row["place"] == pot.place]
        if pot.code in at_home:
            return f"spot {at_home.index(pot.code) + 1}"
        taken = {p.spot for p in self.pots.values() if p.place == pot.place and p is not pot}
        numbered = (f"spot {number}" for number in range(1, len(self.rows) + 1))
        return next(spot for spot in numbered if spot not in taken)

    def _insects_live(self, day: int) -> None:
        """From yesterday's looks to today's: a day of life, then what arrives."""
        leaving: dict[str, int] = {}
        for pot in self.pots.values():
            if day > pot.came_on:
                leaving[pot.code] = pot.colony.day(self.warmth[pot.place, day - 1])
                apart = pot.apart_since is not None
                arrives = self.keeper.chance(ARRIVALS_APART if apart else ARRIVALS)
                pot.colony.arrive(int(arrives))
            row = self.rows[pot.code]
            if row.get("infested_on") == day:
                pot.colony.begin(row["insects"])
        for code, crawlers in leaving.items():
            for _ in range(crawlers):
                self._crawl(self.pots[code])

    def _crawl(self, source: Pot) -> None:
        """One crawler left a plant; it reaches another or none."""
        others = [pot for pot in self.pots.values() if pot is not source]
        shares = np.cumsum([self._reach(source, other) for other in others])
        drawn = self.rng.random() * max(1.0, float(shares[-1]))
        if drawn < shares[-1]:
            others[int(np.searchsorted(shares, drawn, side="right"))].colony.arrive(1)

    def _reach(self, source: Pot, other: Pot) -> float:
        if other.code in source.touches:
            return REACH_TOUCHING
        if source.place == other.place:
            return REACH_BENCH
        rooms = {self.places[pot.place]["room"] for pot in (source, other)}
        return REACH_ROOM if len(rooms) == 1 else 0.0

    def _morning(self, day: int) -> None:
        """The round, and what the keeper does with plants on which something was found."""
        began = int(self.keeper.between(6.6, 7.6) * 3600)
        if day in AWAY or self.keeper.chance(DAYS_MISSED):
            return
        walked = self.keeper.walk(list(self.pots.values()), day, began)
        if walked is None:
            return
        self.entries.append(walked)
        for pot in self.pots.values():
            if pot.found_on == day and pot.apart_since is None and not pot.fixed:
                self._move(pot, STAIR_FOOT, day, walked["ended"] + 60)
                pot.apart_since = day

    def _move(self, pot: Pot, place: str, day: int, at: int) -> None:
        pot.place = place
        pot.spot = self._spot(pot)
        for other in pot.touches:
            self.pots[other].touches.discard(pot.code)
        pot.touches.clear()
        self._enter(day, at, "move", plant=pot.code, place=place, spot=pot.spot)

    def _desk(self, day: int) -> None:
        """Every other week: roots seen where that counts, and quarantines ended that may end."""
        if (day - FIRST_DESK) % DESK_DAYS:
            return
        at = 10 * 3600
        for pot in self.pots.values():
            if pot.apart_since is None:
                continue
            if self._roots_wanted(pot, day):
                at += 600
                self.entries.append(self.keeper.unpot(pot, day, at))
            if self._may_rejoin(pot, day):
                at += 300
                self._enter(day, at, "release", plant=pot.code, reason=WHY_EARLY)
                pot.apart_since, pot.released_on = None, day
                self._move(pot, pot.home, day, at + 60)

    def _treat(self, day: int) -> None:
        """Courses of treatment go on."""
        for row in self.rows.values():
            if day in row.get("treated_on", ()):
                self.pots[row["code"]].colony.treat(self.parameters.treatments[SPRAY])
                self._enter(day, 11 * 3600, "course", plant=row["code"], course=row["course"])

    def _roots_wanted(self, pot: Pot, day: int) -> bool:
        first = pot.clocks_from + self.biology.rules.roots_after_days
        return day >= first > pot.roots_on

    def _may_rejoin(self, pot: Pot, day: int) -> bool:
        rules = self.biology.rules
        since = pot.clocks_from
        warmth = sum(self.warmth[STAIR_FOOT, past] for past in range(since, day))
        roots_seen = pot.roots_on >= since + rules.roots_after_days
        return day - since >= rules.days_apart and warmth >= rules.degree_days and roots_seen

    def _evening(self, day: int) -> None:
        """Read the thermometers: a mild rise over the season, and days that hang together."""
        for name, place in self.places.items():
            weather = place.get("weather")
            if weather is None:
                low = high = place["usual_c"]
            else:
                low, high = self._temperatures(name, weather, day)
                self._enter(day, 20 * 3600, "weather", place=name, min_c=low, max_c=high)
            self.warmth[name, day] = day_degree_days(low, high, self.biology.warmth)

    def _temperatures(self, name: str, weather: dict[str, float], day: int) -> tuple[float, float]:
        self.drift[name] = 0.7 * self.drift[name] + self.keeper.between(-1.2, 1.2)
        risen = (1 - math.cos(math.pi * (day - self.first_day) / -self.first_day)) / 2
        mean = weather["first_c"] + (weather["last_c"] - weather["first_c"]) * risen
        swing = weather["swing_c"] * self.keeper.between(0.6, 1.2)
        middle = mean + self.drift[name]
        return round(2 * middle - swing) / 2, round(2 * middle + swing) / 2


def luck_of(row: dict[str, Any]) -> np.random.Generator:
    """The chances of the insects on one plant, apart from those of the keeper and all others."""
    return np.random.Generator(np.random.PCG64([*row["code"].encode(), row.get("luck", 0)]))


def text_of(entries: list[Entry]) -> str:
    """One entry a line, in the order they were made."""
    lines = (json.dumps(entry, separators=(",", ":"), ensure_ascii=False) for entry in entries)
    return "".join(f"{line}\n" for line in lines)


def main(file: Path = SEASON) -> None:
    """Write the season to a file."""
    entries = Season(SEED, load_parameters()).live()
    file.write_text(text_of(entries), encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main(*map(Path, sys.argv[1:2]))
