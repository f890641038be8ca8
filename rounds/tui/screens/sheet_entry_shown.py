"""How far the entering of a sheet has come, and how that is shown."""

from collections.abc import Iterable
from datetime import date, timedelta
from typing import Literal

from textual.widget import Widget

from rounds import words
from rounds.service.exchange.sheet_entry import SheetDraft, ZoneLine, draft_kept
from rounds.service.logbook.book import Logbook
from rounds.service.plant.zones import PlannedZone
from rounds.service.round.view import Question
from rounds.tui.forms.fields import Header
from rounds.tui.forms.sheet_line import line_letters, line_text, lines_text
from rounds.tui.forms.sheet_whole import asked, told_text, where_lines, whole_lines
from rounds.tui.forms.values import TODAY
from rounds.tui.keys import key_of
from rounds.tui.page import Page
from rounds.tui.pages.sheet_entry import (
    EntryLine,
    EntryView,
    entry_told,
    kept_of,
    put_entry_keys,
    question_of,
)
from rounds.tui.pages.told import Told
from rounds.tui.screens.frame import Frame
from rounds.tui.widgets.entries import Entered, Entries
from rounds.words.forms import calendar_day, day_month, minutes_seconds

Stage = Literal["resume", "day", "who", "code", "zone", "where", "more", "write"]
"""Asked whether to go on; typed: day, who, a plant's code, a zone; of a plant looked at in one go
at which zone something was found, and what more; asked whether to write."""

QUESTIONS = ("resume", "write")
HEAD = ("day", "who")
LETTERS = ("removed", "killed", "left", "doubtful", "adult", "young", "eggs")


class SheetEntryShown(Frame, sheet="sheet_entry"):
    """What the screen of a sheet knows, without what is done to it."""

    TYPES_IN_BODY = True

    def __init__(self, logbook: Logbook, who: str | None) -> None:
        super().__init__()
        self._entries = Entries(("label", "planned", "value"), self._line, self.paint)
        self.logbook = logbook
        self.plant: Header | None = None
        self.zones: tuple[PlannedZone, ...] = ()
        kept = draft_kept(logbook)
        self.draft = kept or SheetDraft(logbook.clock.today(), who, (), None)
        self._goes_to("day" if kept is None else "resume")
        self._who = who

    @property
    def whole_seconds(self) -> int | None:
        """Planned for the plant at hand, where the sheet has it as one line."""
        return self.draft.whole.get(self.draft.code or "")

    @property
    def lines(self) -> tuple[ZoneLine, ...]:
        """The lines of the plant at hand, not written yet."""
        return self.draft.lines

    @property
    def found(self) -> ZoneLine | None:
        """What was found on the plant at hand, while it is asked at which zone."""
        return self.draft.found if self.stage == "where" else None

    def told(self) -> Told:
        """The sheet as far as it is typed in."""
        return entry_told(self._view(), is_wide=self.is_wide, is_roomy=self.is_roomy)

    def body(self) -> Iterable[Widget]:
        """The lines of the plant at hand."""
        yield self._entries

    def show_body(self, told: Told, frame: Page) -> None:
        """Show the lines of the plant at hand."""
        view, at = self._view(), self._mark()
        kept = "" if at is None else kept_of(view.lines[at], self.is_wide)
        last = max(0, len(view.lines) - 1)
        self._entries.show(Entered(told.lines, at, kept, last), frame.part(0, 0))

    def put_strip(self, page: Page, told: Told) -> None:
        """Put the keys, on as many rows as what may be typed needs."""
        put_entry_keys(page, self._view())

    def _goes_to(self, stage: Stage) -> None:
        self.stage = stage
        if stage in QUESTIONS:
            self.end_line()
        else:
            self.begin_line()

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
            typed=self.typed or "",
            message=self.said,
            note=self.note,
            hint=self._hint(today, self.is_wide),
            question=self._question(today),
            asks=self._asks(),
            takes_leave=self.stage in ("day", "who", "code"),
        )

    def _asks(self) -> Literal["zone", "whole", "where", "more", "other"]:
        if self.stage == "zone":
            return "zone" if self.whole_seconds is None else "whole"
        return self.stage if self.stage in ("where", "more") else "other"

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
            head = zip(HEAD, entered, strict=True)
            return tuple(
                EntryLine(words.say(f"sheet_entry.ask.{of}"), "", at, at) for of, at in head
            )
        if self.stage == "code":
            return (asked("code"),)
        if self.whole_seconds is not None:
            return self._whole_lines(self.whole_seconds)
        waiting = [("", "")] * (len(self.zones) - len(self.lines))
        texts = [*((line_text(line), line_letters(line)) for line in self.lines), *waiting]
        return tuple(
            EntryLine(
                words.say(f"zones.{zone.zone}.name"), minutes_seconds(zone.planned_seconds), *text
            )
            for zone, text in zip(self.zones, texts, strict=True)
        )

    def _whole_lines(self, planned: int) -> tuple[EntryLine, ...]:
        if self.found is not None:
            return tuple(where_lines(self.lines, self.found, self.zones, planned))
        more = [asked("more")] if self.stage == "more" else []
        return (*whole_lines(self.lines, planned), *more)

    @property
    def _today(self) -> date:
        return self.logbook.clock.today()

    def _mark(self) -> int | None:
        if self.stage in QUESTIONS:
            return None
        at = {"day": 0, "who": 1, "code": 0, "where": len(self.zones) + 1}
        return at.get(self.stage, len(self.lines))

    def _hint(self, today: date, is_wide: bool) -> str:
        if self.stage == "day":
            yesterday = calendar_day(today - timedelta(days=1), today)
            return words.say("sheet_entry.hint.day", day=yesterday)
        if self.stage == "who" and self.draft.who:
            return words.say("sheet_entry.hint.who", who=self.draft.who)
        if self.stage == "who":
            return words.say("sheet_entry.hint.who-none")
        if self.stage == "code":
            return words.say("sheet_entry.no-plant")
        if self.found is not None:
            return words.say("sheet_entry.ask.where-hint", what=told_text(self.found))
        roles = {role: key_of(role) for role in LETTERS}
        letters = words.say(f"sheet_entry.hint.letters{'' if is_wide else '-narrow'}", **roles)
        if not is_wide or self.lines or self.stage != "zone" or self.whole_seconds is not None:
            return letters
        modes = words.section("sheet_entry.mode")
        return f"{letters}; {words.say('sheet_entry.hint.whole', **modes)}"

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
