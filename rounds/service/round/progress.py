"""Where a round stands: the zone and the plant at hand, and the clock. A move is written first."""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from datetime import date
from math import ceil

from rounds.clock import Clock
from rounds.core.log.effective import EffectiveLook
from rounds.core.log.entries import Look, OpenLook
from rounds.core.walks import Round, Step, Walker
from rounds.service.entries.walked import OPENED, SET_ASIDE, PutOff, looks_of
from rounds.service.logbook.book import Logbook
from rounds.service.plant.record import DayOfPlants
from rounds.service.round import finish
from rounds.service.round.at_hand import PlantAtHand
from rounds.service.round.course import Course
from rounds.service.round.reasons import DETOUR, TAKEN_BACK
from rounds.service.round.round_log import RoundLog
from rounds.service.round.shown import said
from rounds.service.round.view import Stage
from rounds.store import walks


class RoundStopwatch:
    """Seconds between keys. The caller says after how many without one the clock stands."""

    def __init__(self, clock: Clock) -> None:
        self._clock = clock
        self.paused = False
        self.restart()

    def restart(self) -> None:
        """Run from now on. Ends a pause."""
        self._last = self._clock.stopwatch()
        self.paused = False

    def press(self, idle_seconds: float) -> float:
        """A key came: the seconds to add since the last one. Ends a pause."""
        running = self.running(idle_seconds)
        self.restart()
        return running

    def pause(self) -> None:
        """Stop until the next key."""
        self.restart()
        self.paused = True

    def running(self, idle_seconds: float) -> float:
        """Seconds counted since the last key, so far."""
        return 0.0 if self.paused else min(self._since(), idle_seconds)

    def stands(self, idle_seconds: float) -> bool:
        """Whether the clock stopped by itself, as no key came for `idle_seconds`."""
        return not self.paused and self._since() > idle_seconds

    def _since(self) -> float:
        return max(0.0, self._clock.stopwatch() - self._last)


