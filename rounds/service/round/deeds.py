"""What the keys of a round do, once it is clear what was meant: each writes, and says what."""

from collections.abc import Sequence

from rounds import words
from rounds.core.collection import Period
from rounds.core.log.courses import CourseMark
from rounds.core.log.entries import NOT_ANSWERED
from rounds.core.walks import Round, Walker
from rounds.service.collection.apart import put_apart, said_apart
from rounds.service.courses.shelf import (
    StepHere,
    do_steps,
    due_here_too,
    withdraw_together,
)
from rounds.service.courses.text import due_text
from rounds.service.entries.record_corrections import withdraw_said
from rounds.service.entries.walked import SET_ASIDE, PutOff, looks_of, put_off_by
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.entry_ids import EntryName
from rounds.service.logbook.moment import now
from rounds.service.logbook.named import find_plant
from rounds.service.plant.record import DayOfPlants
from rounds.service.round import take_back
from rounds.service.round.at_hand import PlantAtHand
from rounds.service.round.course import Course
from rounds.service.round.live import LiveFigure
from rounds.service.round.progress import RoundProgress
from rounds.service.round.second_look import ask_to_look_twice
from rounds.service.round.shown import said
from rounds.service.round.shown.out_of_turn import (
    ask_why_put_off,
    said_back_at,
    said_detour,
    said_put_off,
    until_of,
    why_put_off,
)
from rounds.service.round.shown.questions import (
    BY_FIGURE,
    ask_about_live_find,
    ask_about_step,
    ask_at_hand,
    hidden_reason,
    put_off_code,
    seen_on_whole,
    seen_text,
    sign_of,
)
from rounds.service.round.turns.join import (
    join_today,
    lets_join,
    unjoined,
    unjoined_text,
)
from rounds.service.round.turns.others import zone_to_open
from rounds.service.round.view import Question
from rounds.words.forms import codes_text

VERDICT_OF = {"yes": "alive", "remains": "remains", "no": "not-an-insect"}
"""What a doubt was, by the role of the key that says so."""


