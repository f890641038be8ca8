"""The lighthouse keeper: who is looked at, for how long, and what is done with what is found.

The rules are a person's habits and nothing more. What a look finds comes from the insects.
"""

from collections import Counter
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from insects import Colony

from rounds.core.body import ROOTS, Body, ZoneReference
from rounds.core.parameters import Inspection

Entry = dict[str, Any]

MINUTES = 10.0
PACE = 1.2
"""by which a round takes longer than planned; so much less is planned"""
LONG_CLEAN_DAYS = 14
"""without a find for so long, a plant apart is looked at every second day only"""
FIXED_DAYS = 3
"""a plant that cannot be moved apart is looked at so often after a find"""
OVERDUE_DAYS, OVERDUE_ON_WATCH = 10, 7
"""unseen for so long, a plant is looked at before the others"""
USUAL_SHARE, CLOSE_SHARE = 0.5, 0.75
"""of the reference seconds, planned for a plant; the latter where something was found lately"""
WALK_SECONDS, HYGIENE_SECONDS = 5, 20
BROKEN_OFF = 0.08
"""share of the rounds left before their end"""
HASTY = 0.03
"""share of the zones left too soon"""
SHORTEST = 1.0
"""seconds between two keys, at the least"""
HIDDEN = 0.004
"""share of the zones that cannot be seen"""
SPECKS = 0.004
"""doubtful specks a zone: lint and old remains"""
STILL_DOUBTFUL = 0.2
OLD_REMAINS = 0.6
"""share of the settled specks that are old remains; the others are not an insect"""
SAYS_STAGE = 0.7
KILLS, LEAVES = 0.1, 0.15
"""shares of the finds killed in place, and left where no swab reaches; the rest is taken off"""
DIES = 0.95
"""of those killed in place"""
STAGE_GROUPS = {"egg": "eggs", "L1": "young", "L2": "young", "L3": "young", "P": "adult"}
LAYING = "A"
NEVER = -1000


@dataclass
class Pot:
    """A plant as the keeper knows it, and the colony nobody knows. Days as in the cast."""

    code: str
    home: str
    body: Body
    colony: Colony
    place: str
    fixed: bool
    came_on: int
    every_days: int
    spot: str = ""
    touches: set[str] = field(default_factory=set)
    apart_since: int | None = None
    released_on: int | None = None
    seen_on: int = NEVER
    found_on: int = NEVER
    roots_on: int = NEVER
    specks: list[tuple[str, int]] = field(default_factory=list)

    @property
    def clocks_from(self) -> int:
        """The day it was put apart, or the last find if later."""
        return max(self.found_on, NEVER if self.apart_since is None else self.apart_since)


@dataclass(frozen=True, slots=True)
class Planned:
    """A plant of a round, and the share of its reference seconds each zone is planned for."""

    pot: Pot
    share: float
    reason: str

    @property
    def seconds(self) -> float:
        """Planned for all its outside zones."""
        return self.share * sum(zone.reference_seconds for zone in self.pot.body.outside)