class RoundProgress:
    """Course, plant at hand and clock of one round. What it changes is written with the change."""

    def __init__(
        self,
        logbook: Logbook,
        walk: Round,
        course: Course,
        walked_by: Walker,
        collection: DayOfPlants,
    ) -> None:
        """
        Args:
            logbook: the opened one.
            walk: the round.
            course: as it stands in the file.
            walked_by: this program.
            collection: as it is on the day of the round.
        """
        self._logbook = logbook
        self._walk = walk
        self._collection = collection
        self._log = RoundLog(logbook, walk, walked_by)
        self.course = course
        self.stage: Stage = "zone"
        self.put_off: set[str] = set()
        """codes of questions not asked again while the round stands at this zone"""
        self.plant = PlantAtHand(logbook, course.step.plant_id, collection)
        self.watch = RoundStopwatch(logbook.clock)
        self.closed_seconds = finish.seconds_walked(logbook, walk)
        """of all closed looks of the round"""

    # the clock

    def idle_seconds(self) -> float:
        """Seconds without a key after which the clock stops by itself.

        Who looks for as long as was planned has no reason to press a key meanwhile: where that is
        longer it stops when what was planned here is over.
        """
        least = self.plant.record.table.inspection.idle_seconds
        opened = self.course.opened
        return max(least, ceil(self.course.planned_here()) - opened.seconds) if opened else least

    def seconds_here(self) -> float:
        """Seconds at this zone so far."""
        opened = self.course.opened
        return opened.seconds + self.watch.running(self.idle_seconds()) if opened else 0.0

    def elapsed_seconds(self) -> float:
        """Seconds of looking in this round so far."""
        return self.closed_seconds + self.seconds_here()

    def clock_stands(self) -> bool:
        """Whether the clock has stopped by itself at the open zone."""
        return self.course.opened is not None and self.watch.stands(self.idle_seconds())

    def heard(self) -> None:
        """A key that writes nothing still says that somebody is there."""
        opened = self.course.opened
        if opened is not None:
            seconds = opened.seconds + self.watch.press(self.idle_seconds())
            self.course = self.course.with_open(replace(opened, seconds=seconds))

    # what is entered at the open zone

    @contextmanager
    def writing(self) -> Iterator[OpenLook]:
        """A transaction that begins by writing how long the open zone has taken so far."""
        with self._log.writing(self.course.opened):
            self.heard()
            if self.course.opened is None:
                raise LookupError("no zone is open")
            self._log.put_open(self.course.opened)
            yield self.course.opened

    def tally(self, kind: str, count: int, pest: str) -> None:
        """Write a count of a kind of a pest."""
        with self.writing() as opened:
            self._log.tally(opened, kind, pest, count)
        self.plant.refresh()

    def give_stage(self, tally_id: int, stage: str) -> None:
        """Write the stage of a count."""
        with self.writing() as opened:
            self._log.stage(opened, tally_id, stage)
        self.plant.refresh()

    def sign(self, kind: str) -> None:
        """Write a sign."""
        with self.writing() as opened:
            self._log.sign(opened, kind)
        self.plant.refresh()

    def settle(self, tally_id: int, verdict: str) -> str:
        """Write what a doubt of an earlier day turned out to be; its zone."""
        doubts = self.plant.record.past.doubts
        found = next(doubt for doubt in doubts if doubt.tally_id == tally_id)
        with self.writing() as opened:
            self._log.withdraw(opened.plant_id, (tally_id, found.day), verdict)
        self.plant.reload()
        return found.zone

    def withdraw(self, entries: Sequence[tuple[int, date]]) -> None:
        """Take back entries of the plant at hand, given as pairs of id and day."""
        with self.writing() as opened:
            for entry in entries:
                self._log.withdraw(opened.plant_id, entry, TAKEN_BACK)
        # the record holds the counts of today that it was read with
        read = {tally.id for look in self.plant.record.today for tally in look.tallies}
        if all(day == self._walk.day and entry_id not in read for entry_id, day in entries):
            self.plant.refresh()
        else:
            self.plant.reload()

    def place_seen(self, here: str) -> None:
        """Move what was seen on a whole plant to one of its zones.

        The seconds so far are shared over all zones, as seconds looked. From there the zones are
        looked at one by one.
        """
        body, put_off = self.plant.body, self.put_off
        with self.writing() as whole:
            opened, had = self._log.open_zones(whole, body, self.course.zones_at_hand(), here)
            self.closed_seconds += whole.seconds - opened.seconds
            self._log.keep_planned(self.course.of_plant(whole.plant_id))
            parameters = self.plant.record.table
            self.go_by(self.course.zone_by_zone(here, had, body, parameters))
            self._stand_in(opened)
            self.put_off = put_off
        self.plant.refresh()

    def go_by(self, steps: Sequence[Step]) -> None:
        """Go on by other steps, at the same zone. Inside a transaction."""
        self.course = self.course.by_steps(steps)
        self._log.put_steps(self.course.steps)

    def let_join(self, steps: Sequence[Step]) -> None:
        """Go on by the steps that a find on the plant at hand leads to. Inside a transaction."""
        self._log.keep_unjoined(self.plant.plant.id, self.course.steps)
        self.go_by(steps)

    def steps_unjoined(self) -> list[Step] | None:
        """The steps as they were before that; None where it led to no others."""
        return self._log.unjoined(self.plant.plant.id)

    # zones are closed, and entered

    def close(self, outcome: str, reason: str | None) -> str:
        """Close the open look and enter what comes next: both are written, or neither.

        Returns the message about the plant if it is left, else about the zone.
        """
        with self.writing() as opened:
            is_detour = self.course.is_detour
            look = self._close(opened, outcome, reason)
            message = said.of_look(self.plant, look)
            left = self._next_step()
            return message if is_detour else left or message

    def close_together(self, zones: Sequence[str], reason: str) -> str:
        """Close zones of the plant at hand together, which share the seconds here.

        Returns the message about the plant if it is left, else an empty one.
        """
        with self.writing() as opened:
            self._log.close_together(opened, self.plant.body, zones, reason)
            self.closed_seconds += opened.seconds
            self.course = self.course.with_done(zones)
            return self._next_step()

    def look_twice(self) -> Look:
        """Close the open look, and open a second one at its zone; the first."""
        with self.writing() as opened:
            first = self._close(opened, "looked")
            self._log.second_look(self.enter(self.course.at), first)
        self.plant.refresh()
        return first

    def step_back(self) -> None:
        """Leave the open zone for later and enter the one before, or the one that was set aside.

        With something counted its turn is over all the same.
        """
        with self._logbook.file.writing():
            if self.stage == "hygiene":
                last = finish.last_closed(self._logbook, self._walk)
                before = self._position_of(*last) if last else 0
            elif self.course.is_detour:
                before = self.course.position_of(*self.course.turns.aside[-1])
            else:
                before = self.course.at - 1
            if self.course.opened is not None:
                self._leave_zone()
            self.enter(before)

    # out of turn

    def take_detour(self, plant_id: int, zone: str, planned_seconds: float) -> None:
        """Set the open zone aside and open one of another plant, which is followed by it again.

        Args:
            plant_id: the other plant.
            zone: of it.
            planned_seconds: where the zone has no step.
        """
        with self.writing() as opened:
            counted = bool(self.plant.tallies_of(opened.id))
            self._set_aside(opened, counted=counted)
            if not self.course.holds(plant_id, zone):
                self.go_by(self.course.and_step(Step(0, plant_id, zone, planned_seconds, DETOUR)))
            self.enter(self.course.position_of(plant_id, zone))

    def put_plant_off(self, put_off: PutOff) -> None:
        """Close the open zone as not looked at, and go on to another plant."""
        with self.writing() as opened:
            self._log.close(opened, "partial", put_off.reason)
            self.course = self.course.with_open(None)
            self._read_course()
            self._next_step(leaving=True)

    def _set_aside(self, opened: OpenLook, *, counted: bool) -> None:
        self._log.set_aside(opened, counted=counted)
        self.course = self.course.with_open(None)
        self._read_course()

    def _read_course(self) -> None:
        """Take from the log what is done and what is out of turn."""
        done, turns = finish.come_to_in(self._logbook, self._walk, self.course.steps)
        self.course = replace(self.course, done=done, turns=turns)
        self.closed_seconds = finish.seconds_walked(self._logbook, self._walk)

    def _position_of(self, plant_id: int, look: EffectiveLook) -> int:
        return self.course.position_of(plant_id, look.zone)

    def _drop_detours(self) -> None:
        """Zones that were opened out of turn and not looked at have no step any more."""
        course, opened = self.course, self.course.opened
        here = (opened.plant_id, opened.zone) if opened else None
        kept = [
            step
            for step in course.steps
            if step.reason != DETOUR
            or not course.is_to_come(step)
            or (step.plant_id, step.zone) in (here, *course.turns.aside)
        ]
        if len(kept) < len(course.steps):
            self.go_by(kept)

    def enter(self, index: int) -> OpenLook:
        """Open a look at a step; its id is reserved, its row is written when it closes.

        One that was set aside there is gone on with.
        """
        step = self.course.steps[index]
        if (step.plant_id, step.zone) in self.course.turns.aside[-1:]:
            return self._go_on_with(step)
        self._stand_at(index)
        self.watch.restart()
        with self._log.writing(self.course.opened):
            opened = self._log.open_look(self.course.step)
            self.course = self.course.with_open(opened)
        self.plant.refresh()
        return opened

    def open_again(self, plant_id: int, looks: Sequence[EffectiveLook]) -> None:
        """Reopen the first of some closed looks of a plant, and take back the others."""
        zones_opened = looks[0].reason == OPENED
        with self._log.writing(self.course.opened):
            self.heard()
            self._set_aside_again(before=looks[0])
            seconds = sum(look.seconds for look in looks)
            if zones_opened and self.course.opened is not None:
                # the zone of the find goes back into the whole plant
                seconds += self.course.opened.seconds
            opened = self._log.reopen(plant_id, looks, seconds)
            if zones_opened:
                before = self._log.planned_before(self.course.of_plant(plant_id))
                self.go_by(self.course.as_before(before))
                # the whole look stood at the first of the zones
                here = next(step.together for step in before if step.zone == opened.zone)
                first = next(step for step in before if step.together == here)
                opened = replace(opened, zone=first.zone)
            self._log.put_open(opened)
            if self.stage == "end":
                self._log.go_on_after_end()
            self._read_course()
            self._stand_in(opened)
            self._drop_detours()
        self.watch.restart()
        self.plant.reload()

    def _set_aside_again(self, before: EffectiveLook) -> None:
        """Where a detour is entered again that led back to the open zone: it waits once more."""
        opened = self.course.opened
        first = self._log.set_aside_first(opened) if opened is not None else None
        if opened is not None and first is not None and first < before.id:
            self._set_aside(opened, counted=bool(self.plant.tallies_of(opened.id)))

    def _go_on_with(self, step: Step) -> OpenLook:
        """Go on with the look that was set aside at a step."""
        found = looks_of(self._logbook, self._walk)[step.plant_id]
        aside = [k for k in found if k.reason == SET_ASIDE and k.zone == step.zone]
        self.open_again(step.plant_id, aside[-1:])
        if self.course.opened is None:
            raise LookupError("no zone is open")
        return self.course.opened

    def _close(self, opened: OpenLook, outcome: str, reason: str | None = None) -> Look:
        look = self._log.close(opened, outcome, reason)
        self.closed_seconds += look.seconds
        self.course = self.course.with_done([opened.zone])
        self.plant.refresh()
        return look

    def _leave_zone(self) -> None:
        with self.writing() as opened:
            outcome = self._log.close_as_left(opened)
        self.closed_seconds += opened.seconds
        self.course = self.course.with_done([opened.zone] if outcome == "looked" else [])

    # where the log leads to

    def arrive(self) -> str:
        """Stand where the round was left: in its open look, else at the step after its last one.

        Returns the message to show, which may be empty.
        """
        if self.course.opened is not None:
            self._stand_in(self.course.opened)
            self.plant.reload()
            return ""
        last = finish.last_closed(self._logbook, self._walk)
        if last is None:
            self.enter(0)
            return ""
        self._stand_at(self._position_of(*last))
        return self._next_step(leaving=finish.is_put_off(last[1]))

    def read_again(self) -> None:
        """Take the state from the log again, after something could not be written."""
        before = self.course.opened
        self.course = finish.course_of(self._logbook, self._walk).placed_at(self.course.at)
        self.closed_seconds = finish.seconds_walked(self._logbook, self._walk)
        opened = self.course.opened
        if before is not None and opened is not None and before.id == opened.id:
            # the clock has run on, and the next press writes it
            opened = before
            self.course = self.course.with_open(before)
        if not walks.is_unfinished(self._logbook.file, self._walk.id):
            # nobody holds a round that is over, and nothing of it is entered any more
            self.stage = "end"
        elif self._log.is_mine():
            self.arrive()
        elif opened is not None:
            self._stand_in(opened)
            self.plant.reload()

    def _next_step(self, *, leaving: bool = False) -> str:
        """Go on to the next step not done, to the hygiene stop before it, or to the end.

        Returns the message about a plant that is left, else an empty one. `leaving` says that it
        was put off.
        """
        following = self.course.following(leaving=leaving)
        if following is None:
            return self._end()
        if self.course.steps[following].plant_id == self.plant.plant.id:
            self.enter(following)
            return ""
        self.plant.refresh()
        message = said.of_plant(self.plant)
        if self.plant.needs_hygiene():
            self.course = self.course.placed_at(following)
            self.stage = "hygiene"
        else:
            self.enter(following)
        return message

    def _end(self) -> str:
        self.stage = "end"
        self.plant.refresh()
        self._log.end(self.course.steps)
        return said.of_plant(self.plant)

    def _stand_in(self, opened: OpenLook) -> None:
        """Stand at the step of a look in progress."""
        self.course = self.course.with_open(opened)
        self._stand_at(self.course.position_of(opened.plant_id, opened.zone))

    def _stand_at(self, index: int) -> None:
        self.course = self.course.placed_at(index)
        self.stage = "zone"
        self.put_off = set()
        plant_id = self.course.step.plant_id
        if self.plant.plant.id != plant_id:
            self.plant = PlantAtHand(self._logbook, plant_id, self._collection)

    # the program that walks it

    def note(self) -> None:
        """Write how long the open zone has taken so far."""
        with self.writing():
            pass

    def check(self) -> None:
        """Refused where another program walks this round now."""
        with self._log.writing(self.course.opened):
            pass

    def leave(self) -> None:
        """Stop being the walker of the round; write the seconds here unless another program is."""
        with self._logbook.file.writing():
            if self.course.opened is not None and self._log.is_mine():
                self.note()
            self._log.leave()
        self.watch.pause()
