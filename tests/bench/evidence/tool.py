"""The tool as a grower follows it: its plan, its questions, its rule for going home.

It is driven through service on a logbook of its own, and is told what a grower sees, no more.
"""

import tempfile
from collections.abc import Mapping
from dataclasses import replace
from datetime import date, datetime, timedelta
from functools import partial
from pathlib import Path
from typing import Any
from unittest import mock

from rounds.clock import SetClock
from rounds.core.inference import answer as answers
from rounds.service.collection.apart import put_apart
from rounds.service.collection.plants import (
    PlaceDetails,
    PlantDetails,
    add_plant,
    move_plant,
    plant_gone,
    put_place,
    put_weather,
)
from rounds.service.collection.release import end_quarantine
from rounds.service.day.at_hand import planned_day
from rounds.service.day.day import Day
from rounds.service.entries.looks import LookEntered, enter_look
from rounds.service.inference.day import collection_on
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import Moment, local_noon
from rounds.service.plan.today import OF_ROOTS
from rounds.service.plant.claims import waits_to_stand_apart
from tests.bench.evidence.records import APART, ROOTS, SHELVES, Decisions, Look, Pot, Visit

FIRST_DAY = date(2026, 1, 1)
ROOM, OTHER_ROOM = "sun room", "stair"
FORM = "leafy-plant"
COEFFICIENTS = 256
"""beyond which the sums take finds together, as in the tool's own forecasts; its figures of a day
take 4,096, which makes a season with an outbreak three times as long"""


class Tool:
    """A habit: what the tool says is done."""

    every = 1

    def __init__(
        self,
        rules: str = "default",
        *,
        carries: bool = True,
        claims: Mapping[str, Any] | None = None,
    ) -> None:
        """
        Args:
            rules: the setting of the criteria for leaving quarantine.
            carries: plants are put apart when the tool says so; else they stay where they stand.
            claims: constants of what the plan owes to plants, by name, other than they are.
        """
        self._carries = carries
        coarser = partial(answers.answer, budget=COEFFICIENTS)
        self._coarser = mock.patch.object(answers, "answer", coarser)
        self._coarser.start()
        self._folder = tempfile.TemporaryDirectory(prefix="rounds-evidence-")
        self._clock = SetClock(datetime.now())
        self._set(0)
        self.logbook = Logbook(Path(self._folder.name) / "season.db", self._clock)
        known = self.logbook.parameters
        claimed = replace(known.planning.claims, **(claims or {}))
        self.logbook.parameters = replace(known, planning=replace(known.planning, claims=claimed))
        # a season is run again rather than kept
        self.logbook.file.connection.execute("PRAGMA synchronous = OFF")
        self.logbook.put_setting("rules", rules)
        for name in SHELVES:
            put_place(self.logbook, self._moment, name, PlaceDetails(room=ROOM, bench=name))
        put_place(self.logbook, self._moment, APART, PlaceDetails(apart=True, room=OTHER_ROOM))
        self._pots: dict[str, Pot] = {}
        self._ready: list[str] = []
        """who may go home if nothing is found today"""

    def comes(self, pot: Pot) -> None:
        """It is entered as a first start or an arrival is."""
        self._set(pot.came_on)
        self._pots[pot.code] = pot
        stand = PlantDetails(
            name=pot.code,
            form=FORM,
            size=pot.size,
            source=pot.source,
            place=APART if pot.is_new else pot.home.place,
            spot=None if pot.is_new else str(pot.home.spot),
            arrived=self._moment.day if pot.is_new else None,
            already_here=not pot.is_new,
        )
        add_plant(self.logbook, self._moment, pot.code, stand)

    def goes(self, day: int, code: str) -> None:
        """It died."""
        plant_gone(self.logbook, self._moment, code, "died")

    def morning(self, day: int, seconds: float) -> tuple[Visit, ...]:
        """Roots that are due first, one plant a day; then the plan of what is left."""
        self._set(day)
        on = self._moment.day
        if self.logbook.minutes() != seconds / 60:
            # the days ahead are taken to have as many
            self.logbook.put_setting("minutes", str(seconds / 60))
        planned = planned_day(self.logbook, on, seconds / 60)
        self._ready = [s.code for s in planned.ordered if s.release is not None and s.release.ready]
        roots = self._roots(planned)
        if roots:
            cost = self._cost_of_roots(roots)
            planned = planned_day(self.logbook, on, (seconds - cost) / 60)
        return (*roots, *_visits(planned))

    def _roots(self, planned: Day) -> tuple[Visit, ...]:
        due = next((due.status for due in planned.due if due.kind in OF_ROOTS), None)
        return () if due is None else (Visit(due.code, ((ROOTS, due.roots_seconds),)),)

    def _cost_of_roots(self, roots: tuple[Visit, ...]) -> float:
        planning = self.logbook.parameters.planning
        looking = sum(seconds for visit in roots for _, seconds in visit.zones)
        return looking + len(roots) * (planning.walk_seconds + planning.hygiene_seconds)

    def saw(self, day: int, looks: tuple[Look, ...]) -> None:
        """Each look is entered with its counts."""
        with self.logbook.file.writing():
            for look in looks:
                enter_look(self.logbook, self._moment, look.code, self._entered(look))

    def _entered(self, look: Look) -> LookEntered:
        handling = self.logbook.parameters.inspection.seconds_per_find
        entered = LookEntered(
            zones=(look.zone,),
            seconds=look.seconds + handling * look.count,
            unpotted=look.zone == ROOTS,
        )
        return entered.with_stages(("removed", stage, count) for stage, count in look.found.items())

    def evening(self, day: int, least_c: float, greatest_c: float) -> Decisions:
        """Who waits to stand apart is put apart; who may go home does."""
        apart = self._waiting() if self._carries else ()
        for code in apart:
            put_apart(self.logbook, self._moment, code)
        back = tuple(code for code in self._ready if self._goes_home(code))
        for place in (*SHELVES, APART):
            put_weather(self.logbook, self._moment, place, self._moment.day, least_c, greatest_c)
        return Decisions(apart, back)

    def _waiting(self) -> tuple[str, ...]:
        records = collection_on(self.logbook, self._moment.day).records.values()
        return tuple(r.plant.code for r in records if waits_to_stand_apart(r))

    def _goes_home(self, code: str) -> bool:
        released = end_quarantine(self.logbook, self._moment, code).released
        if released:
            home = self._pots[code].home
            move_plant(self.logbook, self._moment, code, home.place, spot=str(home.spot))
        return released

    def close(self) -> None:
        """Nothing is kept."""
        self._coarser.stop()
        self.logbook.close()
        self._folder.cleanup()

    @property
    def _moment(self) -> Moment:
        return local_noon(self._clock.today())

    def _set(self, day: int) -> None:
        self._clock.instant = local_noon(FIRST_DAY + timedelta(day)).instant


def _visits(planned: Day) -> tuple[Visit, ...]:
    plan = planned.plan
    if plan is None:
        raise LookupError("a planned day has a plan")
    return tuple(
        Visit(step.status.code, tuple((z.zone, z.planned_seconds) for z in step.zones))
        for step in plan.plan
    )
