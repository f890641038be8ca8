"""plant: all about one plant."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

import click

from rounds import words
from rounds.cli.courses import course_fields, course_lines, option_fields, option_lines
from rounds.cli.criteria import criteria_lines
from rounds.cli.lines import table
from rounds.cli.options import argument, command, reading
from rounds.cli.output import Answer, plain
from rounds.cli.plant_extras import done_rows, sign_rows
from rounds.cli.plant_growth import brood_fields, false_alarm_looks, growth_lines
from rounds.cli.plant_history import history_fields
from rounds.cli.plant_lines import left_line, plant_line, why_lines
from rounds.cli.status_fields import status_fields
from rounds.core.parameters import AlarmRules
from rounds.service.courses.advice import Option
from rounds.service.courses.efficacy import Efficacy
from rounds.service.courses.told import CourseTold, courses_told
from rounds.service.inference.day import record_of
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.changed_text import changed_text
from rounds.service.logbook.entry_ids import read_entry_name
from rounds.service.logbook.named import find_plant
from rounds.service.plant.events import LookMade, TallyEntered
from rounds.service.plant.history import PlantHistory, history_of
from rounds.service.plant.origins import Cleared, Heat, cleared_before, heat_of, heat_text
from rounds.service.plant.status import PlantStatus, status_of, with_brood, with_why
from rounds.words.forms import day_month, minutes_seconds
from rounds.words.pests import pest_name


@command("plant")
@argument("CODE")
@reading
def plant(logbook: Logbook, on: date, code: str) -> Answer:
    """The page of a plant."""
    record = record_of(logbook, find_plant(logbook, code), on)
    history = history_of(record)
    told = courses_told(record)
    status, cleared = (
        with_brood(record, with_why(record, status_of(record))),
        cleared_before(record),
    )
    page = PlantPage(status, history, on, heat_of(record), cleared, told, record.table.alarm)
    fields = {
        "plant": status_fields(page.status),
        **history_fields(history),
        "heat": plain(page.heat),
        "cleared_before": plain(page.cleared),
        "courses": [course_fields(course, page.works(course)) for course in page.courses],
        "what_next": [option_fields(option) for option in page.options],
        "next_brood": brood_fields(status, on),
        "false_alarm_looks": false_alarm_looks(record.table.alarm),
    }
    return Answer("plant", on, fields, page.lines)


COMMANDS: tuple[click.Command, ...] = (plant,)


@dataclass(frozen=True, slots=True)
class PlantPage:
    """A plant as a person reads it."""

    status: PlantStatus
    history: PlantHistory
    on: date
    heat: Heat | None
    cleared: Cleared | None
    courses: tuple[CourseTold, ...]
    """of treatment"""
    alarm: AlarmRules
    """when finds rise beyond chance"""

    @property
    def options(self) -> tuple[Option, ...]:
        """What to do next."""
        return self.status.why.options if self.status.why else ()

    def works(self, course: CourseTold) -> Efficacy | None:
        """What a course achieved."""
        number = read_entry_name(course.id).entry_id
        return self.status.why.works.get(number) if self.status.why else None

    def lines(self) -> Iterator[str]:
        """All lines of the page, from the standing to the moves."""
        yield plant_line(self.status)
        yield from self._about()
        if self.status.release is not None:
            yield ""
            yield from criteria_lines(self.status, self.status.release)
        if self.status.why is not None:
            yield ""
            yield from why_lines(self.status)
        if self.options:
            yield from ("", words.say("courses.cli.next"))
            yield from option_lines(self.options, self.on)
        for course in self.courses:
            yield ""
            yield from course_lines(course, self.on)
            works = self.works(course)
            if works is not None:
                yield from filter(None, [works.text, works.expected_text])
        for title, rows, right in (
            ("zones", self._zone_rows(), (1, 2)),
            ("looks", self._look_rows(), (2, 3, 4)),
            ("periods", self._period_rows(), ()),
            ("moves", self._move_rows(), ()),
        ):
            yield from ("", words.say(f"cli.plant.{title}"))
            yield from table(rows, indent=2, right=right)
        for what, found in (
            ("signs", sign_rows(self.history.events, self.on)),
            ("done", done_rows(self.history.events, self.on)),
        ):
            if found:
                yield from ("", words.say(f"done.cli.{what}"))
                yield from table(found, indent=2)

    def _about(self) -> Iterator[str]:
        status = self.status
        yield words.say("cli.plant.form", form=status.form, size=status.size)
        yield words.say("cli.plant.pests", pests=", ".join(map(pest_name, status.pests)))
        found = status.last_find_on
        if found is None:
            yield words.say("cli.plant.never-found")
        else:
            yield words.say("cli.plant.last-find", day=day_month(found, self.on))
        if self.cleared is not None:
            yield self.cleared.text
        if status.left is not None:
            yield left_line(status, status.left)
        yield from growth_lines(status, self.alarm)
        if self.heat is not None:
            yield heat_text(self.heat, self.on)
        if status.changed_values:
            yield changed_text(status.changed_values)

    def _zone_rows(self) -> Iterator[list[str]]:
        yield _titles("zone", "weight", "reference", "last-look")
        for zone in self.history.zones:
            seen = zone.last_look_on
            yield [
                zone.zone,
                f"{zone.weight:.2f}",
                minutes_seconds(zone.reference_seconds),
                words.say("cli.plant.never") if seen is None else day_month(seen, self.on),
            ]

    def _look_rows(self) -> Iterator[list[str]]:
        if not self.history.events.looks:
            yield [words.say("cli.plant.no-looks")]
            return
        yield _titles("day", "zone", "seconds", "found", "doubtful", "state", "entry")
        for look in self.history.events.looks:
            yield [
                day_month(look.day, self.on),
                look.zone,
                minutes_seconds(look.seconds),
                str(look.found),
                str(look.counted("doubtful")),
                _state(look),
                look.id,
            ]
            for tally in look.tallies:
                yield ["", "", "", "", "", _tally_state(tally), tally.id]

    def _period_rows(self) -> Iterator[list[str]]:
        yield _titles("from", "until", "entry", "how")
        for time in self.history.events.quarantines:
            end = time.end
            how = (end.reason if end else None) or ""
            yield [
                day_month(time.day, self.on),
                day_month(end.day, self.on) if end else words.say("cli.plant.still"),
                end.id if end else time.id,
                words.say("cli.plant.early", reason=how) if end and end.early else how,
            ]

    def _move_rows(self) -> Iterator[list[str]]:
        yield _titles("from", "place", "spot", "entry")
        for move in self.history.events.moves:
            yield [day_month(move.day, self.on), move.place, move.spot or "", move.id]


def _titles(*codes: str) -> list[str]:
    return [words.say(f"cli.columns.{code}") for code in codes]


def _state(look: LookMade) -> str:
    if look.withdrawn:
        return words.say("cli.plant.withdrawn")
    if look.unpotted:
        return words.say("cli.plant.unpotted")
    return words.say(f"cli.plant.outcomes.{look.outcome}")


def _tally_state(tally: TallyEntered) -> str:
    if tally.withdrawn:
        what = words.say("cli.plant.withdrawn")
    elif tally.settled_as is not None:
        verdict = words.say(f"plant.state.{tally.settled_as}")
        what = words.say("cli.plant.settled", kind=_kind(tally), verdict=verdict)
    else:
        what = _kind(tally)
    stage = f", {tally.stage}" if tally.stage else ""
    pest = "" if tally.is_of_first_pest else f", {pest_name(tally.pest)}"
    return f"{tally.count} {what}{stage}{pest}"


def _kind(tally: TallyEntered) -> str:
    return words.say(f"round.kinds.{tally.kind}")
