"""The round itself: each press is written, then seen."""

from collections.abc import Sequence
from dataclasses import replace

from rounds import words
from rounds.core.log.entries import LIVE_KINDS, OpenLook, StageGiven, Tally
from rounds.core.walks import Round, Step, Walker
from rounds.errors import Refused
from rounds.service.inference.day import CollectionDay
from rounds.service.logbook import Logbook
from rounds.service.moment import now
from rounds.service.round import answers, finish, live_find, take_back, walker
from rounds.service.round.at_hand import PlantAtHand
from rounds.service.round.describe import describe
from rounds.service.round.live import Likely, LiveFigure
from rounds.service.round.questions import ask_about_zone, ask_why_hidden
from rounds.service.round.reasons import NOT_ANSWERED
from rounds.service.round.rest import close_together
from rounds.service.round.stopwatch import RoundStopwatch
from rounds.service.round.view import Question, RoundView, Stage
from rounds.store import log, walks

MOST_AT_ONCE = 99


class RoundWalk:
    """One round being walked. Every method that stands for a key returns what is to be seen.

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
        collection: CollectionDay,
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
        self._closed_seconds = finish.seconds_walked(logbook, walk)
        self.watch = RoundStopwatch(logbook.clock, logbook.parameters.inspection.idle_seconds)
        self._arrive(opened)

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
        about_zone = ask_about_zone(self.plant, self.opened.zone, self.put_off)
        return about_zone or live_find.question(self)

    def likely(self) -> Likely | None:
        """How the plant at hand is likely to be, once the zone that is open ends as it stands."""
        if self.opened is None:
            known = self.plant.record.likely
            left = float(known.mean.sum())
            return Likely(known.chance_clean, left, known.risk.value, known.risk.word,
                          known.method)  # fmt: skip
        return self.live.at(self.plant, self._to_come())

    def _to_come(self) -> list[Step]:
        """The steps of the plant at hand not done yet, the open one first."""
        of_plant = [step for step in self.steps if step.plant_id == self.step.plant_id]
        left = [s for s in of_plant if (s.plant_id, s.zone) not in self.done and s != self.step]
        return [self.step, *left]

    def seconds_here(self) -> float:
        """Seconds at this zone so far."""
        return self.opened.seconds + self.watch.running() if self.opened else 0.0

    def elapsed_seconds(self) -> float:
        """Seconds of looking in this round so far."""
        return self._closed_seconds + self.seconds_here()

    def view(self) -> RoundView:
        """What is to be seen."""
        return describe(self)

    # keys

    def digit(self, figure: int) -> RoundView:
        """A figure of how many the next count takes; while a reason is asked for, its number."""
        if self.asked is not None and self.asked.code == "hidden":
            return answers.why_hidden(self, figure)
        self._heard()
        if self.stage == "zone":
            collected = f"{self.pending}{figure}".lstrip("0")
            if collected and int(collected) > MOST_AT_ONCE:
                self.message = words.say("round.said.at-most", most=MOST_AT_ONCE)
            else:
                self.pending = collected
        return self.view()

    def count(self, kind: str) -> RoundView:
        """One more of a kind at this zone, or as many as the figures say."""
        waiting = self.question
        self.asked = None
        if self.opened is None:
            return self._only_where_zone()
        number = int(self.pending) if self.pending else 0
        if waiting is not None and waiting.code == "doubt" and kind == "doubtful":
            self.put_off.add(f"doubt-{waiting.about}")
        if waiting is not None and waiting.code == "left-there" and kind in LIVE_KINDS:
            number = number or waiting.about + (1 if kind == "left" else 0)
        return self.tally(kind, number or 1)

    def give_stage(self, stage: str) -> RoundView:
        """The stage of what was counted last at this zone."""
        self.pending, self.asked = "", None
        if self.opened is None:
            return self._only_where_zone()
        tallies = [t for look in self.plant.today if look.id == self.opened.id
                   for t in look.tallies]  # fmt: skip
        if not tallies:
            self.message = words.say("round.said.count-first")
            return self.view()
        newest = tallies[-1]
        with self.logbook.file.writing():
            opened = self.note_seconds()
            log.append_stage(
                self.logbook.file,
                StageGiven(self.logbook.file.next_id(), opened.day, opened.plant_id, newest.id,
                           self._at_ms(), stage),
            )  # fmt: skip
        self.plant.refresh()
        self.message = words.say(
            "round.said.staged",
            count=newest.count,
            kind=words.say(f"round.kinds.{newest.kind}"),
            stage=words.say(f"round.stages.{stage}"),
        )
        return self.view()

    def go_on(self) -> RoundView:
        """Nothing more here, next; after a hygiene stop, on to the next plant."""
        self.pending = ""
        if self.asked is not None and self.asked.code == "hidden":
            return answers.why_hidden(self)
        self.asked = None
        if self.stage == "hygiene":
            self._enter(self.at)
        elif self.opened is not None and not self._waits_for_answer([self.opened.zone]):
            self.close_and_go_on("looked", self._closing_reason())
        return self.view()

    def rest(self) -> RoundView:
        """Nothing on the rest of this plant: the seconds here are shared among what is left."""
        self.pending, self.asked = "", None
        if self.opened is None:
            return self._only_where_zone()
        zones = [self.opened.zone] + [
            step.zone
            for step in self.steps
            if step.plant_id == self.step.plant_id
            and step.zone != self.opened.zone
            and (step.plant_id, step.zone) not in self.done
        ]
        if self._waits_for_answer(zones):
            return self.view()
        with self.logbook.file.writing():
            self._closed_seconds += close_together(self, zones)
            self.done |= {(self.opened.plant_id, zone) for zone in zones}
            self.opened = None
            self.message = words.say("round.said.rest", zones=len(zones))
            self._next()
        return self.view()

    def hidden(self) -> RoundView:
        """This zone cannot be seen: asks why."""
        self.pending = ""
        if self.opened is None:
            return self._only_where_zone()
        if any(look.counted() for look in self.plant.today if look.id == self.opened.id):
            self.message = words.say("round.said.counted-here")
            self.asked = None
        else:
            self.asked = ask_why_hidden()
        return self.view()

    def pause(self) -> RoundView:
        """The clock stops until the next key."""
        self.pending, self.asked = "", None
        if self.opened is None:
            return self.view()
        if self.watch.paused:
            self.watch.press()
            self.message = words.say("round.said.running")
            return self.view()
        with self.logbook.file.writing():
            self.note_seconds()
        self.watch.pause()
        self.message = words.say("round.said.paused")
        return self.view()

    def back(self) -> RoundView:
        """One zone back; this one is left for later, unless something was counted at it."""
        self.pending, self.asked = "", None
        target = self.at - 1
        if target < 0 or self.stage == "end":
            self.message = words.say("round.said.first-zone")
            return self.view()
        with self.logbook.file.writing():
            if self.opened is not None:
                self._leave()
            self._enter(target)
        self.message = words.say("round.said.back", zone=words.say(f"zones.{self.step.zone}.name"))
        return self.view()

    def answer(self, role: str) -> RoundView:
        """An answer to the question that waits; nothing where it does not answer it."""
        waiting = self.question
        self.pending, self.asked = "", None
        if waiting is not None and waiting.takes(role):
            answers.give(self, waiting, role)
        return self.view()

    def take_back(self) -> RoundView:
        """The figures that wait; else the newest entry of this round."""
        if self.pending:
            self.pending = ""
            self.message = words.say("round.said.figures-gone")
            return self.view()
        if self.asked is not None:
            self.asked = None
            return self.view()
        burst = take_back.burst(self)
        if burst is not None:
            self.asked = burst
            return self.view()
        return self._take_back(whole_burst=False)

    def leave(self) -> RoundView:
        """Everything is saved; the seconds at this zone too, unless another window has it now."""
        self.pending, self.asked = "", None
        with self.logbook.file.writing():
            if self.opened is not None and walker.holds(self.logbook, self.walked_by):
                self.note_seconds()
            walker.leave(self.logbook, self.walked_by)
        self.watch.pause()
        return self.view()

    def catch_up(self) -> RoundView:
        """Others have written: what is to be seen now."""
        self.plant.reload()
        try:
            with self.logbook.file.writing():
                self.check_mine()
        except Refused as refusal:
            return self.trouble(str(refusal))
        return self.view()

    def other_key(self) -> RoundView:
        """A key with no meaning here: it clears the figures, and the clock knows you are there."""
        self.pending = ""
        self._heard()
        return self.view()

    def trouble(self, sentence: str) -> RoundView:
        """A press that could not be written: say so, stand where the log stands."""
        before = self.opened
        self.pending, self.asked = "", None
        self.steps = walks.steps_of(self.logbook.file, self.walk.id)
        self.plants = list(dict.fromkeys(step.plant_id for step in self.steps))
        self.done = finish.done_in(self.logbook, self.walk)
        self._closed_seconds = finish.seconds_walked(self.logbook, self.walk)
        self.opened = log.open_look_of(self.logbook.file, self.walk.id)
        if before is not None and self.opened is not None and before.id == self.opened.id:
            # the clock has run on, and the next press writes it
            self.opened = before
        if walker.holds(self.logbook, self.walked_by):
            self._arrive(self.opened)
        elif self.opened is not None:
            self._stand_at(self._position_of(self.opened.plant_id, self.opened.zone))
            self.plant.reload()
        elif not walks.is_unfinished(self.logbook.file, self.walk.id):
            self.stage = "end"
        self.message = sentence
        return self.view()

    # how it is done

    def _at_ms(self) -> int:
        return now(self.logbook.clock).at_ms

    def _heard(self) -> None:
        """A key that writes nothing still says that somebody is there."""
        if self.opened is not None:
            self.opened = replace(self.opened, seconds=self.opened.seconds + self.watch.press())

    def _only_where_zone(self) -> RoundView:
        self.message = words.say(f"round.said.not-at-{self.stage}")
        return self.view()

    def note_seconds(self) -> OpenLook:
        """Write how long the open zone has taken so far. Inside a transaction."""
        if self.opened is None:
            raise LookupError("no zone is open")
        self.check_mine()
        self._heard()
        log.put_open_look(self.logbook.file, self.opened)
        return self.opened

    def check_mine(self) -> None:
        """Refused where another program walks this round now. Inside a transaction."""
        walker.check_holds(self.logbook, self.walked_by)
        there = log.open_look_of(self.logbook.file, self.walk.id)
        here = self.opened.id if self.opened else None
        if (there.id if there else None) != here:
            raise Refused("round-elsewhere")

    def tally(self, kind: str, number: int) -> RoundView:
        """Write so many of a kind at the open zone."""
        self.pending = ""
        with self.logbook.file.writing():
            opened = self.note_seconds()
            log.append_tally(
                self.logbook.file,
                Tally(self.logbook.file.next_id(), opened.day, opened.plant_id, opened.id,
                      self._at_ms(), kind, None, self.plant.pest, number),
            )  # fmt: skip
        self.plant.refresh()
        self.message = words.say(
            "round.said.counted",
            kind=words.say(f"round.kinds.{kind}"),
            count=number,
            zone=words.say(f"zones.{opened.zone}.name"),
        )
        return self.view()

    def _waits_for_answer(self, zones: Sequence[str]) -> bool:
        """Whether the next plant waits until it is said what becomes of this one."""
        left = [
            step
            for step in self.steps
            if step.plant_id == self.step.plant_id
            and step.zone not in zones
            and (step.plant_id, step.zone) not in self.done
        ]
        if not left:
            self.asked = live_find.question(self)
        return self.asked is not None

    def _closing_reason(self) -> str | None:
        return NOT_ANSWERED if any(p.startswith("left-there") for p in self.put_off) else None

    def close_and_go_on(self, outcome: str, reason: str | None = None) -> None:
        """Close the open look and enter what comes next: both are written, or neither."""
        with self.logbook.file.writing():
            opened = self.note_seconds()
            look = finish.closed(opened, outcome, reason)
            log.append_look(self.logbook.file, look)
            log.clear_open_look(self.logbook.file, self.walk.id)
            self._closed_seconds += look.seconds
            self.done.add((opened.plant_id, opened.zone))
            self.opened = None
            self.plant.refresh()
            self.message = finish.said_of(self.plant, look)
            self._next()

    def _leave(self) -> None:
        """Close the open look as left; with something counted its turn is over."""
        opened = self.note_seconds()
        outcome = finish.close_as_left(self.logbook, opened)
        self._closed_seconds += opened.seconds
        if outcome == "looked":
            self.done.add((opened.plant_id, opened.zone))
        self.opened = None

    def _take_back(self, *, whole_burst: bool) -> RoundView:
        self.message = take_back.newest(self, whole_burst=whole_burst)
        return self.view()

    # where the round goes

    def stand_in(self, opened: OpenLook) -> None:
        """Stand in a look that was opened again."""
        self.opened = opened
        self.done = finish.done_in(self.logbook, self.walk)
        self._closed_seconds = finish.seconds_walked(self.logbook, self.walk)
        self.watch.press()
        self._stand_at(self._position_of(opened.plant_id, opened.zone))
        self.plant.reload()

    def _arrive(self, opened: OpenLook | None) -> None:
        """Stand where the round was left: in its open look, else where its last one led to."""
        if opened is not None:
            self._stand_at(self._position_of(opened.plant_id, opened.zone))
            self.plant.reload()
            return
        last = finish.last_closed(self.logbook, self.walk)
        if last is None:
            self._enter(0)
            return
        self._stand_at(self._position_of(*last))
        self._next()

    def take_steps(self, steps: Sequence[Step]) -> None:
        """Go on by another plan, at the same zone. Inside a transaction."""
        here = (self.step.plant_id, self.step.zone)
        self.steps = [replace(step, position=number) for number, step in enumerate(steps, 1)]
        walks.replace_steps(self.logbook.file, self.walk.id, self.steps)
        self.plants = list(dict.fromkeys(step.plant_id for step in self.steps))
        self.at = self._position_of(*here)

    def _position_of(self, plant_id: int, zone: str) -> int:
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

    def _next(self) -> None:
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
            self._enter(index)

    def _enter(self, index: int) -> None:
        """Open a look at a step; its id is reserved, its row is written when it closes."""
        self._stand_at(index)
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

    def _stand_at(self, index: int) -> None:
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
