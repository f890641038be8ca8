"""The round itself: each press is written, then seen."""

from collections.abc import Sequence

from rounds import words
from rounds.core.log.entries import LIVE_KINDS, StageGiven, Tally
from rounds.errors import Refused
from rounds.service.round import (
    answers,
    finish,
    live_find,
    second_look,
    take_back,
    walker,
)
from rounds.service.round.course import RoundCourse
from rounds.service.round.describe import describe
from rounds.service.round.questions import ask_which_sign, ask_why_hidden
from rounds.service.round.reasons import NOT_ANSWERED
from rounds.service.round.rest import close_together
from rounds.service.round.view import RoundView
from rounds.store import log, walks

MOST_AT_ONCE = 99


class RoundWalk(RoundCourse):
    """A round by its keys. Every method that stands for one returns what is to be seen."""

    def view(self) -> RoundView:
        """What is to be seen."""
        return describe(self)

    # keys

    def digit(self, figure: int) -> RoundView:
        """A figure of how many the next count takes; or the number of an answer."""
        waiting = self.question
        if waiting is not None and waiting.code in answers.BY_FIGURE:
            return answers.by_figure(self, waiting, figure)
        self.heard()
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
                           self.at_ms(), stage),
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
        if self._waits_for_zone():
            return self.view()
        if self.asked is not None and self.asked.code == "hidden":
            return answers.why_hidden(self)
        if self.asked is not None and self.asked.code == "second-look":
            second_look.decline(self)
        self.asked = None
        if self.is_whole:
            return self.rest()
        if self.stage == "hygiene":
            self.enter(self.at)
        elif self.opened is not None and not self._waits_for_answer([self.opened.zone]):
            self.asked = second_look.question(self)
            if self.asked is None:
                self.close_and_go_on("looked", self._closing_reason())
        return self.view()

    def rest(self) -> RoundView:
        """Nothing on the rest of this plant: the seconds here are shared among what is left."""
        self.pending, self.asked = "", None
        if self.opened is None:
            return self._only_where_zone()
        if self._waits_for_zone():
            return self.view()
        is_whole = self.is_whole
        zones = self._rest_of_plant(self.opened.zone)
        if self._waits_for_answer(zones):
            return self.view()
        with self.logbook.file.writing():
            self.closed_seconds += close_together(self, zones)
            self.done |= {(self.opened.plant_id, zone) for zone in zones}
            self.opened = None
            said = "bench.whole-done" if is_whole else "round.said.rest"
            self.message = words.say(said, zones=len(zones))
            self.next_step()
        return self.view()

    def hidden(self) -> RoundView:
        """This zone cannot be seen: asks why."""
        self.pending = ""
        if self.opened is None:
            return self._only_where_zone()
        if self._waits_for_zone():
            return self.view()
        if self.is_whole:
            self.message, self.asked = words.say("bench.whole-not-hidden"), None
            return self.view()
        if any(look.counted() for look in self.plant.today if look.id == self.opened.id):
            self.message = words.say("round.said.counted-here")
            self.asked = None
        else:
            self.asked = ask_why_hidden()
        return self.view()

    def signs(self) -> RoundView:
        """Something of insects was seen here, without one: asks what."""
        self.pending = ""
        if self.opened is None:
            return self._only_where_zone()
        self.asked = ask_which_sign()
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
        if self._waits_for_zone():
            return self.view()
        target = self.at - 1
        if target < 0 or self.stage == "end":
            self.message = words.say("round.said.first-zone")
            return self.view()
        with self.logbook.file.writing():
            if self.opened is not None:
                self.leave_zone()
            self.enter(target)
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
        self.heard()
        return self.view()

    def trouble(self, sentence: str) -> RoundView:
        """A press that could not be written: say so, stand where the log stands."""
        before = self.opened
        self.pending, self.asked = "", None
        self.steps = walks.steps_of(self.logbook.file, self.walk.id)
        self.plants = list(dict.fromkeys(step.plant_id for step in self.steps))
        self.done = finish.done_in(self.logbook, self.walk)
        self.closed_seconds = finish.seconds_walked(self.logbook, self.walk)
        self.opened = log.open_look_of(self.logbook.file, self.walk.id)
        if before is not None and self.opened is not None and before.id == self.opened.id:
            # the clock has run on, and the next press writes it
            self.opened = before
        if not walks.is_unfinished(self.logbook.file, self.walk.id):
            # nobody holds a round that is over, and nothing of it is entered any more
            self.stage = "end"
        elif walker.holds(self.logbook, self.walked_by):
            self.arrive(self.opened)
        elif self.opened is not None:
            self.stand_at(self.position_of(self.opened.plant_id, self.opened.zone))
            self.plant.reload()
        self.message = sentence
        return self.view()

    # how it is done

    def _only_where_zone(self) -> RoundView:
        self.message = words.say(f"round.said.not-at-{self.stage}")
        return self.view()

    def tally(self, kind: str, number: int) -> RoundView:
        """Write so many of a kind at the open zone."""
        self.pending = ""
        with self.logbook.file.writing():
            opened = self.note_seconds()
            log.append_tally(
                self.logbook.file,
                Tally(self.logbook.file.next_id(), opened.day, opened.plant_id, opened.id,
                      self.at_ms(), kind, None, self.plant.pest, number),
            )  # fmt: skip
        self.plant.refresh()
        self.message = (
            ""
            if self.is_whole
            else words.say(
                "round.said.counted",
                kind=words.say(f"round.kinds.{kind}"),
                count=number,
                zone=words.say(f"zones.{opened.zone}.name"),
            )
        )
        return self.view()

    def _waits_for_zone(self) -> bool:
        """Whether the plant is not left before it is said where on it something was seen."""
        waits = self.asked is None and bool(self.seen_on_whole())
        if waits:
            self.message = words.say("bench.zone-first")
        return waits

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

    def _rest_of_plant(self, here: str) -> list[str]:
        """The zones that are closed together: the open one first."""
        if self.is_whole:
            return self.zones_at_hand()
        return [here] + [
            step.zone
            for step in self.steps
            if step.plant_id == self.step.plant_id
            and step.zone != here
            and (step.plant_id, step.zone) not in self.done
        ]

    def _closing_reason(self) -> str | None:
        return NOT_ANSWERED if any(p.startswith("left-there") for p in self.put_off) else None

    def _take_back(self, *, whole_burst: bool) -> RoundView:
        self.message = take_back.newest(self, whole_burst=whole_burst)
        return self.view()
