"""The round itself, by its keys: what each press decides, and what it is answered with."""

from collections.abc import Sequence

from rounds import words
from rounds.core.collection import Period
from rounds.core.log.entries import LIVE_KINDS, NOT_ANSWERED
from rounds.core.walks import Round, Walker
from rounds.errors import Refused
from rounds.service.collection.apart import put_apart, said_apart
from rounds.service.entries.record_corrections import withdraw_said
from rounds.service.entries.walked import REST_OF_PLANT, looks_of
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.entry_ids import EntryName
from rounds.service.logbook.moment import now
from rounds.service.plant.record import DayOfPlants
from rounds.service.round import take_back
from rounds.service.round.at_hand import PlantAtHand
from rounds.service.round.course import Course
from rounds.service.round.join import join_today
from rounds.service.round.live import Likely, LiveFigure
from rounds.service.round.progress import RoundProgress
from rounds.service.round.reasons import IN_ONE_GO, NO_REASON
from rounds.service.round.second_look import ask_to_look_twice
from rounds.service.round.shown import said
from rounds.service.round.shown.describe import Known, describe
from rounds.service.round.shown.questions import (
    BY_FIGURE,
    ask_about_live_find,
    ask_at_hand,
    ask_which_sign,
    ask_why_hidden,
    hidden_reason,
    put_off_code,
    seen_on_whole,
    seen_text,
    sign_of,
)
from rounds.service.round.shown.summary import summary_of
from rounds.service.round.view import Question, RoundView

MOST_AT_ONCE = 99

VERDICT_OF = {"yes": "alive", "remains": "remains", "no": "not-an-insect"}
"""What a doubt was, by the role of the key that says so."""


