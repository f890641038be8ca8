"""The round itself, by its keys: what each press decides, and what it is answered with."""

from collections.abc import Sequence
from dataclasses import replace

from rounds import words
from rounds.core.log.entries import LIVE_KINDS
from rounds.errors import Refused
from rounds.service.entries.walked import REST_OF_PLANT
from rounds.service.round import take_back
from rounds.service.round.deeds import RoundDeeds
from rounds.service.round.live import Likely
from rounds.service.round.reasons import IN_ONE_GO, NO_REASON
from rounds.service.round.shown import said
from rounds.service.round.shown.describe import Known, describe
from rounds.service.round.shown.out_of_turn import ask_other_zone, ask_to_put_off
from rounds.service.round.shown.questions import (
    BY_FIGURE,
    ask_which_sign,
    ask_why_hidden,
    seen_on_whole,
)
from rounds.service.round.shown.summary import summary_of
from rounds.service.round.turns.others import OtherPlant, others, zones_of
from rounds.service.round.view import RoundView

MOST_AT_ONCE = 99

APART = ("put-apart", "cannot-move")
"""The keys that quarantine a plant."""


class RoundWalk(RoundDeeds):
    """One round being walked. Every method that stands for a key returns what is to be seen.

    What is decided (counts, closings, corrections) is on disk when a method returns; what is not
    (digits, questions) is kept here.
    """

    # what is in front of the grower

    def likely(self) -> Likely | None:
        """How the plant at hand is likely to be, once it has been looked at as planned."""
        return self.live.at(self.plant, self.course, self.progress.seconds_here())

    def look_ahead(self) -> bool:
        """Between keys, a piece of what the next may need; whether there was one."""
        return self.live.look_ahead(self.plant, self.course, self.progress.seconds_here())

    def view(self) -> RoundView:
        """What is to be seen."""
        progress, course = self.progress, self.course
        summary = None
        if progress.stage == "end":
            summary = summary_of(self.logbook, self.walk, course.steps, self._collection)
            if self.is_of_delivery:
                # the others are not to be opened
                summary = replace(summary, not_looked_at=())
        return describe(
            Known(
                walk=self.walk,
                stage=progress.stage,
                course=course,
                plant=self.plant,
                upcoming=self.logbook.collection().plants[course.step.plant_id],
                likely=self.likely(),
                clean_before=self.live.before(self.plant),
                question=self.question,
                pending=self._pending,
                message=self._message,
                seconds_here=progress.seconds_here(),
                elapsed_seconds=progress.elapsed_seconds(),
                paused=progress.watch.paused,
                stopped_after=progress.idle_seconds() if progress.clock_stands() else None,
                summary=summary,
                is_of_delivery=self.is_of_delivery,
            )
        )

    # keys

    def digit(self, figure: int) -> RoundView:
        """A figure of how many the next count takes; or the number of an answer."""
        waiting = self.question
        if waiting is not None and waiting.code in BY_FIGURE:
            self._answer_by_figure(waiting, figure)
            return self.view()
        self.heard()
        if self.progress.stage != "zone":
            return self._only_where_zone()
        collected = f"{self._pending}{figure}".lstrip("0")
        if collected and int(collected) > MOST_AT_ONCE:
            return self._say(words.say("round.said.at-most", most=MOST_AT_ONCE))
        self._pending = collected
        return self.view()

    def count(self, kind: str) -> RoundView:
        """One more of a kind at this zone, or as many as the figures say."""
        waiting = self.question
        self._asked = None
        if self.course.opened is None:
            return self._only_where_zone()
        number, pest = int(self._pending) if self._pending else 0, None
        if waiting is not None and waiting.code == "doubt" and kind == "doubtful":
            self._put_off(waiting)
        if waiting is not None and waiting.code == "left-there" and kind in LIVE_KINDS:
            number = number or waiting.about + (1 if kind == "left" else 0)
            pest = self.left_pest()
        self._count(kind, number, pest)
        return self.view()

    def other_pest(self) -> RoundView:
        """The next counts are of another pest; after the last one of the first again."""
        self._clear()
        if self.course.opened is None:
            return self._only_where_zone()
        self.heard()
        self.plant.count_next_pest()
        return self._say(said.counting(self.plant))

    def give_stage(self, stage: str) -> RoundView:
        """The stage of what was counted last at this zone."""
        self._clear()
        if self.course.opened is None:
            return self._only_where_zone()
        tallies = self.plant.tallies_of(self.course.opened.id)
        if not tallies:
            return self._say(words.say("round.said.count-first"))
        if stage not in self.plant.record.table.pests[tallies[-1].pest].recorded:
            return self._say(said.no_such_stage(tallies[-1].pest, stage))
        self.progress.give_stage(tallies[-1].id, stage)
        return self._say(said.staged(tallies[-1], stage, self.course.opened.zone, self.plant))

    def go_on(self) -> RoundView:
        """Nothing more here, next; after a hygiene stop, on to the next plant."""
        self._pending = ""
        if self._waits_for_zone():
            return self.view()
        if self._asked is not None and self._asked.code == "hidden":
            self._close_hidden(NO_REASON)
            return self.view()
        if self._asked is not None and self._asked.code == "put-off-why":
            self._put_plant_off("")
            return self.view()
        if self._asked is not None and self._asked.code == "second-look":
            self._put_off(self._asked)
        self._asked = None
        if self.course.is_whole:
            return self._close_together(self.course.zones_at_hand(), IN_ONE_GO)
        if self.progress.stage == "hygiene":
            self.progress.enter(self.course.at)
        elif self.course.opened is not None and not self._waits_for_answer():
            self._asked = self._second_look()
            if self._asked is None:
                self._close_looked()
        return self.view()

    def rest(self) -> RoundView:
        """Nothing on the rest of this plant: the seconds here are shared among what is left.

        Of a step that is asked about, that it was done at the rest here as well.
        """
        waiting = self.question
        self._clear()
        if waiting is not None and waiting.takes("rest"):
            self._answer(waiting, "rest")
            return self.view()
        if self.course.opened is None:
            return self._only_where_zone()
        return self._close_together(self.course.closed_together(), REST_OF_PLANT)

    def _close_together(self, zones: Sequence[str], reason: str) -> RoundView:
        """Close zones of this plant, which share the seconds here."""
        if self._waits_for_zone() or self._waits_for_answer(zones):
            return self.view()
        is_detour, course = self.course.is_detour, self.course
        is_whole = course.is_whole and course.step.whole_plant
        code = "bench.whole-done" if is_whole else "round.said.rest"
        if reason == IN_ONE_GO and not is_whole:
            code = "bench.some-done"
        with self.logbook.file.writing():
            joined = self._let_join_unasked() if is_detour or self._is_last(zones) else ()
            left = self.progress.close_together(zones, reason)
        message = left or words.say(code, zones=len(zones))
        self._say_left(message, joined, is_detour=is_detour)
        return self.view()

    def hidden(self) -> RoundView:
        """This zone cannot be seen: asks why."""
        self._pending = ""
        if self.course.opened is None:
            return self._only_where_zone()
        if self._waits_for_zone():
            return self.view()
        self._asked = None
        if self.course.is_whole:
            code = "whole" if self.course.step.whole_plant else "some"
            return self._say(words.say(f"bench.{code}-not-hidden"))
        if self.plant.tallies_of(self.course.opened.id):
            return self._say(words.say("round.said.counted-here"))
        self._asked = ask_why_hidden()
        return self.view()

    def signs(self) -> RoundView:
        """Something of insects was seen here, without one: asks what."""
        self._pending = ""
        if self.course.opened is None:
            return self._only_where_zone()
        self._asked = ask_which_sign()
        return self.view()

    def pause(self) -> RoundView:
        """The clock stops until the next key."""
        self._clear()
        if self.course.opened is None:
            return self._only_where_zone()
        if self.progress.watch.paused:
            self.progress.watch.restart()
            return self._say(words.say("round.said.running"))
        self.progress.note()
        self.progress.watch.pause()
        return self._say(words.say("round.said.paused"))

    def stand_still(self) -> RoundView:
        """The program stops: so does the clock, until the next key; what is asked stays asked."""
        if self.course.opened is not None:
            self.progress.note()
            self.progress.watch.pause()
            return self._say(words.say("round.said.paused"))
        return self.view()

    def back(self) -> RoundView:
        """One zone back; this one is left for later, unless something was counted at it."""
        self._clear()
        if self._waits_for_zone():
            return self.view()
        is_first = self.course.at == 0 and not self.course.is_detour
        if self.progress.stage == "end" or (is_first and self.progress.stage == "zone"):
            return self._say(words.say("round.said.first-zone"))
        self.progress.step_back()
        zone = said.zone_name(self.course.step.zone)
        return self._say(words.say("round.said.back", zone=zone))

    def answer(self, role: str) -> RoundView:
        """An answer to the question that waits; nothing where it does not answer it."""
        waiting = self.question
        self._clear()
        if waiting is not None and waiting.takes(role):
            self._answer(waiting, role)
        elif role == "not-now":
            self._ask_to_put_off()
        elif role in APART and (code := self.view().loose):
            self._put_apart_after(code, cannot_move=role == "cannot-move")
        return self.view()

    @property
    def others_open(self) -> bool:
        """Whether another plant can be opened as the round stands."""
        return self.course.opened is not None and not seen_on_whole(self.course, self.plant)

    def ask_other(self) -> RoundView:
        """Another plant is to be opened: says why not where it cannot be."""
        self._clear()
        self.heard()
        if self.course.opened is None:
            return self._only_where_zone()
        self._message = "" if self.others_open else words.say("bench.zone-first")
        return self.view()

    def others(self) -> tuple[OtherPlant, ...]:
        """The plants that can be opened out of turn, those near the one at hand first."""
        return others(self.logbook, self.walk.day, self.plant.plant)

    def open_other(self, plant_id: int) -> RoundView:
        """Something was seen on another plant: asks at which of its zones, then opens that."""
        self.ask_other()
        if self.others_open:
            zones = zones_of(self.logbook, self._collection, plant_id)
            code = self.logbook.collection().plants[plant_id].code
            self._asked = ask_other_zone(plant_id, code, zones)
        return self.view()

    def _ask_to_put_off(self) -> None:
        """Ask to when the plant at hand is put off, where it can be."""
        course = self.course
        if course.opened is None:
            self._message = words.say(f"round.said.not-at-{self.progress.stage}")
        elif course.is_detour:
            self._message = words.say("round.said.detour-first")
        elif self.plant.tallies_of(course.opened.id):
            self._message = words.say("round.said.counted-here")
        else:
            self._message = ""
            self._asked = ask_to_put_off(self.plant.plant.code, is_last=course.is_last_plant)

    def take_back(self) -> RoundView:
        """The figures that wait; else the newest entry of this round."""
        if self._pending:
            self._pending = ""
            return self._say(words.say("round.said.figures-gone"))
        if self._asked is not None:
            self._asked = None
            return self.view()
        self._asked = take_back.ask_whether_whole(self.course, self.plant)
        if self._asked is None:
            self._take_back(whole_burst=False)
        return self.view()

    def leave(self) -> RoundView:
        """Everything is saved; the seconds at this zone too, unless another window has it now."""
        self._clear()
        self.progress.leave()
        return self.view()

    def catch_up(self) -> RoundView:
        """Others have written: what is to be seen now."""
        self.plant.reload()
        try:
            self.progress.check()
        except Refused as refusal:
            return self.trouble(str(refusal))
        return self.view()

    def other_key(self) -> RoundView:
        """A key with no meaning here: it clears the figures, and the clock knows you are there."""
        self._pending = ""
        self.heard()
        return self._say("")

    def heard(self) -> None:
        """A key that says no more than that somebody is there."""
        self.progress.heard()

    def trouble(self, sentence: str) -> RoundView:
        """A press that could not be written: say so, stand where the log stands."""
        self._clear()
        self.progress.read_again()
        return self._say(sentence)

    def _only_where_zone(self) -> RoundView:
        return self._say(words.say(f"round.said.not-at-{self.progress.stage}"))

    def _say(self, message: str) -> RoundView:
        self._message = message
        return self.view()
