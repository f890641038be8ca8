"""A fresh copy of the demo: an invented season, written as if its grower had entered it here.

The season counts its days back from the day the copy is made, so that it is always of today.
"""

import json
import tempfile
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from importlib.resources import files
from pathlib import Path
from typing import Any

from rounds.clock import Clock
from rounds.core.collection import Plant
from rounds.core.log.entries import Look, StageGiven, Tally
from rounds.core.walks import Round, Step
from rounds.errors import BadInput
from rounds.service.collection.plants import (
    PlaceDetails,
    PlantDetails,
    add_plant,
    move_plant,
    put_place,
)
from rounds.service.courses.written import Asked, treat
from rounds.service.entries.corrections import settle
from rounds.service.entries.looks import LookEntered, enter_look
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.entry_ids import EntryName
from rounds.service.logbook.moment import Moment
from rounds.service.logbook.named import find_place, find_plant
from rounds.service.round import finish
from rounds.service.round.start import WALKED
from rounds.store import log, plants, walks, weather

Entry = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class DemoCopy:
    """Where the copy lies, and how many plants and rounds it holds."""

    path: Path
    plants: int
    rounds: int


def make_demo(path: Path | None, clock: Clock) -> DemoCopy:
    """Write the season into a new logbook, in a private temporary folder where no path is given.

    BadInput where something is already there.
    """
    if path is None:
        path = Path(tempfile.mkdtemp(prefix="rounds-demo-")) / "logbook.db"
    elif path.exists():
        raise BadInput("demo-path-exists", file=path, field="path")
    season = _season()
    with Logbook(path, clock) as logbook, logbook.file.writing():
        replay = _Replay(logbook, clock.today())
        for entry in season:
            replay.write(entry)
    kinds = [entry["kind"] for entry in season]
    return DemoCopy(path, kinds.count("plant"), kinds.count("round"))


def _season() -> list[Entry]:
    text = (files("rounds") / "demo" / "season.jsonl").read_text(encoding="utf-8")
    return [json.loads(line) for line in text.splitlines()]