class RoundWalk:
    """One round being walked. Every method that stands for a key returns what is to be seen.

    What is decided (counts, closings, corrections) is on disk when a method returns; what is not
    (digits, questions) is kept here.
    """

    def __init__(
        self,
        logbook: Logbook,
        walk: Round,
        course: Course,
        walked_by: Walker,
        collection: DayOfPlants,
        message: str = "",
    ) -> None:
        """
        Args:
            logbook: the opened one.
            walk: the round.
            course: as it stands in the file.
            walked_by: this program.
            collection: as it is on the day of the round.
            message: said first.
        """
        self.logbook = logbook
        self.walk = walk
        self._collection = collection
        self.progress = RoundProgress(logbook, walk, course, walked_by, collection)
        self.live = LiveFigure()
        self._asked: Question | None = None
        """a question called up by a key"""
        self._apart_later: set[int] = set()
        """plants that are not put apart in this round"""
        self._pending = ""
        """figures typed so far"""
        arrived = self.progress.arrive()
        self._message = message or arrived

    # what is in front of the grower

    @property
    def course(self) -> Course:
        """The steps, and where the round stands in them."""
        return self.progress.course

    @property
    def plant(self) -> PlantAtHand:
        """The plant in front of the grower; at a hygiene stop the one that is left."""
        return self.progress.plant

    @property
    def question(self) -> Question | None:
        """The question that waits: one called up, else one about this zone, else the plant."""
        if self._asked is not None or self.course.opened is None:
            return self._asked
        at_hand = ask_at_hand(self.course, self.plant, self.progress.put_off)
        return at_hand or ask_about_live_find(self.plant, self._apart_later)

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
        return describe(
            Known(
                walk=self.walk,
                stage=progress.stage,
                course=course,
                plant=self.plant,
                upcoming=self.logbook.collection().plants[course.step.plant_id],
                likely=self.likely(),
                question=self.question,
                pending=self._pending,
                message=self._message,
                seconds_here=progress.seconds_here(),
                elapsed_seconds=progress.elapsed_seconds(),
                paused=progress.watch.paused,
                stopped_after=progress.idle_seconds() if progress.clock_stands() else None,
                summary=summary,
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
        number = int(self._pending) if self._pending else 0
        if waiting is not None and waiting.code == "doubt" and kind == "doubtful":
            self._put_off(waiting)
        if waiting is not None and waiting.code == "left-there" and kind in LIVE_KINDS:
            number = number or waiting.about + (1 if kind == "left" else 0)
        self._count(kind, number or 1)
        return self.view()

    def give_stage(self, stage: str) -> RoundView:
        """The stage of what was counted last at this zone."""
        self._clear()
        if self.course.opened is None:
            return self._only_where_zone()
        tallies = self.plant.tallies_of(self.course.opened.id)
        if not tallies:
            return self._say(words.say("round.said.count-first"))
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
                unanswered = any(c.startswith("left-there") for c in self.progress.put_off)
                self._close("looked", NOT_ANSWERED if unanswered else None)
        return self.view()

    def rest(self) -> RoundView:
        """Nothing on the rest of this plant: the seconds here are shared among what is left."""
        self._clear()
        if self.course.opened is None:
            return self._only_where_zone()
        return self._close_together(self.course.closed_together(), REST_OF_PLANT)

    def _close_together(self, zones: Sequence[str], reason: str) -> RoundView:
        """Close zones of this plant, which share the seconds here."""
        if self._waits_for_zone() or self._waits_for_answer(zones):
            return self.view()
        is_whole = self.course.is_whole and self.course.step.whole_plant
        code = "bench.whole-done" if is_whole else "round.said.rest"
        if reason == IN_ONE_GO and not is_whole:
            code = "bench.some-done"
        left = self.progress.close_together(zones, reason)
        return self._say(left or words.say(code, zones=len(zones)))

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

    def back(self) -> RoundView:
        """One zone back; this one is left for later, unless something was counted at it."""
        self._clear()
        if self._waits_for_zone():
            return self.view()
        if self.course.at == 0 or self.progress.stage == "end":
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
        return self.view()

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

    # answers

    def _answer(self, question: Question, role: str) -> None:
        """Answer a question by the role of a key that it takes."""
        if question.code in BY_FIGURE:
            # one key leaves the question, and numbers answer it
            return
        if question.code == "live-find":
            self._answer_live_find(role)
        elif question.code == "burst":
            self._take_back(whole_burst=role == "yes")
        elif question.code == "second-look":
            self._answer_second_look(question, role)
        elif role == "not-now":
            self._put_off(question)
            self._message = words.say("round.said.put-off")
        elif question.code == "left-there":
            self._count("left", question.about)
        else:
            verdict = VERDICT_OF[role]
            self.progress.settle(question.about, verdict)
            self._message = said.settled(verdict, self.course.step.zone, self.plant)

    def _answer_by_figure(self, question: Question, figure: int) -> None:
        """Answer a question by one of the figures before its answers; any other leaves it."""
        if question.code == "which-zone":
            self._place_seen((figure or 10) - 1)
        elif question.code == "hidden" and (reason := hidden_reason(figure)):
            self._close_hidden(reason)
        elif question.code == "signs" and (sign := sign_of(figure)):
            self._sign(sign)

    def _answer_live_find(self, role: str) -> None:
        """Put apart, cannot be moved, or not now; what stands near it is looked at today."""
        plant, cannot_move = self.plant.plant, role == "cannot-move"
        touched: Sequence[str] = ()
        with self.progress.writing():
            if role == "not-now":
                self._apart_later.add(plant.id)
            else:
                moment = now(self.logbook.clock)
                touched = put_apart(self.logbook, moment, plant.code, cannot_move=cannot_move)
            joined = self._let_join(plant.code)
        said_first = words.say("round.said.apart-later", code=plant.code)
        if role != "not-now":
            self.plant.reload()
            said_first = said_apart(self.plant.record, touched, cannot_move=cannot_move)
        self._message = words.say("forms.and").join([said_first, *joined])

    def _let_join(self, code: str) -> tuple[str, ...]:
        """What stands near a find is looked at in this round; what is said. In a transaction."""
        elapsed = self.progress.elapsed_seconds()
        joined = join_today(self.walk, self.course, self._collection, elapsed, code)
        if joined.steps != self.course.steps:
            self.progress.go_by(joined.steps)
        return joined.said

    def _answer_second_look(self, question: Question, role: str) -> None:
        if role == "yes":
            zone = said.zone_name(self.progress.look_twice().zone)
            self._message = words.say("bench.second-look", zone=zone)
        else:
            self._put_off(question)
            self.go_on()

    def _place_seen(self, at: int) -> None:
        """Say at which zone of a whole plant something was seen, by its number from 0."""
        zones, seen = self.course.zones_at_hand(), seen_on_whole(self.course, self.plant)
        if at < len(zones):
            self.progress.place_seen(zones[at])
            self._asked = None
            self._message = said.placed(seen_text(seen), zones[at], self.plant)

    # what is done

    def _count(self, kind: str, number: int) -> None:
        self._pending = ""
        self.progress.tally(kind, number)
        zone, is_whole = self.course.step.zone, self.course.is_whole
        self._message = "" if is_whole else said.counted(kind, number, zone, self.plant)

    def _sign(self, kind: str) -> None:
        """A sign was seen at the open zone: it is kept once for each look."""
        self._asked = None
        opened, is_whole = self.course.opened, self.course.is_whole
        if opened is None:
            raise LookupError("no zone is open")
        is_new = all(sign.kind != kind for sign in self.plant.signs_of(opened.id))
        if is_new:
            self.progress.sign(kind)
        told = said.sign(kind, opened.zone, self.plant, is_new=is_new)
        self._message = "" if is_new and is_whole else told

    def _close(self, outcome: str, reason: str | None) -> None:
        self._message = self.progress.close(outcome, reason)

    def _close_hidden(self, reason: str) -> None:
        self._asked = None
        self._close("cannot-see", reason)

    def _take_back(self, *, whole_burst: bool) -> None:
        """Take back the newest entry here, or its whole burst; else the closing of a zone."""
        taken = take_back.newest(self.course, self.plant, whole_burst=whole_burst)
        if taken is None:
            self._message = self._open_again()
        elif taken.apart is not None:
            self._take_apart_back(taken.apart)
            self._message = taken.said
        else:
            self.progress.withdraw(taken.entries)
            self._message = taken.said

    def _take_apart_back(self, period: Period) -> None:
        plant = self.plant.plant
        name = EntryName("apart", period.began_on, plant.id, period.id)
        with self.progress.writing():
            withdraw_said(self.logbook, now(self.logbook.clock), name, plant)
        self.plant.reload()

    def _open_again(self) -> str:
        """Stand in the zone again that was closed last; what is said of it."""
        found = take_back.closed_last(self.course, looks_of(self.logbook, self.walk))
        if found is None:
            return words.say("round.said.nothing-to-take")
        self.progress.open_again(*found)
        return words.say("round.said.reopened", zone=said.zone_name(self.course.step.zone))

    # what waits

    def _waits_for_zone(self) -> bool:
        """Whether the plant is not left before it is said where on it something was seen."""
        waits = self._asked is None and bool(seen_on_whole(self.course, self.plant))
        if waits:
            self._message = words.say("bench.zone-first")
        return waits

    def _waits_for_answer(self, zones: Sequence[str] = ()) -> bool:
        """Whether the next plant waits until it is said what becomes of this one.

        `zones` are closed together with the open one.
        """
        _, *after = self.course.to_come()
        if all(step.zone in zones for step in after):
            self._asked = ask_about_live_find(self.plant, self._apart_later)
        return self._asked is not None

    def _second_look(self) -> Question | None:
        progress = self.progress
        return ask_to_look_twice(
            self.walk, self.course, self.plant, progress.put_off, progress.seconds_here()
        )

    def _put_off(self, question: Question) -> None:
        """Not asked again while the round stands here."""
        self.progress.put_off.add(put_off_code(question))

    def _clear(self) -> None:
        """Neither figures nor a question wait."""
        self._pending, self._asked = "", None

    def _only_where_zone(self) -> RoundView:
        return self._say(words.say(f"round.said.not-at-{self.progress.stage}"))

    def _say(self, message: str) -> RoundView:
        self._message = message
        return self.view()
