"""Looks from a sheet, typed in plant by plant: enter alone is a zone with nothing."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from typing import ClassVar, Literal

from textual import events
from textual.binding import BindingType

from rounds import words
from rounds.errors import RoundsError
from rounds.service.logbook import Logbook
from rounds.service.planning import PlannedZone
from rounds.service.round.view import Question
from rounds.service.sheet_entry import (
    SheetDraft,
    ZoneLine,
    check_line,
    draft_kept,
    enter_plant,
    keep_draft,
    order_of,
    take_back_plant,
    zones_on,
)
from rounds.tui.forms.fields import FieldFault, Header
from rounds.tui.forms.sheet_line import (
    CODE_MARK,
    line_letters,
    line_text,
    lines_text,
    read_line,
)
from rounds.tui.forms.values import TODAY, day_of, moment_of
from rounds.tui.forms.wording import header_of, record_of
from rounds.tui.keys import bindings, key_of
from rounds.tui.page import Page
from rounds.tui.pages.parts import say
from rounds.tui.pages.sheet_entry import EntryLine, EntryView, entry_page, question_of
from rounds.tui.screens.form import sentence_of
from rounds.tui.screens.sheet_screen import SheetScreen
from rounds.tui.screens.typing import TypedLine
from rounds.words.forms import calendar_day, day_month, minutes_seconds

Stage = Literal["resume", "day", "who", "code", "zone", "write"]
"""Asked whether to go on; typed: day, who, a plant's code, a zone; asked whether to write."""

QUESTIONS = ("resume", "write")
HEAD = ("day", "who")
ROLES_TYPED = ("leave", "take-back", "not-now", "rest")
"""Keys that are typed as a line of their own."""


