"""What a round writes while it is walked: every entry under the lock of its walker."""

import json
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import replace
from datetime import date
from typing import Any

from rounds.core.body import Body
from rounds.core.log.effective import Corrections, EffectiveLook
from rounds.core.log.entries import (
    Look,
    OpenLook,
    SecondLook,
    Sign,
    StageGiven,
    Tally,
    Withdrawal,
)
from rounds.core.walks import Round, Step, Walker
from rounds.errors import Refused
from rounds.service.entries.walked import SET_ASIDE
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import now
from rounds.service.round import finish, walker
from rounds.service.round.reasons import REOPENED, TAKEN_BACK
from rounds.store import desk, log, walks
from rounds.store.signs import append_second_look, append_sign

PLANNED_BEFORE = "planned_before_opening"
"""The setting that keeps the steps as they were before a find opened a plant, or let others join.

Of the round that opened a plant last; what is looked at in it is told by its steps alone.
"""


class RoundLog:
    """The log of one round, as the program that walks it writes it.

    Every method that writes belongs inside `writing`, which checks that it may.
    """

    def __init__(self, logbook: Logbook, walk: Round, walked_by: Walker) -> None:
        self._logbook = logbook
        self._file = logbook.file
        self._walk = walk
        self._walked_by = walked_by

    @contextmanager
    def writing(self, opened: OpenLook | None) -> Iterator[None]:
        """One transaction, in a round whose look in progress is this one.

        Refused where another program walks the round now, or another look is in progress.
        """
        with self._file.writing():
            walker.check_holds(self._logbook, self._walked_by)
            there = log.open_look_of(self._file, self._walk.id)
            if (there.id if there else None) != (opened.id if opened else None):
                raise Refused("round-elsewhere")
            yield

    def is_mine(self) -> bool:
        """Whether this program still has the round."""
        return walker.holds(self._logbook, self._walked_by)

    def leave(self) -> None:
        """This program walks the round no longer."""
        walker.leave(self._logbook, self._walked_by)

    # the look in progress

    def open_look(self, step: Step) -> OpenLook:
        """Open a look at a step; its id is reserved. Refused where the round is over."""
        if not walks.is_unfinished(self._file, self._walk.id):
            raise Refused("round-elsewhere")
        opened = OpenLook(
            id=self._file.next_id(),
            day=self._walk.day,
            plant_id=step.plant_id,
            zone=step.zone,
            round_id=self._walk.id,
            began_at=self._now_seconds(),
            seconds=0.0,
        )
        self.put_open(opened)
        return opened

    def put_open(self, opened: OpenLook) -> None:
        """Write the look in progress as it stands: the one row that is changed in place."""
        log.put_open_look(self._file, opened)

    def tally(self, opened: OpenLook, kind: str, pest: str, count: int) -> None:
        """Write a count of a kind."""
        entry = Tally(
            self._file.next_id(), opened.day, opened.plant_id, opened.id, self._at_ms(), kind,
            None, pest, count,
        )  # fmt: skip
        log.append_tally(self._file, entry)

    def stage(self, opened: OpenLook, tally_id: int, stage: str) -> None:
        """Write the stage of a count."""
        entry = StageGiven(
            self._file.next_id(), opened.day, opened.plant_id, tally_id, self._at_ms(), stage
        )
        log.append_stage(self._file, entry)

    def sign(self, opened: OpenLook, kind: str) -> None:
        """Write a sign."""
        entry = Sign(
            self._file.next_id(), opened.day, opened.plant_id, opened.id, self._at_ms(), kind
        )
        append_sign(self._file, entry)

    def second_look(self, opened: OpenLook, first: Look) -> None:
        """Write that the look in progress is the second at the zone of `first`."""
        append_second_look(self._file, SecondLook(opened.id, first.day, first.plant_id, first.id))

    def withdraw(
        self, plant_id: int, target: tuple[int, date], why: str, heir: int | None = None
    ) -> None:
        """Withdraw an entry, or replace it by `heir`."""
        entry = Withdrawal(
            self._file.next_id(), target[1], plant_id, target[0], self._at_ms(), why, heir
        )
        log.append_withdrawal(self._file, entry)

    # looks are closed, and opened again

    def close(self, opened: OpenLook, outcome: str, reason: str | None) -> Look:
        """Close the look in progress."""
        look = finish.closed(opened, outcome, reason)
        log.append_look(self._file, look)
        log.clear_open_look(self._file, self._walk.id)
        return look

    def set_aside(self, opened: OpenLook, *, counted: bool) -> Look:
        """Close the look in progress to go back to it: no evidence unless something was counted."""
        return self.close(opened, "looked" if counted else "partial", SET_ASIDE)

    def set_aside_first(self, opened: OpenLook) -> int | None:
        """The id of the newest look that was set aside and is gone on with by this one."""
        entries = log.entries_of(self._file, opened.plant_id, opened.day, opened.day)
        heir = Corrections(entries.withdrawals).heir
        before = (k.id for k in entries.looks if k.reason == SET_ASIDE and heir(k.id) == opened.id)
        return max(before, default=None)

    def close_as_left(self, opened: OpenLook) -> str:
        """Close the look in progress as walked away from; its outcome."""
        return finish.close_as_left(self._logbook, opened)

    def close_together(
        self, opened: OpenLook, body: Body, zones: Sequence[str], reason: str
    ) -> None:
        """Close the look in progress as one at each of the zones, which share its seconds."""
        finish.close_together(self._logbook, opened, body, zones, reason)
        log.clear_open_look(self._file, self._walk.id)

    def open_zones(
        self, whole: OpenLook, body: Body, zones: Sequence[str], here: str
    ) -> tuple[OpenLook, Mapping[str, float]]:
        """Turn a look at a whole plant into one at a zone, the others passed; seconds by zone."""
        shares = finish.pass_others(self._logbook, body, whole, here, zones)
        # a new id, so that it is the newest of the looks
        opened = replace(whole, id=self._file.next_id(), zone=here, seconds=shares[here])
        self.put_open(opened)
        self.withdraw(whole.plant_id, (whole.id, whole.day), REOPENED, opened.id)
        return opened, shares

    def reopen(self, plant_id: int, looks: Sequence[EffectiveLook], seconds: float) -> OpenLook:
        """Take back some closed looks; the first as the look in progress, still to be written."""
        first, *others = looks
        opened = OpenLook(
            id=self._file.next_id(),
            day=first.day,
            plant_id=plant_id,
            zone=first.zone,
            round_id=self._walk.id,
            began_at=first.began_at,
            seconds=seconds,
        )
        self.withdraw(plant_id, (first.id, first.day), REOPENED, opened.id)
        for look in others:
            self.withdraw(plant_id, (look.id, look.day), TAKEN_BACK)
        return opened

    # the plan as it is walked

    def put_steps(self, steps: Sequence[Step]) -> None:
        """Replace the steps of the round."""
        walks.replace_steps(self._file, self._walk.id, steps)

    def keep_planned(self, steps: Sequence[Step]) -> None:
        """Remember the steps of one plant as they were planned, for `planned_before`."""
        self._keep("plants", steps[0].plant_id, [_kept_step(step)[1:] for step in steps])

    def planned_before(self, steps: Sequence[Step]) -> list[Step]:
        """The steps of a plant as they were planned before a find opened it.

        Where that is not known, all its zones in one go.
        """
        by_zone = {step.zone: step for step in steps}
        known = self._kept("plants", steps[0].plant_id)
        if known is None:
            return [replace(step, whole_plant=True, group=0) for step in steps]
        return [
            replace(by_zone[zone], planned_seconds=seconds, whole_plant=whole, group=group)
            for zone, seconds, whole, group, *_ in known
            if zone in by_zone
        ]

    def keep_unjoined(self, plant_id: int, steps: Sequence[Step]) -> None:
        """Remember all steps as they were before a find on a plant let others join."""
        if self._kept("joined", plant_id) is None:
            self._keep("joined", plant_id, [_kept_step(step) for step in steps])

    def unjoined(self, plant_id: int) -> list[Step] | None:
        """The steps as they were before that, told once; None where nobody joined."""
        known = self._kept("joined", plant_id)
        if known is None:
            return None
        self._keep("joined", plant_id, None)
        return [
            Step(0, owner, zone, seconds, reason, None, whole, group)
            for owner, zone, seconds, whole, group, reason in known
        ]

    def end(self, steps: Sequence[Step]) -> None:
        """Write that the round is over."""
        finish.end(self._logbook, self._walk, steps, self._now_seconds())

    def go_on_after_end(self) -> None:
        """Undo the end of the round."""
        walks.reopen_round(self._file, self._walk.id)

    def _kept(self, what: str, plant_id: int) -> list[Any] | None:
        """What was kept of the steps under a plant in this round."""
        found: list[Any] | None = self._all_kept().get(what, {}).get(str(plant_id))
        return found

    def _keep(self, what: str, plant_id: int, kept: list[Any] | None) -> None:
        found = self._all_kept()
        of_plants = {**found.get(what, {}), str(plant_id): kept}
        text = json.dumps({**found, "round": self._walk.id, what: of_plants})
        desk.put_setting(self._file, PLANNED_BEFORE, text)

    def _all_kept(self) -> dict[str, Any]:
        text = desk.setting(self._file, PLANNED_BEFORE)
        found: dict[str, Any] = json.loads(text) if text else {}
        return found if found.get("round") == self._walk.id else {}

    def _at_ms(self) -> int:
        """This moment, in milliseconds since 1970, UTC."""
        return now(self._logbook.clock).at_ms

    def _now_seconds(self) -> int:
        """This moment, in seconds since 1970, UTC."""
        return now(self._logbook.clock).seconds


def _kept_step(step: Step) -> list[Any]:
    """A step as it is remembered: plant, zone, seconds, how it is walked, why."""
    return [
        step.plant_id, step.zone, step.planned_seconds, step.whole_plant, step.group, step.reason,
    ]  # fmt: skip