class _Replay:
    """Writes entries one by one, each for the moment it was made."""

    def __init__(self, logbook: Logbook, today: date) -> None:
        self._logbook = logbook
        self._today = today
        self._doubts: dict[tuple[str, str, date], int] = {}
        self._kinds = {
            "place": self._place,
            "plant": self._plant,
            "weather": self._weather,
            "round": self._round,
            "roots": self._roots,
            "move": self._move,
            "release": self._release,
            "course": self._course,
        }

    def write(self, entry: Entry) -> None:
        """Write one entry of the season."""
        self._kinds[entry["kind"]](entry, self._moment(entry["day"], entry["at"]))

    def _day(self, offset: int) -> date:
        return self._today + timedelta(days=offset)

    def _moment(self, offset: int, second: float) -> Moment:
        """A time of day by the local clock; `second` counts from midnight."""
        day = self._day(offset)
        local = datetime.combine(day, time()) + timedelta(seconds=second)
        return Moment(day, local.astimezone(UTC))

    def _place(self, entry: Entry, moment: Moment) -> None:
        details = PlaceDetails(
            apart=entry["apart"],
            room=entry["room"],
            bench=entry["bench"],
            usual_c=entry["usual_c"],
        )
        put_place(self._logbook, moment, entry["name"], details)

    def _plant(self, entry: Entry, moment: Moment) -> None:
        details = PlantDetails(
            name=entry["name"],
            form=entry["form"],
            size=entry["size"],
            source=entry["source"],
            clear_pot=entry["clear_pot"],
            touches=tuple(entry["touches"]) or None,
            place=entry["place"],
            spot=entry["spot"],
            already_here=not entry["arrived"],
        )
        add_plant(self._logbook, moment, entry["code"], details)

    def _weather(self, entry: Entry, moment: Moment) -> None:
        place = find_place(self._logbook, entry["place"])
        weather.append_weather(
            self._logbook.file,
            place.id,
            moment.day,
            moment.at_ms,
            entry["min_c"],
            entry["max_c"],
        )

    def _move(self, entry: Entry, moment: Moment) -> None:
        move_plant(self._logbook, moment, entry["plant"], entry["place"], spot=entry["spot"])

    def _release(self, entry: Entry, moment: Moment) -> None:
        period = self._found(entry).quarantine(moment.day)
        if period is None:
            raise LookupError(f"{entry['plant']} is not in quarantine")
        plants.append_period_end(
            self._logbook.file, period, moment.day, moment.at_ms, early=True,
            reason=entry["reason"],
        )  # fmt: skip

    def _course(self, entry: Entry, moment: Moment) -> None:
        """A course of treatment is begun, or its next step was done."""
        treat(self._logbook, moment, [entry["plant"]], Asked(entry["course"], done=True))

    def _roots(self, entry: Entry, moment: Moment) -> None:
        """Roots seen out of the pot, typed in afterwards."""
        entered = LookEntered(zones=("roots",), seconds=entry["seconds"], unpotted=True)
        told = entered.with_stages((kind, stage, count) for kind, stage, count in entry["counts"])
        enter_look(self._logbook, moment, entry["plant"], told)

    def _found(self, entry: Entry) -> Plant:
        return find_plant(self._logbook, entry["plant"])

    def _round(self, entry: Entry, moment: Moment) -> None:
        """A round: its plan, its looks, its end."""
        file = self._logbook.file
        ended = self._moment(entry["day"], entry["ended"])
        walk = Round(
            file.next_id(), moment.day, None, moment.seconds, None, entry["minutes"], WALKED
        )
        walks.append_round(file, walk)
        visits = [(self._found(visit), visit) for visit in entry["visits"]]
        steps = list(self._steps(visits, moment.day))
        walks.append_steps(file, walk.id, steps)
        for plant, visit in visits:
            if "looks" in visit:
                self._visit(plant, visit, entry["day"], walk)
        finish.end(self._logbook, walk, steps, ended.seconds)

    def _steps(self, visits: Iterable[tuple[Plant, Entry]], day: date) -> Iterable[Step]:
        zones = [
            (plant.id, zone, visit)
            for plant, visit in visits
            for zone in self._logbook.body_on(plant)(day).outside
        ]
        for position, (plant_id, zone, visit) in enumerate(zones, 1):
            seconds = visit["share"] * zone.reference_seconds
            yield Step(position, plant_id, zone.zone, seconds, visit["reason"])

    def _visit(self, plant: Plant, visit: Entry, offset: int, walk: Round) -> None:
        """All looks at one plant, one after the other."""
        began = self._moment(offset, visit["at"])
        for zone, seen_on, verdict in visit.get("settled", ()):
            day = self._day(seen_on)
            doubt = EntryName("tally", day, plant.id, self._doubts[plant.code, zone, day])
            settle(self._logbook, began, str(doubt), verdict)
        second = visit["at"]
        for zone, seconds, *counted in visit["looks"]:
            hidden = seconds if isinstance(seconds, str) else None
            elapsed = 0.0 if hidden else seconds
            look = Look(
                id=self._logbook.file.next_id(),
                day=began.day,
                plant_id=plant.id,
                zone=zone,
                round_id=walk.id,
                began_at=self._moment(offset, second).seconds,
                seconds=elapsed,
                outcome="cannot-see" if hidden else "looked",
                reason=hidden,
            )
            for into, kind, stage, count in counted[0] if counted else ():
                at = self._moment(offset, second + into)
                self._count(plant, look, at, kind, stage, count)
            log.append_look(self._logbook.file, look)
            second += elapsed

    def _count(
        self, plant: Plant, look: Look, at: Moment, kind: str, stage: str | None, count: int
    ) -> None:
        """A count, and its stage as it is given at the keyboard: after it, as its own entry."""
        file, pest = self._logbook.file, self._logbook.parameters.default_pest
        tally_id = file.next_id()
        log.append_tally(
            file,
            Tally(tally_id, look.day, plant.id, look.id, at.at_ms, kind, None, pest, count),
        )
        if kind == "doubtful":
            self._doubts[plant.code, look.zone, look.day] = tally_id
        if stage is not None:
            given = StageGiven(file.next_id(), look.day, plant.id, tally_id, at.at_ms, stage)
            log.append_stage(file, given)