class SheetEntryScreen(SheetScreen):
    """Letters are text; a plant is written at the yes after its last zone."""

    BINDINGS: ClassVar[list[BindingType]] = bindings(
        "sheet-entry", [("leave", "leave"), ("yes", "yes"), ("no", "no")]
    )

    def __init__(self, logbook: Logbook, who: str | None) -> None:
        super().__init__()
        self.logbook = logbook
        self.message = ""
        self.plant: Header | None = None
        self.zones: tuple[PlannedZone, ...] = ()
        kept = draft_kept(logbook)
        self.draft = kept or SheetDraft(logbook.clock.today(), who, (), None)
        self._goes_to("day" if kept is None else "resume")
        self._who = who

    @property
    def lines(self) -> tuple[ZoneLine, ...]:
        """The lines of the plant at hand, not written yet."""
        return self.draft.lines

    def page(self, width: int, height: int) -> Page:
        """The sheet as far as it is typed in."""
        return entry_page(self._view(), width, height)

    def too_small(self) -> str:
        """What is needed."""
        return say("too-small.bare")

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """While a line is typed, letters are text."""
        return self.stage in QUESTIONS or action not in ("leave", "yes", "no")

    def on_key(self, event: events.Key) -> None:
        """A typed line; a question is answered by its own keys alone."""
        if self.line is None:
            return
        event.stop()
        event.prevent_default()
        typed = self.line.key(event)
        if typed is not None:
            self._take(typed)
        self.paint()

    def action_leave(self) -> None:
        """Back to the desk; a sheet that is not all in is kept for going on."""
        draft = self.draft
        if self.stage != "resume" and draft.code is None and draft.next_code() is None:
            keep_draft(self.logbook, None)
        self.app.pop_screen()

    def action_yes(self) -> None:
        """Go on with the sheet that was left; write the plant."""
        self._tried(self._go_on if self.stage == "resume" else self._write)
        self.paint()

    def action_no(self) -> None:
        """Another sheet; take back a line."""
        if self.stage == "resume":
            self.draft = SheetDraft(self.logbook.clock.today(), self._who, (), None)
            self._goes_to("day")
        else:
            self._tried(self._take_back)
        self.paint()

    # what a typed line does

    def _take(self, typed: str) -> None:
        """Take a line; one that cannot be used stays to be put right."""
        takes = {
            "day": self._take_day,
            "who": self._take_who,
            "code": self._take_code,
            "zone": self._take_zone,
        }
        self._tried(lambda: takes[self.stage](typed), typed)

    def _tried(self, does: Callable[[], None], typed: str = "") -> None:
        self.message = ""
        try:
            does()
        except (FieldFault, RoundsError) as fault:
            self.message = sentence_of(fault)
            if self.line is not None:
                # a letter that was refused is not what one wants to put right
                self.line.text = typed if len(typed) > 1 else ""

    def _take_day(self, typed: str) -> None:
        if typed.casefold() == key_of("leave"):
            self.app.pop_screen()
            return
        self.draft = replace(self.draft, day=day_of(self.logbook, typed or TODAY, "day"))
        self._goes_to("who")

    def _take_who(self, typed: str) -> None:
        order = order_of(self.logbook, self.draft.day)
        self.draft = replace(self.draft, who=typed or self.draft.who, order=order)
        self._next_plant()

    def _take_code(self, typed: str) -> None:
        if self._takes_letter(typed):
            return
        if typed:
            self._open(self._after_dot(typed) or typed)

    def _take_zone(self, typed: str) -> None:
        if self._takes_letter(typed):
            return
        named = self._after_dot(typed)
        if named is not None:
            self._go_to_plant(named)
            return
        zone = self.zones[len(self.lines)]
        try:
            line = read_line(typed, zone)
        except FieldFault:
            if not self._is_code(typed):
                raise
            self._go_to_plant(typed)
            return
        self._add((line,))
        if self._is_code(typed):
            said = words.say("sheet_entry.said.no-code", typed=typed, dot=CODE_MARK)
            self.message = self.message or said

    def _takes_letter(self, typed: str) -> bool:
        """Whether the line was one of the letters that stand for themselves."""
        roles = {key_of(role): role for role in ROLES_TYPED}
        role = roles.get(typed.casefold())
        if role == "leave":
            self.action_leave()
        elif role == "take-back":
            self._take_back()
        elif role == "not-now" and self.draft.code is not None:
            self._leave_plant_clean()
            later = self.draft.code
            self._next_plant()
            self.message = words.say("sheet_entry.said.later", code=later)
        elif role == "rest" and self.stage == "zone":
            self._add(tuple(read_line("", zone) for zone in self.zones[len(self.lines) :]))
        else:
            return False
        return True

    def _after_dot(self, typed: str) -> str | None:
        """The code that stands after a dot: it is one, whatever else it reads as."""
        code = typed.removeprefix(CODE_MARK)
        if code in ("", typed):
            return None
        # a code of its own may begin with one
        return typed if self._is_code(typed) and not self._is_code(code) else code

    def _go_to_plant(self, code: str) -> None:
        self._leave_plant_clean()
        self._open(code)

    def _is_code(self, typed: str) -> bool:
        return self.logbook.collection().plant(typed) is not None

    def _leave_plant_clean(self) -> None:
        """FieldFault where lines of the plant at hand would be lost."""
        if self.lines:
            code = self.draft.code
            raise FieldFault(words.say("sheet_entry.faults.lines-first", code=code))

    # from plant to plant

    def _open(self, code: str, lines: tuple[ZoneLine, ...] = ()) -> None:
        """Bring a plant to hand. Its lines hold only where they fit its zones."""
        zones = zones_on(self.logbook, code, self.draft.day)
        record = record_of(self.logbook, code)
        if tuple(line.zone for line in lines) != tuple(z.zone for z in zones[: len(lines)]):
            lines = ()
        self.zones, self.plant = zones, header_of(record)
        self._keep(replace(self.draft, code=record.plant.code, lines=lines))
        self._goes_to("zone" if len(lines) < len(zones) else "write")

    def _next_plant(self) -> None:
        code = self.draft.next_code()
        if code is not None:
            self._open(code)
            return
        self.plant, self.zones = None, ()
        self._keep(replace(self.draft, code=None, lines=()))
        self._goes_to("code")
        if self.draft.order:
            self.message = words.say("sheet_entry.said.all-in")

    def _go_on(self) -> None:
        if self.draft.code is None:
            self._next_plant()
            return
        try:
            self._open(self.draft.code, self.draft.lines)
        except RoundsError:
            # it is gone meanwhile, or came later than the sheet says: the next one
            self._next_plant()
            raise

    def _add(self, lines: tuple[ZoneLine, ...]) -> None:
        code = self.draft.code or ""
        for line in lines:
            check_line(self.logbook, code, self.draft.day, line)
        self._keep(replace(self.draft, lines=(*self.lines, *lines)))
        if len(self.lines) < len(self.zones):
            self._goes_to("zone")
        elif all(line.outcome == "skipped" for line in self.lines):
            self._next_plant()
            self.message = words.say("sheet_entry.said.nothing", code=code)
        else:
            self._goes_to("write")

    def _write(self) -> None:
        """The lines of the plant at hand, in one go."""
        draft = self.draft
        code = draft.code or ""
        moment = moment_of(self.logbook, draft.day, draft.who)
        self.draft = enter_plant(self.logbook, moment, draft)
        is_alone = any(line.found for line in draft.lines) and not self._is_apart(code)
        self._next_plant()
        said = "alone" if is_alone else "kept"
        what = lines_text(draft.lines)
        self.message = words.say(f"sheet_entry.said.{said}", code=code, what=what)

    def _is_apart(self, code: str) -> bool:
        plant = self.logbook.collection().plant(code)
        return plant is not None and plant.quarantine(self.logbook.clock.today()) is not None

    def _take_back(self) -> None:
        """The newest line; of a plant that is written, its looks are taken back with it."""
        if not self.lines and not self.draft.kept:
            raise FieldFault(words.say("sheet_entry.said.no-back"))
        if self.lines:
            zone = words.say(f"zones.{self.lines[-1].zone}.name")
            self._keep(replace(self.draft, lines=self.lines[:-1]))
            self._goes_to("zone")
            self.message = words.say("sheet_entry.said.line-back", zone=zone)
            return
        moment = moment_of(self.logbook, self.draft.day, self.draft.who)
        self.draft = take_back_plant(self.logbook, moment, self.draft)
        code = self.draft.code or ""
        self._open(code, self.lines)
        self.message = words.say("sheet_entry.said.plant-back", code=code)

    def _keep(self, draft: SheetDraft) -> None:
        self.draft = draft
        is_done = draft.code is None and not draft.kept
        keep_draft(self.logbook, None if is_done else draft)

    def _goes_to(self, stage: Stage) -> None:
        self.stage = stage
        self.line = None if stage in QUESTIONS else TypedLine()

    # what is shown

    def _view(self) -> EntryView:
        draft, today = self.draft, self.logbook.clock.today()
        who = words.say("sheet_entry.who", who=draft.who) if draft.who else ""
        return EntryView(
            day=calendar_day(draft.day, today),
            who=who or words.say("sheet_entry.who-unknown"),
            plant=None if self.stage == "resume" else self.plant,
            sentence=self._sentence(),
            lines=self._shown_lines(),
            mark=self._mark(),
            typed=self.line.text if self.line is not None else "",
            message=self.message,
            hint=self._hint(today),
            question=self._question(today),
            is_zone=self.stage == "zone",
            takes_leave=self.stage in ("day", "code"),
        )

    def _sentence(self) -> str:
        draft = self.draft
        if self.stage in (*HEAD, "resume"):
            return words.say("sheet_entry.lead")
        if not draft.order:
            return words.say("sheet_entry.no-plan")
        return words.say("sheet_entry.progress", kept=self._done(), all=len(draft.order))

    def _done(self) -> int:
        return sum(1 for kept in self.draft.kept if kept.code in self.draft.order)

    def _shown_lines(self) -> tuple[EntryLine, ...]:
        if self.stage == "resume":
            return ()
        if self.stage in HEAD:
            day = TODAY if self.stage == "day" else day_month(self.draft.day, self._today)
            entered = (day, self.draft.who or "")
            asked = zip(HEAD, entered, strict=True)
            return tuple(
                EntryLine(words.say(f"sheet_entry.ask.{of}"), "", at, at) for of, at in asked
            )
        if self.stage == "code":
            return (EntryLine(words.say("sheet_entry.ask.code"), "", "", ""),)
        waiting = [("", "")] * (len(self.zones) - len(self.lines))
        texts = [*((line_text(line), line_letters(line)) for line in self.lines), *waiting]
        return tuple(
            EntryLine(
                words.say(f"zones.{zone.zone}.name"), minutes_seconds(zone.planned_seconds), *text
            )
            for zone, text in zip(self.zones, texts, strict=True)
        )

    @property
    def _today(self) -> date:
        return self.logbook.clock.today()

    def _mark(self) -> int | None:
        if self.stage in QUESTIONS:
            return None
        return {"day": 0, "who": 1, "code": 0}.get(self.stage, len(self.lines))

    def _hint(self, today: date) -> str:
        if self.stage == "day":
            yesterday = calendar_day(today - timedelta(days=1), today)
            return words.say("sheet_entry.hint.day", day=yesterday)
        if self.stage == "who" and self.draft.who:
            return words.say("sheet_entry.hint.who", who=self.draft.who)
        if self.stage == "who":
            return words.say("sheet_entry.hint.who-none")
        if self.stage == "code":
            return words.say("sheet_entry.no-plant")
        narrow = "" if self.app.size.width >= 80 else "-narrow"
        roles = ("removed", "killed", "left", "doubtful", "adult", "young", "eggs")
        return words.say(
            f"sheet_entry.hint.letters{narrow}", **{role: key_of(role) for role in roles}
        )

    def _question(self, today: date) -> Question | None:
        draft = self.draft
        day = day_month(draft.day, today)
        if self.stage == "resume":
            who = words.say("sheet_entry.who", who=draft.who) if draft.who else ""
            text = words.say(
                "sheet_entry.ask.resume",
                day=day,
                who=who or words.say("sheet_entry.who-unknown"),
                kept=self._done(),
                all=len(draft.order),
            )
            return question_of("resume", text, ("yes", "no", "leave"))
        if self.stage == "write":
            text = words.say(
                "sheet_entry.ask.write", code=draft.code, day=day, what=lines_text(self.lines)
            )
            return question_of("write", text, ("yes", "no", "leave"))
        return None
