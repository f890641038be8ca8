"""Looks from a sheet, typed in plant by plant: enter alone is a zone with nothing."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import ClassVar

from textual.binding import BindingType

from rounds import words
from rounds.errors import RoundsError
from rounds.service.exchange.sheet_entry import (
    SheetDraft,
    ZoneLine,
    check_line,
    enter_plant,
    keep_draft,
    order_of,
    take_back_plant,
    zones_on,
)
from rounds.service.inference.day import record_of
from rounds.service.logbook.named import find_plant
from rounds.service.plant.zones import PlannedZone
from rounds.tui.forms.fields import FieldFault
from rounds.tui.forms.sheet_line import (
    CODE_MARK,
    lines_text,
    read_line,
    read_zone,
    zone_name,
)
from rounds.tui.forms.sheet_whole import (
    fits,
    is_of_a_zone,
    placed,
    read_more,
    read_whole,
    told_text,
)
from rounds.tui.forms.values import TODAY, day_of, moment_of
from rounds.tui.forms.wording import header_of
from rounds.tui.keys import bindings, key_of
from rounds.tui.screens.form import sentence_of
from rounds.tui.screens.sheet_entry_shown import SheetEntryShown

ROLES_TYPED = ("leave", "take-back", "not-now", "rest")
"""Keys that are typed as a line of their own."""


class SheetEntryScreen(SheetEntryShown):
    """Letters are text; a plant is written at the yes after its last zone."""

    BINDINGS: ClassVar[list[BindingType]] = bindings(
        "sheet-entry", [("leave", "leave"), ("yes", "yes"), ("no", "no")]
    )

    def line_taken(self, given: str) -> None:
        """Take a line; one that cannot be used stays to be put right."""
        self._take(given)
        self.paint()

    def action_leave(self) -> None:
        """Back to the menu; a sheet that is not all in is kept for going on."""
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
            "where": self._take_where,
            "more": self._take_zone,
        }
        self._tried(lambda: takes[self.stage](typed), typed)

    def _tried(self, does: Callable[[], None], typed: str = "") -> None:
        self.message = ""
        try:
            does()
        except (FieldFault, RoundsError) as fault:
            self.message = sentence_of(fault)
            if self.line is not None:
                # a letter that was refused does not stay in the line
                self.begin_line(typed if len(typed) > 1 else "")

    def _take_day(self, typed: str) -> None:
        if typed.casefold() == key_of("leave"):
            self.app.pop_screen()
            return
        self.draft = replace(self.draft, day=day_of(self.logbook, typed or TODAY, "day"))
        self._goes_to("who")

    def _take_who(self, typed: str) -> None:
        if typed.casefold() == key_of("leave"):
            self.app.pop_screen()
            return
        order = order_of(self.logbook, self.draft.day)
        who = typed or self.draft.who
        self.draft = replace(
            self.draft, who=who, order=order.codes, whole=order.whole, planned=order.planned
        )
        self._next_plant()

    def _take_code(self, typed: str) -> None:
        if self._takes_letter(typed):
            return
        if typed:
            self._open(self._after_dot(typed) or typed)

    def _take_zone(self, typed: str) -> None:
        if self._takes_letter(typed) or self._takes_mode(typed):
            return
        named = self._after_dot(typed)
        if named is not None:
            self._go_to_plant(named)
            return
        try:
            self._take_line(typed)
        except FieldFault:
            if not self._is_code(typed):
                raise
            self._go_to_plant(typed)
            return
        if self._is_code(typed):
            said = words.say("sheet_entry.said.no-code", typed=typed, dot=CODE_MARK)
            self.message = self.message or said

    def _take_line(self, typed: str) -> None:
        """A zone; or all of a plant in one go, and what more was found on it."""
        planned = self.whole_seconds
        if planned is None:
            self._add((read_line(typed, self.zones[len(self.lines)]),))
        elif self.lines and not typed:
            self._goes_to("write")
        else:
            line = read_more(typed) if self.lines else read_whole(typed, planned)
            if is_of_a_zone(line):
                check_line(self.logbook, self.draft.code or "", self.draft.day, self._at_any(line))
                self._keep(replace(self.draft, found=line))
                self._goes_to("where")
            else:
                self._add((line,))

    def _take_where(self, typed: str) -> None:
        """At which zone something was found on a plant looked at in one go."""
        if self._takes_letter(typed) or self.found is None:
            return
        self._add(placed(self.lines, self.found, read_zone(typed, self.zones)))

    def _at_any(self, line: ZoneLine) -> ZoneLine:
        """The line as one of some zone, to check its counts, which any zone allows alike."""
        return replace(line, zone=self.zones[0].zone, outcome="looked")

    def _takes_mode(self, typed: str) -> bool:
        """Have the plant at hand go in whole, or zone by zone; whether the line said so."""
        modes = words.section("sheet_entry.mode")
        if typed.casefold() not in modes.values():
            return False
        code, whole = self.draft.code or "", dict(self.draft.whole)
        goes_whole = typed.casefold() == modes["whole"]
        if goes_whole != (code in whole):
            self._leave_plant_clean()
            if goes_whole:
                whole[code] = 0
            else:
                del whole[code]
            self._keep(replace(self.draft, whole=whole))
            self._open(code)
        self._goes_on()
        said = "in-one-go" if goes_whole else "by-zone"
        self.message = words.say(f"sheet_entry.said.{said}", code=code)
        return True

    def _takes_letter(self, typed: str) -> bool:
        """Do what a line of one letter asks for; whether it was such a line."""
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
        elif role == "rest" and self.stage in ("zone", "more"):
            self._take_rest()
        else:
            return False
        return True

    def _take_rest(self) -> None:
        if self.whole_seconds is not None:
            self._take_line("")
        else:
            self._add(tuple(read_line("", zone) for zone in self.zones[len(self.lines) :]))

    def _after_dot(self, typed: str) -> str | None:
        """The text after a leading dot, always read as a code; None without one."""
        code = typed.removeprefix(CODE_MARK)
        if code in ("", typed):
            return None
        # a code may itself begin with a dot
        return typed if self._is_code(typed) and not self._is_code(code) else code

    def _go_to_plant(self, code: str) -> None:
        self._leave_plant_clean()
        self._open(code)

    def _is_code(self, typed: str) -> bool:
        return self.logbook.collection().plant(typed) is not None

    def _leave_plant_clean(self) -> None:
        """FieldFault where lines of the plant at hand would be lost."""
        if self.lines or self.found is not None:
            code = self.draft.code
            raise FieldFault(words.say("sheet_entry.faults.lines-first", code=code))

    # from plant to plant

    def _open(self, code: str, lines: tuple[ZoneLine, ...] = ()) -> None:
        """Bring a plant to hand. Its lines hold only where they fit its zones."""
        plant, day = find_plant(self.logbook, code), self.draft.day
        planned = self.draft.planned.get(plant.code)
        is_whole = plant.code in self.draft.whole
        zones = zones_on(self.logbook, code, day, planned, whole=is_whole)
        if not self._fit(plant.code, lines, zones):
            lines = ()
        # as it stood on the day of the sheet
        self.zones, self.plant = zones, header_of(record_of(self.logbook, plant, day))
        self._keep(replace(self.draft, code=plant.code, lines=lines, found=None))
        self._goes_on()

    def _fit(self, code: str, lines: tuple[ZoneLine, ...], zones: Sequence[PlannedZone]) -> bool:
        if code in self.draft.whole:
            return fits(lines, zones)
        return [line.zone for line in lines] == [zone.zone for zone in zones[: len(lines)]]

    def _goes_on(self) -> None:
        """Go on to what is typed next of the plant at hand."""
        if self.found is not None:
            self._keep(replace(self.draft, found=None))
        if self.whole_seconds is not None:
            self._goes_to("more" if self.lines else "zone")
        else:
            self._goes_to("zone" if len(self.lines) < len(self.zones) else "write")

    def _next_plant(self) -> None:
        code = self.draft.next_code()
        if code is not None:
            self._open(code)
            return
        self.plant, self.zones = None, ()
        self._keep(replace(self.draft, code=None, lines=(), found=None))
        self._goes_to("code")
        if self.draft.order:
            self.message = words.say("sheet_entry.said.all-in")

    def _go_on(self) -> None:
        if self.draft.code is None:
            self._next_plant()
            return
        found = self.draft.found
        try:
            self._open(self.draft.code, self.draft.lines)
            if found is not None and self.whole_seconds is not None:
                self._keep(replace(self.draft, found=found))
                self._goes_to("where")
        except RoundsError:
            # it is gone meanwhile, or came later than the sheet says: the next one
            self._next_plant()
            raise

    def _add(self, lines: tuple[ZoneLine, ...]) -> None:
        code = self.draft.code or ""
        for line in lines:
            check_line(self.logbook, code, self.draft.day, line)
        self._keep(replace(self.draft, lines=(*self.lines, *lines), found=None))
        is_whole = self.whole_seconds is not None
        if len(self.lines) < len(self.zones) and not is_whole:
            self._goes_to("zone")
        elif all(line.outcome == "skipped" for line in self.lines):
            self._next_plant()
            self.message = words.say("sheet_entry.said.nothing", code=code)
        elif is_whole and len(self.lines) > 1:
            self._goes_on()
        else:
            self._goes_to("write")

    def _write(self) -> None:
        """Write the lines of the plant at hand, in one transaction."""
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
        """Take back the newest line; of a plant that is written, its looks with it."""
        if self.found is not None:
            what = told_text(self.found)
            self._goes_on()
            self.message = words.say("sheet_entry.said.count-back", what=what)
            return
        if not self.lines and not self.draft.kept:
            raise FieldFault(words.say("sheet_entry.said.no-back"))
        if self.lines:
            zone = zone_name(self.lines[-1].zone)
            self._keep(replace(self.draft, lines=self.lines[:-1]))
            self._goes_on()
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
