"""Before leaving: what is looked at first, how long it takes, and what a stand-in looks at."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from rounds import words
from rounds.core.away import Stretch, stretches
from rounds.core.body import ROOTS
from rounds.service.inference.day import records
from rounds.service.inference.together import in_order
from rounds.service.logbook.book import Logbook
from rounds.service.plan.away import ahead
from rounds.service.plan.planning import zones_to_do
from rounds.service.plan.today import Due, Reason, due_today
from rounds.service.plant.record import PlantRecord, found_lately
from rounds.words.forms import day_month

ALSO_DUE = ("set-apart", "clear-around", "doubt")
"""What else is due that is done on the plant before leaving; roots have a day of their own."""


@dataclass(frozen=True, slots=True)
class LeavingLine:
    """One plant to look at before leaving. `seconds` are those of the looks planned for it."""

    record: PlantRecord
    reasons: tuple[Reason, ...]
    seconds: float
    stand_in: bool


@dataclass(frozen=True, slots=True)
class Leaving:
    """The list before leaving. `stretch` is None where no days away are entered."""

    on: date
    stretch: Stretch | None
    lines: tuple[LeavingLine, ...]

    @property
    def seconds(self) -> float:
        """Seconds of all the looks."""
        return sum(line.seconds for line in self.lines)

    @property
    def stand_in(self) -> tuple[str, ...]:
        """Codes of the plants a stand-in looks at meanwhile."""
        return tuple(line.record.plant.code for line in self.lines if line.stand_in)


def before_leaving(logbook: Logbook, on: date) -> Leaving:
    """What is looked at before the next days away, in the order of need.

    Plants apart and on watch that were not seen whole today, open doubts, roots that fall due
    until the day of coming back. A stand-in is for those apart, on watch or found on lately, where
    nobody would see them for as long as the rules let a streak wait.
    """
    coming = stretches(ahead(logbook, on))
    stretch = coming[0] if coming else None
    ordered = in_order(records(logbook, on))
    until = stretch.last_day if stretch else on
    dues = due_today(ordered, until)
    lines = [_line(record, dues, until) for record in ordered]
    return Leaving(on, stretch, tuple(line for line in lines if line is not None))


def _line(record: PlantRecord, dues: Sequence[Due], until: date) -> LeavingLine | None:
    own = [due for due in dues if due.record is record]
    roots = next((due for due in own if due.kind == ROOTS), None)
    zones = zones_to_do(record)
    is_followed = record.standing in ("quarantine", "watch") or found_lately(record)
    reasons = []
    if is_followed and zones:
        found = record.standing if record.standing != "collection" else "found"
        reasons.append(_reason(found))
    reasons += [Reason(due.kind, due.text) for due in own if due.kind in ALSO_DUE]
    if roots is not None:
        reasons.append(_reason("roots", day=day_month(roots.on, record.on)))
    away = until - record.on
    stand_in = is_followed and away.days >= record.logbook.rules(record.pest).gap_days
    if not reasons and not stand_in:
        return None
    seconds = sum(zone.planned_seconds for zone in zones) if is_followed or own else 0.0
    if roots is not None:
        seconds += record.body.zone(ROOTS).reference_seconds
    return LeavingLine(record, tuple(reasons) or (_reason("seen"),), seconds, stand_in)


def _reason(why: str, /, **values: object) -> Reason:
    return Reason(why, words.say(f"away.why.{why}", **values))