class RoundDeeds:
    """A round being walked: what waits for an answer, and what is done when it comes."""

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
        self.is_of_delivery = False
        """its plants are those of a delivery to be opened: none joins them, none gives way"""
        self._asked: Question | None = None
        """a question called up by a key"""
        self._apart_later: set[int] = set()
        """plants that are not put apart in this round"""
        self._steps_later: set[int] = set()
        """courses whose step is not done in this round, by id"""
        self._joined_for: set[int] = set()
        """plants for whose finds others had their chance to join"""
        self._pending = ""
        """figures typed so far"""
        arrived = self.progress.arrive()
        self._message = message or arrived

    # where it stands

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

    def left_pest(self) -> str:
        """The pest of what was left at the zone at hand that is asked about."""
        zones = self.course.zones_at_hand()
        asked = next((zone for zone in zones if self.plant.left_there_at(zone)), zones[0])
        return self.plant.left_pest_at(asked)

    # answers

    def _answer(self, question: Question, role: str) -> None:
        """Answer a question by the role of a key that it takes."""
        if question.code in BY_FIGURE:
            # one key leaves the question, and numbers answer it
            return
        if question.code == "live-find":
            self._answer_live_find(role)
        elif question.code == "step":
            self._answer_step(question.about, role)
        elif question.code == "burst":
            self._take_back(whole_burst=role == "yes")
        elif question.code == "second-look":
            self._answer_second_look(question, role)
        elif role == "not-now":
            self._put_off(question)
            self._message = words.say("round.said.put-off")
        elif question.code == "left-there":
            self._count("left", question.about, self.left_pest())
        else:
            verdict = VERDICT_OF[role]
            zone = self.progress.settle(question.about, verdict)
            self._message = said.settled(verdict, zone, self.plant)

    def _answer_by_figure(self, question: Question, figure: int) -> None:
        """Answer a question by one of the figures before its answers; any other leaves it."""
        if question.code == "which-zone":
            self._place_seen((figure or 10) - 1)
        elif question.code == "hidden" and (reason := hidden_reason(figure)):
            self._close_hidden(reason)
        elif question.code == "signs" and (sign := sign_of(figure)):
            self._sign(sign)
        elif question.code == "put-off" and question.takes(str(figure)):
            self._asked = ask_why_put_off(figure)
        elif question.code == "put-off-why" and (why := why_put_off(figure)):
            self._put_plant_off(why)
        elif question.code == "other-zone":
            self._open_detour(question.about, (figure or 10) - 1)

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

    def _put_apart_after(self, code: str, *, cannot_move: bool) -> None:
        """Quarantine a plant that is done; what stands near it joined as its find was answered."""
        with self.logbook.file.writing():
            self.progress.check()
            moment = now(self.logbook.clock)
            watched = put_apart(self.logbook, moment, code, cannot_move=cannot_move)
        self.plant.reload()
        plant_id = find_plant(self.logbook, code).id
        record = PlantAtHand(self.logbook, plant_id, self._collection).record
        self._message = said_apart(record, watched, cannot_move=cannot_move)

    def _answer_step(self, course_id: int, role: str) -> None:
        """The step of a course that is due was done, here alone or at all here, or is not now."""
        plant = self.plant
        running = next(r for r in plant.record.courses if r.course.begun.id == course_id)
        step = due_text(running)
        if role == "not-now":
            self._steps_later.add(course_id)
            self._message = words.say("round.said.step-later", step=step)
            return
        steps = [StepHere(plant.plant, running.course)]
        if role == "rest":
            steps += due_here_too(self.logbook, plant.plant, running.course, plant.day)
        with self.progress.writing():
            do_steps(self.logbook, now(self.logbook.clock, self.walk.who), steps)
        plant.reload()
        codes = codes_text(step.plant.code for step in steps)
        self._message = words.say("round.said.step-done", step=step, codes=codes)

    def _let_join(self, code: str) -> tuple[str, ...]:
        """What stands near a find is looked at in this round; what is said. In a transaction."""
        if self.is_of_delivery:
            return ()
        elapsed = self.progress.elapsed_seconds()
        joined = join_today(self.walk, self.course, self._collection, elapsed, code)
        if joined.steps != self.course.steps:
            self.progress.let_join(joined.steps)
        self._joined_for.add(self.plant.plant.id)
        return joined.said

    def _let_join_unasked(self) -> tuple[str, ...]:
        """The same for a plant in quarantine on which nothing alive was known before this round."""
        plant = self.plant
        known = self._collection.records[plant.plant.id]
        if plant.plant.id in self._joined_for or not plant.live_today():
            return ()
        if plant.record.standing != "quarantine" or not lets_join(known):
            return ()
        with self.progress.writing():
            return self._let_join(plant.plant.code)

    def _answer_second_look(self, question: Question, role: str) -> None:
        if role == "yes":
            zone = said.zone_name(self.progress.look_twice().zone)
            self._message = words.say("bench.second-look", zone=zone)
        else:
            self._put_off(question)
            self._close_looked()

    def _place_seen(self, at: int) -> None:
        """Say at which zone of a whole plant something was seen, by its number from 0."""
        zones, seen = self.course.zones_at_hand(), seen_on_whole(self.course, self.plant)
        if at < len(zones):
            self.progress.place_seen(zones[at])
            self._asked = None
            self._message = said.placed(seen_text(seen), zones[at], self.plant)

    # what is done

    def _count(self, kind: str, number: int, pest: str | None = None) -> None:
        """Count some of a kind; 0 stands for one more, or for the next number that is told apart.

        Of the pest at hand, unless another is said.
        """
        self._pending = ""
        pest = pest or self.plant.pest
        had = self._counted(kind, pest)
        number = number or said.one_more(self.plant, pest, had)
        if not number:
            self._message = said.many_already(self.plant, pest, had)
            return
        self.progress.tally(kind, number, pest)
        zone, is_whole = self.course.step.zone, self.course.is_whole
        self._message = said.counted(kind, number, zone, self.plant, pest, had)
        if is_whole:
            self._message = ""

    def _counted(self, kind: str, pest: str) -> int:
        """How many of a kind and pest were counted in this look before."""
        opened = self.course.opened
        tallies = self.plant.tallies_of(opened.id) if opened else ()
        return sum(t.count for t in tallies if (t.kind, t.pest) == (kind, pest))

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

    def _close_looked(self) -> None:
        unanswered = any(code.startswith("left-there") for code in self.progress.put_off)
        self._close("looked", NOT_ANSWERED if unanswered else None)

    def _close(self, outcome: str, reason: str | None) -> None:
        is_detour = self.course.is_detour
        with self.logbook.file.writing():
            joined = self._let_join_unasked() if is_detour or self._is_last() else ()
            self._say_left(self.progress.close(outcome, reason), joined, is_detour=is_detour)

    def _say_left(self, message: str, joined: Sequence[str], *, is_detour: bool) -> None:
        """What is said of a zone or plant just left; after a detour, where one is again."""
        back = is_detour and self.progress.stage == "zone"
        at = [said_back_at(self.plant, self.course.step.zone)] if back else []
        self._message = words.say("forms.and").join([message, *joined, *at])

    def _put_plant_off(self, why: str) -> None:
        """Put the plant at hand off, as was answered before."""
        waiting, code = self._asked, self.plant.plant.code
        self._asked = None
        if waiting is None:
            raise LookupError("nothing was asked")
        put_off = PutOff(until_of(waiting.about), why)
        self.progress.put_plant_off(put_off)
        self._message = said_put_off(code, put_off)

    def _open_detour(self, plant_id: int, at: int) -> None:
        """Open a zone of another plant, by its number from 0; this one waits meanwhile."""
        opened = zone_to_open(self.logbook, self._collection, plant_id, at)
        if opened is not None:
            self._asked = None
            left = self.plant
            self.progress.take_detour(plant_id, *opened)
            self._message = said_detour(self.plant, opened[0], left)

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
        elif taken.mark is not None:
            self._take_step_back(taken.mark, taken.together)
            self._message = taken.said
        else:
            with self.logbook.file.writing():
                self.progress.withdraw(taken.entries)
                unjoined = self._let_go()
            self._message = words.say("forms.and").join([taken.said, *unjoined])

    def _let_go(self) -> list[str]:
        """Where no find is left on the plant at hand, those who joined for one leave again."""
        plant = self.plant
        if plant.live_today():
            return []
        self._apart_later.discard(plant.plant.id)
        self._joined_for.discard(plant.plant.id)
        before = self.progress.steps_unjoined()
        if before is None:
            return []
        steps = unjoined(self.course, before)
        text = unjoined_text(self.course, steps, self._collection)
        self.progress.go_by(steps)
        return text

    def _take_apart_back(self, period: Period) -> None:
        plant = self.plant.plant
        name = EntryName("apart", period.began_on, plant.id, period.id)
        with self.progress.writing():
            withdraw_said(self.logbook, now(self.logbook.clock), name, plant)
        self.plant.reload()

    def _take_step_back(self, mark: CourseMark, together: Sequence[EntryName]) -> None:
        with self.progress.writing():
            withdraw_together(self.logbook, now(self.logbook.clock), together)
        self.plant.reload()
        self._steps_later.discard(mark.course_id)

    def _open_again(self) -> str:
        """Stand in the zone again that was closed last; what is said of it."""
        found = take_back.closed_last(self.course, looks_of(self.logbook, self.walk))
        if found is None:
            return words.say("round.said.nothing-to-take")
        self.progress.open_again(*found)
        last = found[1][0]
        if last.reason == SET_ASIDE:
            return said_back_at(self.plant, last.zone)
        if put_off_by(last) is not None:
            return words.say("round.said.put-off-undone", code=self.plant.plant.code)
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
        if self.course.is_detour or self._is_last(zones):
            plant = self.plant
            find = ask_about_live_find(plant, self._apart_later)
            self._asked = find or ask_about_step(plant, self._steps_later)
        return self._asked is not None

    def _is_last(self, zones: Sequence[str] = ()) -> bool:
        """Whether no other zone of this plant is to come but these."""
        _, *after = self.course.to_come()
        return all(step.zone in zones for step in after)

    def _second_look(self) -> Question | None:
        progress = self.progress
        if self.course.is_detour:
            return None
        return ask_to_look_twice(
            self.walk, self.course, self.plant, progress.put_off, progress.seconds_here()
        )

    def _put_off(self, question: Question) -> None:
        """Not asked again while the round stands here."""
        self.progress.put_off.add(put_off_code(question))

    def _clear(self) -> None:
        """Neither figures nor a question wait."""
        self._pending, self._asked = "", None
