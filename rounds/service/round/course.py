"""Where a round stands and where it goes: the open look, the steps done, and what comes next."""

from collections.abc import Sequence
from dataclasses import replace
from math import ceil

from rounds.core.log.entries import Look, OpenLook
from rounds.core.walks import Round, Step, Walker
from rounds.errors import Refused
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import now
from rounds.service.plant.record import DayOfPlants
from rounds.service.round import finish, live_find, walker
from rounds.service.round.at_hand import PlantAtHand
from rounds.service.round.live import Likely, LiveFigure
from rounds.service.round.questions import Seen, ask_about_zone, ask_which_zone
from rounds.service.round.stopwatch import RoundStopwatch
from rounds.service.round.view import Question, Stage
from rounds.store import log, walks


class RoundCourse:
    """One round being walked, without its keys.

    The look in progress is a row of its own: `opened`. What is decided (counts, closings,
    corrections) is on disk when a method returns; what is not (digits, questions) is kept here.
    """

    def __init__(
        self,
        logbook: Logbook,
        walk: Round,
        steps: Sequence[Step],
        done: set[tuple[int, str]],
        opened: OpenLook | None,
        walked_by: Walker,
        collection: DayOfPlants,
    ) -> None:
        self.logbook = logbook
        self.collection = collection
        self.walk = walk
        self.walked_by = walked_by
        self.steps = list(steps)
        self.done = done
        self.opened = opened
        self.stage: Stage = "zone"
        self.at = 0
        self.pending = ""
        self.message = ""
        self.asked: Question | None = None
        self.put_off: set[str] = set()
        self.apart_later: set[int] = set()
        self.live = LiveFigure()
        self.plants: list[int] = list(dict.fromkeys(step.plant_id for step in self.steps))
        self.plant = PlantAtHand(logbook, self.steps[0].plant_id, collection)
        self.closed_seconds = finish.seconds_walked(logbook, walk)
        self.watch = RoundStopwatch(logbook.clock, self.idle_seconds)
        self.arrive(opened)

    # what is in front of the grower

    @property
    def step(self) -> Step:
        """The step of the plan the round stands at."""
        return self.steps[self.at]

    @property
    def question(self) -> Question | None:
        """The question that waits: one called up, else one about this zone, else the plant."""
        if self.asked is not None or self.opened is None:
            return self.asked
        if seen := self.seen_on_whole():
            return ask_which_zone(seen, self.zones_at_hand())
        asked = (ask_about_zone(self.plant, z, self.put_off) for z in self.zones_at_hand())
        about_zone = next((question for question in asked if question is not None), None)
        return about_zone or live_find.question(self)

    @property
    def is_whole(self) -> bool:
        """Whether a zone is open that stands for the whole plant."""
        return self.opened is not None and self.step.whole_plant

    def zones_at_hand(self) -> list[str]:
        """The open zone; of a plant looked at in one go all that are to be looked at."""
        if self.is_whole:
            return [step.zone for step in self.steps if step.plant_id == self.step.plant_id]
        return [self.opened.zone] if self.opened else []

    def seen_on_whole(self) -> list[Seen]:
        """What was entered of a plant looked at in one go: until it is said at which zone.

        It is in the log, at the zone that stands for the whole meanwhile.
        """
        if not self.is_whole:
            return []
        found: list[Seen] = []
        for look in self.plant.today:
            if self.opened is not None and look.id == self.opened.id:
                found += [*look.tallies, *look.signs]
        return sorted(found, key=lambda one: one.id)

    def likely(self) -> Likely | None:
        """How the plant at hand is likely to be, once the zone that is open ends as it stands."""
        if self.opened is None:
            known = self.plant.record.likely
            left = float(known.mean.sum())
            return Likely(known.chance_clean, left, known.risk.value, known.risk.word,
                          known.method)  # fmt: skip
        in_one_go = self.is_whole and not self.seen_on_whole()
        return self.live.at(self.plant, self._to_come(), all_at_once=in_one_go)

    def look_ahead(self) -> bool:
        """Between keys: what more finds at this zone mean. Whether there is more to be seen now."""
        if self.opened is None or self.is_whole:
            return False
        return self.live.look_ahead(self.plant, self._to_come())

    def _to_come(self) -> list[Step]:
        """The steps of the plant at hand not done yet, the open one first."""
        of_plant = [step for step in self.steps if step.plant_id == self.step.plant_id]
        left = [s for s in of_plant if (s.plant_id, s.zone) not in self.done and s != self.step]
        return [self.step, *left]

    def planned_here(self) -> float:
        """Seconds planned for the open zone; of a plant looked at in one go for all of it."""
        at_hand = set(self.zones_at_hand())
        own = [s for s in self.steps if s.plant_id == self.step.plant_id and s.zone in at_hand]
        return sum(step.planned_seconds for step in own)

    def idle_seconds(self) -> float:
        """Seconds without a key after which the clock stops by itself.

        Who looks for as long as was planned has no reason to press a key meanwhile: where that is
        longer it stops when what was planned here is over.
        """
        least = self.logbook.parameters.inspection.idle_seconds
        if self.opened is None:
            return least
        return max(least, ceil(self.planned_here()) - self.opened.seconds)

    def seconds_here(self) -> float:
        """Seconds at this zone so far."""
        return self.opened.seconds + self.watch.running() if self.opened else 0.0

    def elapsed_seconds(self) -> float:
        """Seconds of looking in this round so far."""
        return self.closed_seconds + self.seconds_here()

    # what is written

    def at_ms(self) -> int:
        """This moment, in milliseconds since 1970, UTC."""
        return now(self.logbook.clock).at_ms

    def heard(self) -> None:
        """A key that writes nothing still says that somebody is there."""
        if self.opened is not None:
            self.opened = replace(self.opened, seconds=self.opened.seconds + self.watch.press())

    def note_seconds(self) -> OpenLook:
        """Write how long the open zone has taken so far. Inside a transaction."""
        if self.opened is None:
            raise LookupError("no zone is open")
        self.check_mine()
        self.heard()
        log.put_open_look(self.logbook.file, self.opened)
        return self.opened

    def check_mine(self) -> None:
        """Refused where another program walks this round now. Inside a transaction."""
        walker.check_holds(self.logbook, self.walked_by)
        there = log.open_look_of(self.logbook.file, self.walk.id)
        here = self.opened.id if self.opened else None
        if (there.id if there else None) != here:
            raise Refused("round-elsewhere")

    def close_zone(self, outcome: str, reason: str | None = None) -> Look:
        """Close the open look. Inside a transaction."""
        opened = self.note_seconds()
        look = finish.closed(opened, outcome, reason)
        log.append_look(self.logbook.file, look)
        log.clear_open_look(self.logbook.file, self.walk.id)
        self.closed_seconds += look.seconds
        self.done.add((opened.plant_id, opened.zone))
        self.opened = None
        self.plant.refresh()
        return look

    def close_and_go_on(self, outcome: str, reason: str | None = None) -> None:
        """Close the open look and enter what comes next: both are written, or neither."""
        with self.logbook.file.writing():
            look = self.close_zone(outcome, reason)
            self.message = finish.said_of(self.plant, look)
            self.next_step()

    def leave_zone(self) -> None:
        """Close the open look as left; with something counted its turn is over."""
        opened = self.note_seconds()
        outcome = finish.close_as_left(self.logbook, opened)
        self.closed_seconds += opened.seconds
        if outcome == "looked":
            self.done.add((opened.plant_id, opened.zone))
        self.opened = None

    # where it goes

    def stand_in(self, opened: OpenLook) -> None:
        """Stand in a look that was opened again."""
        self.opened = opened
        self.done = finish.done_in(self.logbook, self.walk)
        self.closed_seconds = finish.seconds_walked(self.logbook, self.walk)
        self.watch.press()
        self.stand_at(self.position_of(opened.plant_id, opened.zone))
        self.plant.reload()

    def arrive(self, opened: OpenLook | None) -> None:
        """Stand where the round was left: in its open look, else where its last one led to."""
        if opened is not None:
            self.stand_at(self.position_of(opened.plant_id, opened.zone))
            self.plant.reload()
            return
        last = finish.last_closed(self.logbook, self.walk)
        if last is None:
            self.enter(0)
            return
        self.stand_at(self.position_of(*last))
        self.next_step()

    def take_steps(self, steps: Sequence[Step]) -> None:
        """Go on by another plan, at the same zone. Inside a transaction."""
        here = (self.step.plant_id, self.step.zone)
        self.steps = [replace(step, position=number) for number, step in enumerate(steps, 1)]
        walks.replace_steps(self.logbook.file, self.walk.id, self.steps)
        self.plants = list(dict.fromkeys(step.plant_id for step in self.steps))
        self.at = self.position_of(*here)

    def position_of(self, plant_id: int, zone: str) -> int:
        return next(
            index
            for index, step in enumerate(self.steps)
            if (step.plant_id, step.zone) == (plant_id, zone)
        )

    def _first_undone(self, start: int) -> int | None:
        return next(
            (
                index
                for index in range(start, len(self.steps))
                if (self.steps[index].plant_id, self.steps[index].zone) not in self.done
            ),
            None,
        )

    def next_step(self) -> None:
        """On to the next step not yet done; at the end of a plant past the hygiene stop."""
        following = self._first_undone(self.at + 1)
        if following is None:
            following = self._first_undone(0)
        if following is None:
            self._end()
        else:
            self._step_to(following)

    def _step_to(self, index: int) -> None:
        leaves_plant = self.steps[index].plant_id != self.step.plant_id
        if leaves_plant:
            self.plant.refresh()
            self.message = finish.said_of_plant(self.plant)
        if leaves_plant and self.plant.needs_hygiene():
            self.at = index
            self.stage = "hygiene"
        else:
            self.enter(index)

    def enter(self, index: int) -> OpenLook:
        """Open a look at a step; its id is reserved, its row is written when it closes."""
        self.stand_at(index)
        step = self.step
        moment = now(self.logbook.clock)
        self.watch.press()
        with self.logbook.file.writing():
            self.check_mine()
            if not walks.is_unfinished(self.logbook.file, self.walk.id):
                raise Refused("round-elsewhere")
            self.opened = OpenLook(self.logbook.file.next_id(), self.walk.day, step.plant_id,
                                   step.zone, self.walk.id, moment.seconds, 0.0)  # fmt: skip
            log.put_open_look(self.logbook.file, self.opened)
        self.plant.refresh()
        return self.opened

    def stand_at(self, index: int) -> None:
        self.at = index
        self.stage = "zone"
        self.put_off = set()
        plant_id = self.steps[index].plant_id
        if self.plant.plant.id != plant_id:
            self.plant = PlantAtHand(self.logbook, plant_id, self.collection)

    def _end(self) -> None:
        self.stage = "end"
        self.plant.refresh()
        finish.end(self.logbook, self.walk, self.steps, now(self.logbook.clock).seconds)
        self.message = finish.said_of_plant(self.plant)