class Keeper:
    """Walks rounds and unpots plants; every chance is a plain uniform draw."""

    def __init__(self, rng: np.random.Generator, inspection: Inspection) -> None:
        self._rng = rng
        self._inspection = inspection

    def chance(self, share: float) -> bool:
        """True in so many of the cases."""
        return bool(self._rng.random() < share)

    def between(self, low: float, high: float) -> float:
        """Anything between two figures, all alike."""
        return low + (high - low) * float(self._rng.random())

    def walk(self, pots: list[Pot], day: int, began: int) -> Entry | None:
        """One round: plan, look, count. None where nothing is planned."""
        planned = plan(pots, day)
        if not planned:
            return None
        reached = len(planned)
        if self.chance(BROKEN_OFF):
            reached = 1 + int(self.between(0, reached))
        at = began
        visits = []
        for number, item in enumerate(planned):
            visit: Entry = {"plant": item.pot.code, "reason": item.reason, "share": item.share}
            if number < reached:
                at += WALK_SECONDS
                visit["at"] = at
                at = self._visit(item, day, visit)
            visits.append(visit)
        return {
            "day": day, "at": began, "kind": "round", "minutes": MINUTES, "ended": at,
            "visits": visits,
        }  # fmt: skip

    def unpot(self, pot: Pot, day: int, at: int) -> Entry:
        """Look at the roots out of the pot."""
        zone = pot.body.zone(ROOTS)
        seconds = zone.reference_seconds * self.between(0.9, 1.2)
        counted = self._count(pot, zone, seconds, day, unpotted=True)
        pot.roots_on = day
        elapsed = self._elapsed(seconds, counted)
        return {"day": day, "at": at, "kind": "roots", "plant": pot.code, "seconds": elapsed,
                "counts": [[kind, stage, n] for _, kind, stage, n in counted]}  # fmt: skip

    def _visit(self, item: Planned, day: int, visit: Entry) -> int:
        """Look at every outside zone in turn; the second of the day at which that is done."""
        pot, spent = item.pot, 0.0
        if settled := self._settle(pot, day):
            visit["settled"] = settled
        looks: list[list[Any]] = []
        for zone in pot.body.outside:
            look = self._look(item, zone, day)
            looks.append(look)
            spent += look[1] if isinstance(look[1], float) else 0.0
        visit["looks"] = looks
        pot.seen_on = day
        infested = pot.apart_since is not None or day - pot.found_on <= 30
        return int(visit["at"] + spent) + (HYGIENE_SECONDS if infested else 1)

    def _look(self, item: Planned, zone: ZoneReference, day: int) -> list[Any]:
        """One zone: its name, the seconds elapsed or why it was hidden, what was counted."""
        if self.chance(HIDDEN):
            return [zone.zone, "covered"]
        patience = self.between(0.5, 0.95) if self.chance(HASTY) else self.between(1.0, 1.2)
        seconds = max(SHORTEST, item.share * zone.reference_seconds * patience)
        counted = self._count(item.pot, zone, seconds, day, unpotted=False)
        look: list[Any] = [zone.zone, self._elapsed(seconds, counted)]
        if counted:
            look.append(counted)
        return look

    def _elapsed(self, seconds: float, counted: list[list[Any]]) -> float:
        number = sum(int(row[3]) for row in counted)
        return round(seconds + self._inspection.seconds_per_find * number, 1)

    def _count(
        self, pot: Pot, zone: ZoneReference, seconds: float, day: int, *, unpotted: bool
    ) -> list[list[Any]]:
        """What is counted at a zone: second within the look, kind, stage, number."""
        rows = self._handle(pot, zone.zone, seconds, unpotted=unpotted)
        if rows:
            pot.found_on = day
        if self.chance(SPECKS):
            rows[("doubtful", None)] += 1
            pot.specks.append((zone.zone, day))
        per_find = self._inspection.seconds_per_find
        counted, into = [], seconds * 0.5
        for (kind, stage), number in sorted(rows.items(), key=str):
            into += per_find * number
            counted.append([round(into), kind, stage, number])
        return counted

    def _handle(
        self, pot: Pot, zone: str, seconds: float, *, unpotted: bool
    ) -> Counter[tuple[str, str | None]]:
        """Find, and do with each insect what the keeper does with it."""
        found = pot.colony.look(zone, seconds, unpotted=unpotted)
        had_eggs = len(pot.colony.eggs_in_reach(zone)) > 0
        rows: Counter[tuple[str, str | None]] = Counter()
        gone, sacs = [], 0
        for where, stage in zip(found.where, found.stages, strict=True):
            kind = self._kind()
            sac = kind == "removed" and stage == LAYING and had_eggs
            sacs += sac
            rows[(kind, self._stage_said(stage, sac=sac))] += 1
            if kind == "removed" or (kind == "killed" and self.chance(DIES)):
                gone.append(int(where))
        pot.colony.remove(np.asarray(gone, np.int64))
        for _ in range(sacs):
            pot.colony.lose_sac(zone)
        return rows

    def _kind(self) -> str:
        drawn = self.between(0, 1)
        if drawn < KILLS:
            return "killed"
        return "left" if drawn < KILLS + LEAVES else "removed"

    def _stage_said(self, stage: str, *, sac: bool) -> str | None:
        if sac:
            return "egg-mass"
        return STAGE_GROUPS.get(stage, "adult") if self.chance(SAYS_STAGE) else None

    def _settle(self, pot: Pot, day: int) -> list[list[Any]]:
        """Say what the specks of earlier days turned out to be."""
        settled, open_still = [], []
        for zone, seen_on in pot.specks:
            if self.chance(STILL_DOUBTFUL):
                open_still.append((zone, seen_on))
                continue
            verdict = "remains" if self.chance(OLD_REMAINS) else "not-an-insect"
            settled.append([zone, seen_on, verdict])
        pot.specks = open_still
        return settled


def plan(pots: list[Pot], day: int) -> list[Planned]:
    """Who fits into the minutes, in walking order: the collection first, plants apart last."""
    wanted = sorted((pot for pot in pots if _is_due(pot, day)), key=lambda p: _need(p, day))
    seconds_left, chosen = MINUTES * 60 / PACE, []
    for pot in wanted:
        close = pot.apart_since is not None and _found_lately(pot, day)
        item = Planned(pot, CLOSE_SHARE if close else USUAL_SHARE, _reason(pot, day))
        if item.seconds <= seconds_left:
            seconds_left -= item.seconds
            chosen.append(item)
    return sorted(chosen, key=lambda item: (item.pot.apart_since is not None, item.pot.code))


def _found_lately(pot: Pot, day: int) -> bool:
    return day - pot.found_on <= LONG_CLEAN_DAYS


def _is_due(pot: Pot, day: int) -> bool:
    if pot.fixed and _found_lately(pot, day):
        return day - pot.seen_on >= FIXED_DAYS
    if pot.apart_since is not None and day - pot.clocks_from > LONG_CLEAN_DAYS:
        return day - pot.seen_on >= 2
    return day - pot.seen_on >= pot.every_days


def _need(pot: Pot, day: int) -> tuple[bool, int, str]:
    """Who comes first: plants apart, found on lately or overdue; then the longest unseen."""
    seen_on = max(pot.seen_on, pot.came_on)
    overdue_after = OVERDUE_DAYS if pot.released_on is None else OVERDUE_ON_WATCH
    first = pot.apart_since is not None or _found_lately(pot, day)
    return (not (first or day - seen_on >= overdue_after), seen_on, pot.code)


def _reason(pot: Pot, day: int) -> str:
    if pot.apart_since is not None:
        return "standing-quarantine"
    if pot.released_on is not None:
        return "standing-watch"
    if day - pot.found_on <= 60:
        return "found-lately"
    if pot.specks:
        return "open-doubts"
    return "never-seen" if pot.seen_on == NEVER else "unseen"
