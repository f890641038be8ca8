"""Courses of treatment from a file: each row one begun, a step of one done, or one stopped."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import ClassVar

from rounds.core.log.courses import BEGUN, DONE, NO_LABEL, STOPPED, Label
from rounds.service.courses.templates import find_template
from rounds.service.courses.written import Asked, treat
from rounds.service.exchange import cells
from rounds.service.exchange.csv_file import CsvFile, CsvRow, Record
from rounds.service.exchange.rows import RowsOfFile
from rounds.service.exchange.trouble import Troubles
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import Moment
from rounds.service.logbook.named import find_plant
from rounds.service.logbook.once import once
from rounds.store import desk
from rounds.store.held import CourseContent, held_courses


@dataclass(frozen=True, slots=True)
class Row:
    """What is entered about a course at one plant."""

    line: int
    moment: Moment
    code: str
    asked: Asked
    content: CourseContent
    """by which it is told whether the logbook holds it"""
    key: str | None

    @property
    def said(self) -> Mapping[str, object]:
        """All of it, for rows of one key are to say the same."""
        return {"command": "import", "course": [self.content, self.moment.at_ms, self.moment.who]}


class CoursesOfFile(RowsOfFile):
    """The rows of a file of courses; they are few, and are kept as they are taken."""

    columns: ClassVar[Mapping[str, str]] = {"code": "plant", "stop": "stopped"}

    def __init__(self, logbook: Logbook, moment: Moment, file: CsvFile) -> None:
        self._logbook = logbook
        self._who = moment.who
        self._file = file
        self._rows: list[Row] = []

    def take(self, record: Record) -> None:
        """Keep a row. BadInput where it cannot be read, or names what is not there."""
        self._rows.append(_read(self._logbook, self._file.row(record), self._who))

    def write(self, troubles: Troubles) -> int:
        """Write in the order of the file what the logbook does not hold yet; how many rows."""
        known = self._known()
        written = 0
        for row in self._rows:
            if row.line not in known:
                with troubles.of_line(row.line):
                    written += self._write(row)
            if troubles.enough:
                break
        troubles.raise_any()
        return written

    def _known(self) -> set[int]:
        """The lines of the rows without key that are held, as many as there are identical ones.

        What rows with a known key stand for is theirs. Rows that name their step come first, as
        one that names none is any step done on its day.
        """
        held = held_courses(self._logbook.file)
        for row in self._rows:
            if row.key and desk.answer_to(self._logbook.file, row.key):
                _count_down(held, row.content)
        unkeyed = [row for row in self._rows if not row.key]
        ordered = sorted(unkeyed, key=lambda row: row.content.step is None)
        return {row.line for row in ordered if _count_down(held, row.content)}

    def _write(self, row: Row) -> bool:
        """Whether it is written now; a row of a known key was before."""

        def write() -> dict[str, int]:
            found = treat(self._logbook, row.moment, [row.code], row.asked)
            return {plant.code: course_id for plant, course_id in found}

        _, known = once(self._logbook, row.key, row.said, write)
        return not known


def _count_down(held: Counter[CourseContent], content: CourseContent) -> bool:
    """Whether such an entry is held that no other row stands for; it is this one's then."""
    alike = [content]
    if content.what == DONE and content.step is None:
        alike = [each for each in held if each._replace(step=None) == content]
    found = next((each for each in alike if held[each] > 0), None)
    if found is None:
        return False
    held[found] -= 1
    return True


def _read(logbook: Logbook, row: CsvRow, who: str | None) -> Row:
    cells.check_text(row)
    plant = find_plant(logbook, row.needed("plant"))
    course = find_template(logbook, row.needed("course")).code
    moment = cells.moment(logbook.clock, row.needed("at"), "at")
    step = _whole(row, "step")
    asked = Asked(
        course,
        _label(row),
        done=bool(cells.flag(row, "done")),
        step=None if step is None else str(step),
        stop=bool(cells.flag(row, "stopped")),
    )
    what = STOPPED if asked.stop else DONE if asked.done else BEGUN
    label = asked.label if what == BEGUN else NO_LABEL
    return Row(
        line=row.line,
        moment=replace(moment, who=row.cell("who") or who),
        code=plant.code,
        asked=asked,
        content=CourseContent(plant.id, course, moment.day, what, step, label),
        key=row.cell("key"),
    )


def _label(row: CsvRow) -> Label:
    return Label(
        product=row.cell("product"),
        interval_days=_whole(row, "interval_days"),
        most_uses=_whole(row, "most_uses"),
        reentry_hours=cells.number(row, "reentry_hours"),
        gear=row.cell("gear"),
        kills=cells.number(row, "kills"),
    )


def _whole(row: CsvRow, column: str) -> int | None:
    return cells.count(row, column) if row.cell(column) else None
