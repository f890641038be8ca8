"""The round: zones, hygiene stops and the summary, by keys alone."""

from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import ClassVar

from rich.cells import cell_len
from textual import events
from textual.binding import BindingType
from textual.timer import Timer
from textual.widget import Widget

from rounds import words
from rounds.errors import RoundsError
from rounds.service.round import RoundView, RoundWalk
from rounds.tui.keys import FIGURES, bindings, key_of, pressed
from rounds.tui.page import FIRST, MIDDLE, THIRD, KeyHint, Page
from rounds.tui.pages.by_number import (
    RARER_ROLES,
    ROLES,
    ByNumber,
    answers_by_number,
    keys_by_number,
    letters_are_far,
    rarer_by_number,
    takes_figures,
)
from rounds.tui.pages.hygiene import hygiene_rows, hygiene_told
from rounds.tui.pages.parts import hint, say
from rounds.tui.pages.round import clock, round_page
from rounds.tui.pages.summary import summary_rows, summary_told
from rounds.tui.pages.told import Told
from rounds.tui.screens.frame import Frame
from rounds.tui.screens.others import OthersScreen
from rounds.tui.widgets.told_rows import Scrolled, ToldRows

KINDS = ("removed", "killed", "left", "doubtful")
STAGES = ("adult", "young", "eggs")
ANSWERS = ("yes", "no", "remains", "not-now", "put-apart", "cannot-move")
PLAIN = ("rest", "hidden", "signs", "pause", "back", "take-back", "pest")

NARROW_APART = 22
"""The column of the key that quarantines, in a narrow window."""

LOOK_AHEAD_AFTER = 0.2
"""Seconds without a key after a press before the figures of the next keys are worked out."""
NEXT_PIECE_AFTER = 0.02
"""Seconds between two of these, in which a key is heard."""


