"""A long invented season, in the order in which a grower's presses would have written it."""

import random
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta

from rounds.core.log.entries import Look, StageGiven, Tally, Withdrawal
from rounds.core.walks import Round, Step
from rounds.service.round.reasons import HIDDEN_BECAUSE, TAKEN_BACK
from rounds.store import log, plants, walks
from rounds.store.connect import LogbookFile

FIRST_DAY = date(2024, 1, 1)
PLANTS, PLANTS_A_ROUND = 400, 36
ZONES = ("axils", "undersides", "new-growth", "sheaths", "stem-base", "pot-rim", "medium")

COUNTED, STAGED, WITHDRAWN, HIDDEN = 0.05, 0.5, 0.05, 0.005
"""Shares: looks with a count, counts with a stage, counts taken back, zones not to be seen."""


def add_plants(file: LogbookFile) -> None:
    """The collection, of which each round sees a part."""
    with file.writing():
        for number in range(PLANTS):
            plants.insert_plant(file, f"G{number:03}", FIRST_DAY)


def add_looks(file: LogbookFile, looks: int, seed: int, *, with_plan: bool) -> None:
    """So many looks, a round a day, in one transaction; with the plan of each round or without."""
    chance = random.Random(seed)
    left = looks
    day = FIRST_DAY
    with file.writing():
        while left:
            visits = list(_visits(chance))[:left]
            _Walk(file, day, chance).write(visits, with_plan=with_plan)
            left -= len(visits)
            day += timedelta(days=1)


def _visits(chance: random.Random) -> Iterator[tuple[int, str]]:
    """Plant and zone in walking order, which is not the order in which plants were entered."""
    for plant_id in chance.sample(range(1, PLANTS + 1), PLANTS_A_ROUND):
        for zone in ZONES:
            yield plant_id, zone


@dataclass
class _Walk:
    """One round, as its presses come."""

    file: LogbookFile
    day: date
    chance: random.Random

    def write(self, visits: list[tuple[int, str]], *, with_plan: bool) -> None:
        """Every look of the round, and how it ended."""
        at = datetime.combine(self.day, time(8), UTC).timestamp()
        walk = Round(self.file.next_id(), self.day, None, round(at), None, 120.0, "walked")
        walks.append_round(self.file, walk)
        steps = [
            Step(position, plant, zone, 20 * self.chance.uniform(0.5, 2), "unseen")
            for position, (plant, zone) in enumerate(visits, 1)
        ]
        if with_plan:
            walks.append_steps(self.file, walk.id, steps)
        for plant, zone in visits:
            at += self._look(walk.id, plant, zone, at)
        outcomes = {step.position: "looked-at" for step in steps} if with_plan else {}
        walks.end_round(self.file, walk.id, round(at), outcomes)

    def _look(self, walk_id: int, plant: int, zone: str, at: float) -> float:
        """One look and what is counted at it; how many seconds it took."""
        hidden = self.chance.random() < HIDDEN
        seconds = 0.0 if hidden else self.chance.lognormvariate(2.9, 0.6)
        look = Look(
            id=self.file.next_id(),
            day=self.day,
            plant_id=plant,
            zone=zone,
            round_id=walk_id,
            began_at=round(at),
            seconds=seconds,
            outcome="cannot-see" if hidden else "looked",
            reason=HIDDEN_BECAUSE[0] if hidden else None,
        )
        if not hidden and self.chance.random() < COUNTED:
            self._count(look, round((at + seconds / 2) * 1000))
        log.append_look(self.file, look)
        return seconds

    def _count(self, look: Look, at_ms: int) -> None:
        kind = self.chance.choice(("removed", "removed", "removed", "killed", "left", "doubtful"))
        tally = Tally(
            self.file.next_id(), look.day, look.plant_id, look.id, at_ms, kind, None, "mealybug", 1
        )
        log.append_tally(self.file, tally)
        if self.chance.random() < STAGED:
            given = StageGiven(
                self.file.next_id(), look.day, look.plant_id, tally.id, at_ms + 900, "adult"
            )
            log.append_stage(self.file, given)
        if self.chance.random() < WITHDRAWN:
            back = Withdrawal(
                self.file.next_id(), look.day, look.plant_id, tally.id, at_ms + 2000, TAKEN_BACK
            )
            log.append_withdrawal(self.file, back)
