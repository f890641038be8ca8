"""A plant looked at in one go, as it is typed from a sheet: one line, and where a find was."""

from collections.abc import Sequence
from dataclasses import replace

from rounds import words
from rounds.service.entries.looks import WHOLE
from rounds.service.exchange.sheet_entry import ZoneLine
from rounds.service.plant.zones import PlannedZone
from rounds.tui.forms.fields import FieldFault
from rounds.tui.forms.sheet_line import (
    found_letters,
    found_text,
    line_letters,
    line_text,
    read_line,
    zone_name,
)
from rounds.tui.keys import key_of
from rounds.tui.pages.sheet_entry import EntryLine
from rounds.words.forms import minutes_seconds

Lines = tuple[ZoneLine, ...]


def read_whole(typed: str, planned_seconds: int) -> ZoneLine:
    """What was typed for all of it; nothing at all is a look of the time planned, nothing found.

    `hidden` means that one of its zones was not seen. FieldFault where it cannot be read, or
    nobody has said how long it took.
    """
    *before, last = typed.split() or [""]
    is_hidden = last.casefold() == key_of("hidden")
    line = read_line(" ".join(before) if is_hidden else typed, PlannedZone(WHOLE, planned_seconds))
    if line.outcome != "looked":
        return line
    if is_hidden and line.counted:
        raise FieldFault(words.say("sheet_entry.faults.unread", given=typed))
    if not line.seconds:
        raise FieldFault(words.say("sheet_entry.faults.whole-seconds"))
    return replace(line, outcome="hidden") if is_hidden else line


def read_more(typed: str) -> ZoneLine:
    """What else is said of a zone of it: its seconds stand already. FieldFault otherwise."""
    line = read_line(typed, PlannedZone(WHOLE, 0))
    is_told = line.outcome == "hidden" or (line.outcome == "looked" and line.counted)
    if not is_told or line.seconds:
        raise FieldFault(words.say("sheet_entry.faults.no-more", given=typed))
    return line


def is_of_a_zone(line: ZoneLine) -> bool:
    """Whether the line has a find or something hidden, whose zone must be said next."""
    return bool(line.counted) or line.outcome == "hidden"


def placed(lines: Lines, told: ZoneLine, zone: str) -> Lines:
    """The lines to add once the zone of what was told is said.

    FieldFault where the zone would be both seen and hidden.
    """
    of_zone = [line for line in lines[1:] if line.zone == zone]
    if any(line.outcome != told.outcome or line.outcome == "hidden" for line in of_zone):
        raise FieldFault(words.say("sheet_entry.faults.zone-told", zone=zone_name(zone)))
    at_zone = ZoneLine(zone, 0.0, told.counted, told.outcome)
    whole = replace(told, counted=(), outcome="looked")
    return (at_zone,) if lines else (whole, at_zone)


def told_text(line: ZoneLine) -> str:
    """What is said of a zone: 2 off, 1 doubtful; could not see."""
    return line_text(line) if line.outcome == "hidden" else found_text(line)


def told_letters(line: ZoneLine) -> str:
    """The same where there is no room for words."""
    return line_text(line) if line.outcome == "hidden" else found_letters(line)


def fits(lines: Lines, zones: Sequence[PlannedZone]) -> bool:
    """Whether kept lines are of a plant looked at in one go, and of zones it has."""
    own = {zone.zone for zone in zones}
    return not lines or (lines[0].zone == WHOLE and all(line.zone in own for line in lines[1:]))


def whole_lines(lines: Lines, planned_seconds: int) -> list[EntryLine]:
    """The plant, and each zone of which something was said."""
    planned = minutes_seconds(planned_seconds) if planned_seconds else ""
    first = ("", "")
    if lines:
        seconds = minutes_seconds(lines[0].seconds)
        first = (seconds, seconds) if lines[1:] else (line_text(lines[0]), line_letters(lines[0]))
    return [
        EntryLine(zone_name(WHOLE), planned, *first),
        *(
            EntryLine(zone_name(line.zone), "", told_text(line), told_letters(line))
            for line in lines[1:]
        ),
    ]


def where_lines(
    lines: Lines, found: ZoneLine, zones: Sequence[PlannedZone], planned_seconds: int
) -> list[EntryLine]:
    """The plant, and all its zones with their numbers; the last line asks for one of these."""
    seconds = minutes_seconds(lines[0].seconds if lines else found.seconds)
    numbered = []
    for number, zone in enumerate(zones, 1):
        here = [line for line in lines[1:] if line.zone == zone.zone]
        label = words.say("sheet.zone-number", number=number, zone=zone_name(zone.zone))
        text, short = (", ".join(map(said, here)) for said in (told_text, told_letters))
        numbered.append(EntryLine(label, "", text, short))
    planned = minutes_seconds(planned_seconds) if planned_seconds else ""
    return [
        EntryLine(zone_name(WHOLE), planned, seconds, seconds),
        *numbered,
        asked("where"),
    ]


def asked(code: str) -> EntryLine:
    """A line that asks for something and holds nothing yet."""
    return EntryLine(words.say(f"sheet_entry.ask.{code}"), "", "", "")
