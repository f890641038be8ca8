"""Before leaving: what is looked at first, how long it takes, and what a stand-in looks at."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from rounds import words
from rounds.core.away import Stretch
from rounds.core.body import ROOTS
from rounds.core.plan.claims import ALIVE
from rounds.core.plan.walk import QUARANTINE, Stop, walking_order
from rounds.service.plan.today import OF_ROOTS, PRESSING, ROOTS_AGAIN, Due, due_today
from rounds.service.plant.reasons import Reason
from rounds.service.plant.status import PlantStatus
from rounds.words.forms import day_month

ALSO_DUE = (*PRESSING, "move-out", ROOTS_AGAIN, "doubt", "step")
"""What else is due that is done on the plant before leaving; roots have a day of their own."""


@dataclass(frozen=True, slots=True)
class LeavingLine:
    """One plant to look at before leaving. `seconds` are those of the looks planned for it."""

    status: PlantStatus
    reasons: tuple[Reason, ...]
    seconds: float
    stand_in: bool


@dataclass(frozen=True, slots=True)
class Leaving:
    """The list before leaving. `stretch` is None where no days away are entered."""

    on: date
    stretch: Stretch | None
    lines: tuple[LeavingLine, ...]
    gap_days: int
    """after so many days without a look a streak waits: a stand-in looks meanwhile"""

    @property
    def seconds(self) -> float:
        """Seconds of all the looks."""
        return sum(line.seconds for line in self.lines)

    @property
    def stand_in(self) -> tuple[str, ...]:
        """Codes of the plants a stand-in looks at meanwhile."""
        return tuple(line.status.code for line in self.lines if line.stand_in)


def before_leaving(
    ordered: Iterable[PlantStatus], on: date, stretch: Stretch | None, gap_days: int
) -> Leaving:
    """What is looked at before the next days away, as it is walked: from the clean side on.

    Plants apart and on watch that were not seen whole today, open doubts, roots that fall due
    until the day of coming back. A stand-in is for those apart, on watch or found on lately, where
    nobody would see them for as long as the rules let a streak wait.

    Args:
        ordered: the plants that are here, first to be looked at first.
        on: today.
        stretch: the next days away, where some are entered.
        gap_days: of the rules for leaving quarantine.
    """
    until = stretch.last_day if stretch else on
    lines = [_line(status, until, (until - on).days >= gap_days) for status in ordered]
    found = [line for line in lines if line is not None]
    order = walking_order([_stop_of(number, line.status) for number, line in enumerate(found)])
    return Leaving(on, stretch, tuple(found[number] for number in order), gap_days)


def _stop_of(number: int, status: PlantStatus) -> Stop:
    """A plant as the walk takes it, the how-manieth in the order of need."""
    is_alive = status.standing != QUARANTINE and status.claim.code == ALIVE
    return Stop(number, ALIVE if is_alive else status.standing, status.chance_clean or 0.0)


def _line(status: PlantStatus, until: date, is_long: bool) -> LeavingLine | None:
    own = due_today([status], until)
    roots = next((due for due in own if due.kind == ROOTS), None)
    is_followed = status.standing in ("quarantine", "watch") or status.is_found_lately
    reasons = _reasons(status, own, roots) if is_followed else _also_due(own, roots)
    stand_in = is_followed and is_long
    if not reasons and not stand_in:
        return None
    looked_at = is_followed or own
    seconds = sum(zone.planned_seconds for zone in status.to_do) if looked_at else 0.0
    if any(due.kind in OF_ROOTS for due in own):
        seconds += status.roots_seconds
    return LeavingLine(status, tuple(reasons) or (_reason("seen"),), seconds, stand_in)


def _reasons(status: PlantStatus, own: Sequence[Due], roots: Due | None) -> list[Reason]:
    """Why to look at a plant: its standing or its finds, if zones are left; then what is due."""
    found = status.standing if status.standing != "collection" else "found"
    return [*([_reason(found)] if status.to_do else []), *_also_due(own, roots)]


def _also_due(own: Sequence[Due], roots: Due | None) -> list[Reason]:
    reasons = [Reason(due.kind, due.text) for due in own if due.kind in ALSO_DUE]
    if roots is not None:
        reasons.append(_reason("roots", day=day_month(roots.on, roots.status.on)))
    return reasons


def _reason(why: str, /, **values: object) -> Reason:
    brief = words.section("away.brief").get(why, "").format(**values)
    return Reason(why, words.say(f"away.why.{why}", **values), brief)