class RoundScreen(Frame, sheet="round"):
    """Each key is one call to the round, whose view is painted at once.

    At a zone a page of ours covers all; between two plants and at the end the library lays out
    what is told.
    """

    HELP = "round"

    BINDINGS: ClassVar[list[BindingType]] = [
        *bindings("round", [(role, f"count('{role}')") for role in KINDS]),
        *bindings("round", [(role, f"stage('{role}')") for role in STAGES]),
        *bindings("round", [(role, f"answer('{role}')") for role in ANSWERS]),
        *bindings("round", [(role, f"figure({role})") for role in FIGURES]),
        *bindings("round", [(role, f"plain('{role}')") for role in PLAIN]),
        *bindings("round", [("next", "next"), ("help", "help"), ("leave", "leave")]),
        *bindings("round", [("plants", "plants")]),
    ]

    def __init__(self, walk: RoundWalk, *, of_delivery: bool = False) -> None:
        super().__init__()
        self.walk = walk
        self._of_delivery = of_delivery
        self.view: RoundView = walk.view()
        self.pause_after_press: Timer | None = None
        self.numbers: ByNumber | None = None
        """the list that figures choose from, on a pad after enter"""
        self.saved = True
        """whether the last press could be written"""
        self._steps = ToldRows("steps")
        self._scrolled = Scrolled(self._steps)

    def on_mount(self) -> None:
        """Paint, and let the clock be seen to run."""
        super().on_mount()
        self._look_ahead_soon()
        self.set_interval(1.0, self._tick)

    @property
    def is_painted(self) -> bool:
        """At a zone."""
        return self.view.stage == "zone"

    @property
    def clock(self) -> str:
        """The time spent, and the time there is."""
        return clock(self.view)

    def page(self, width: int, height: int) -> Page:
        """The zone at hand."""
        asked = self.numbers.question if self.numbers else self.view.question
        view = replace(self.view, question=asked)
        return round_page(view, width, height, saved=self.saved, note=self.note)

    def told(self) -> Told:
        """What is said between two plants, or at the end."""
        # with why the last key did nothing
        view = replace(self.view, message=self.note) if self.note else self.view
        told = hygiene_told if view.stage == "hygiene" else summary_told
        return told(view, is_wide=self.is_wide)

    def body(self) -> Iterable[Widget]:
        """Steps, or what came of the round."""
        yield self._scrolled

    def show_body(self, told: Told, frame: Page) -> None:
        """Show them."""
        is_end = self.view.stage == "end"
        self.set_class(is_end, "-end")
        rows = summary_rows if is_end else hygiene_rows
        self._steps.show(rows(self.view, frame))

    def put_strip(self, page: Page, told: Told) -> None:
        """The keys between two plants, and at the end."""
        row, is_end = page.height - 2, self.view.stage == "end"
        page.put_keys(row, [hint("leave", "list.leave" if is_end else "stop"), None])
        page.put_keys(
            row, [hint("take-back"), hint("help")], (15, 67) if page.is_wide else (15, 29)
        )
        ends = "next-delivery" if self._of_delivery else "next-today"
        going = hint("next", ends if is_end else "next-plant")
        if not self.view.loose:
            page.put_keys(row + 1, [going])
            return
        columns = (FIRST, MIDDLE, THIRD) if page.is_wide else (1, NARROW_APART, page.width)
        named = say("keys.put-apart", code=self.view.loose)
        has_room = columns[1] + cell_len(named) + 3 < columns[2]
        # without room for its code: the page says which plant it is
        apart = KeyHint(key_of("put-apart"), named if has_room else say("keys.put-apart-brief"))
        stays = hint("cannot-move", "cannot-move") if page.is_wide else None
        page.put_keys(row + 1, [going, apart, stays], columns)

    def too_small(self) -> str:
        """The count, as keys still count."""
        counts = self.view.zone.counts if self.view.zone else None
        return say("too-small.text", count=counts.removed if counts else 0)

    def action_count(self, kind: str) -> None:
        """A count, or the answer that lies on the same key."""
        self._press(lambda: self.walk.count(kind))

    def _look_ahead_soon(self, after: float = LOOK_AHEAD_AFTER) -> None:
        if self.pause_after_press is not None:
            self.pause_after_press.stop()
        self.pause_after_press = self.set_timer(after, self._look_ahead)

    def _look_ahead(self) -> None:
        """A pause between keys: time for what the next may need, piece by piece."""
        self.pause_after_press = None
        if self.is_current and self.walk.look_ahead():
            self.view = self.walk.view()
            self.paint()
            self._look_ahead_soon(NEXT_PIECE_AFTER)

    def action_stage(self, stage: str) -> None:
        """The stage of what was counted last."""
        self._press(lambda: self.walk.give_stage(stage))

    def action_answer(self, role: str) -> None:
        """An answer to the question that waits."""
        asked, loose = self.view.question, self.view.loose
        self._press(lambda: self.walk.answer(role))
        if asked is None:
            # where none was asked, a key may ask one itself, or quarantine a plant just left
            if self.view.question is None and self.view.loose == loose:
                self.tell(self.why_idle(role))
        elif not asked.takes(role):
            self.tell(say("idle.other-answer", key=key_of(role)))

    def action_figure(self, figure: int) -> None:
        """How many the next count takes; or the key that a number stands for."""
        role = self.numbers.role(figure) if self.numbers else None
        if role is not None:
            self._press_role(role)
        elif self.numbers is None:
            asked = self.view.question
            self._press(lambda: self.walk.digit(figure))
            is_taken = self.view.pending or self.view.question != asked
            if self.view.stage == "zone" and not is_taken:
                self.tell(say("idle.no-number", key=figure))
        else:
            self.tell(say("idle.no-number", key=figure))

    def _press_role(self, role: str) -> None:
        """As if its key had been pressed; an answer may lie on any of them."""
        if role in KINDS:
            self.action_count(role)
        elif role in STAGES:
            self.action_stage(role)
        elif role in ANSWERS:
            self.action_answer(role)
        elif role == "leave":
            self.action_leave()
        elif role == "plants":
            self.action_plants()
        else:
            self.action_plain(role)

    def _by_number(self) -> None:
        """On a pad: the answers to what is asked, the other keys, the rarer ones, then neither."""
        question, chosen = self.view.question, self.numbers
        if question is not None and takes_figures(question) and question.takes("not-now"):
            self.action_answer("not-now")
            return
        self.walk.heard()
        if self.view.stage != "zone" or (chosen and chosen.roles == RARER_ROLES):
            self.numbers = None
        elif chosen and chosen.roles == ROLES:
            self.numbers = rarer_by_number()
        elif chosen is None and question is not None and not takes_figures(question):
            self.numbers = answers_by_number(question)
        else:
            self.numbers = keys_by_number()
        self.paint()

    def action_plain(self, role: str) -> None:
        """A key that needs no count or stage."""
        presses: dict[str, Callable[[], RoundView]] = {
            "rest": self.walk.rest,
            "hidden": self.walk.hidden,
            "signs": self.walk.signs,
            "pause": self.walk.pause,
            "back": self.walk.back,
            "take-back": self.walk.take_back,
            "pest": self.walk.other_pest,
        }
        before = self.view
        self._press(presses[role])
        self._say_if_asked_still(before)

    def _say_if_asked_still(self, before: RoundView) -> None:
        """Say that a question wants its answer first, where one kept a key from doing anything."""
        now = self.view
        if now.question is not None and _is_as_before(before, now):
            is_of_zone = now.question.code == "which-zone"
            first = words.say("bench.zone-first") if is_of_zone else say("idle.answer-first")
            self.tell(now.message if now.message != before.message else first)

    def action_plants(self) -> None:
        """Any other plant, on which something was seen in passing."""
        before, plant = self.view, self.view.plant
        if plant is None or not self._press(self.walk.ask_other):
            return
        if self.walk.others_open:
            self.app.push_screen(
                OthersScreen(
                    plant.code, clock(self.view), self.walk.others(), self._open_other,
                    self.leave_program,
                )
            )  # fmt: skip
        else:
            self._say_if_asked_still(before)

    def _open_other(self, plant_id: int) -> None:
        self._press(lambda: self.walk.open_other(plant_id))

    def action_next(self) -> None:
        """On to the next zone, plant, or back to today after the end."""
        before = self.view
        if before.stage != "end":
            self._press(self.walk.go_on)
            self._say_if_asked_still(before)
        elif self._press(self.walk.leave):
            self.app.pop_screen()

    def reload(self) -> None:
        """Others have written: show what is there now."""
        before = self.view.message
        self.view, self.numbers = self.walk.catch_up(), None
        # where that says something, it says who walks the round now
        self.saved = self.saved and self.view.message == before
        self.paint()

    def action_leave(self) -> None:
        """Back to today; all is saved."""
        if self._press(self.walk.leave):
            self.app.pop_screen()

    def leave_program(self) -> None:
        """The seconds at this zone are kept, and nobody walks the round any more."""
        self.walk.leave()

    def stand_still(self) -> None:
        """The clock stands with the program, until the next key."""
        self.view = self.walk.stand_still()

    def on_key(self, event: events.Key) -> None:
        """Enter on a pad; any other key without a meaning here clears the figures."""
        if letters_are_far() and pressed(event) == key_of("begin"):
            self._by_number()
            event.prevent_default()
            return
        if not self.is_painted and self._scrolled.scroll_by(event.key):
            event.prevent_default()
            return
        bound = {*FIGURES, *(key_of(role) for role in (*KINDS, *STAGES, *ANSWERS, *PLAIN))}
        bound |= {key_of(role) for role in ("next", "help", "leave", "plants")}
        if pressed(event) not in bound:
            self._press(self.walk.other_key)

    def _press(self, press: Callable[[], RoundView]) -> bool:
        """Do what the key does; whether it could be done.

        A fault is a sentence, and the round goes on.
        """
        self.numbers, self.saved = None, True
        try:
            self.view = press()
        except RoundsError as fault:
            self.view = self.walk.trouble(str(fault))
            self.saved = False
        self.paint()
        self._look_ahead_soon()
        return self.saved

    def _tick(self) -> None:
        if self.view.stage == "zone" and self.is_current and not self.helping:
            self.view = self.walk.view()
            self.paint()

    def behind_help(self, width: int, height: int) -> list[tuple[str, str]]:
        """The zones and where the plant stands, for which a narrow screen has no room."""
        plant = self.view.plant
        if plant is None or Page(width, height).is_wide:
            return []
        zones = [(f"{'>' if line.is_here else ' '} {line.name}", line.state)
                 for line in plant.zones]  # fmt: skip
        return [(plant.where, ""), *zones]


def _is_as_before(before: RoundView, now: RoundView) -> bool:
    """Whether a key left the round at the same zone, with the same counts and question."""
    stands = [
        (view.question, view.pending, view.stage, view.plant and view.plant.code,
         view.zone and (view.zone.zone, view.zone.counts))
        for view in (before, now)
    ]  # fmt: skip
    return stands[0] == stands[1]
