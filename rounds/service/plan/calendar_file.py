"""The agenda as a calendar file: iCalendar, RFC 5545, with the updates of RFC 7986."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from rounds import words
from rounds.service.plan.agenda import AgendaLine

MADE_BY = "-//rounds//agenda//EN"
"""The PRODID of each file, by which it is known as one of ours."""

DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Edition:
    """The state of the logbook a file is made from."""

    sequence: int
    """how many entries there are: never less than in an earlier file of the same logbook"""
    made_at: datetime
    """UTC"""


def calendar_bytes(lines: Sequence[AgendaLine], uids: Sequence[str], edition: Edition) -> bytes:
    """Each line as an event that lasts all of its day, wherever the calendar is read.

    A thing keeps its UID whenever the file is made; SEQUENCE and DTSTAMP say which edition is the
    later one, so that a calendar replaces it and adds nothing twice (RFC 5546, 2.1.5).

    Args:
        lines: of the agenda.
        uids: of these.
        edition: the state of the logbook.
    """
    # slow to import, and wanted by one option alone
    from icalendar import Calendar, Event

    calendar = Calendar()
    calendar.add("prodid", MADE_BY)
    calendar.add("version", "2.0")
    for line, uid in zip(lines, uids, strict=True):
        event = Event()
        event.add("uid", uid)
        event.add("sequence", edition.sequence)
        event.add("dtstamp", edition.made_at.replace(microsecond=0))
        # days without a time are the same in every zone, and have no hour that a clock may skip
        event.add("dtstart", line.on)
        event.add("dtend", line.on + DAY)
        event.add("transp", "TRANSPARENT")
        event.add("summary", _summary(line))
        if line.why or line.means:
            event.add("description", line.why or line.means)
        calendar.add_component(event)
    return bytes(calendar.to_ical())


def _summary(line: AgendaLine) -> str:
    if line.status is not None:
        return words.say(
            "agenda.event", code=line.status.code, name=line.status.name, what=line.text
        )
    if line.code is not None:
        return words.say("agenda.event-of-code", code=line.code, what=line.text)
    return line.text
