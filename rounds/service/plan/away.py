"""Days away: those ahead, and the longer first round after them."""

from dataclasses import dataclass
from datetime import date

from rounds import words
from rounds.core.away import DAY, Away, Stretch, minutes_back, stretches
from rounds.core.parameters import Inspection
from rounds.service.logbook.book import Logbook
from rounds.store import away, desk
from rounds.words.forms import days_text, number

MINUTES_BACK = "minutes_back"
"""The setting that holds the minutes chosen for one day back: the day, then the minutes."""


@dataclass(frozen=True, slots=True)
class Back:
    """The first day at home after days away."""

    stretch: Stretch
    usual_minutes: float
    minutes: float

    @property
    def sentence(self) -> str:
        """What is longer today, and which key changes it."""
        return self._said("back")

    @property
    def short(self) -> str:
        """`sentence` in fewer words."""
        return self._said("narrow")

    def _said(self, section: str) -> str:
        more = self.minutes - self.usual_minutes
        code = "more" if more > 0 else "fewer" if more < 0 else "usual"
        return words.say(
            f"away.{section}.{code}",
            days=days_text(self.stretch.days),
            minutes=number(self.minutes),
            more=number(abs(more)),
        )


def ahead(logbook: Logbook, on: date) -> tuple[Away, ...]:
    """The days away that are not over at the end of `on`, in the order they come."""
    return tuple(entered for entered in logbook.collection().away if entered.last_day > on)


def back_on(logbook: Logbook, on: date) -> Back | None:
    """The days away just over and the longer minutes, until a round was walked since; else None."""
    over = [found for found in stretches(logbook.collection().away) if found.last_day < on]
    if not over:
        return None
    newest = over[-1]
    if away.looked_since(logbook.file, newest.first_day, newest.last_day + DAY, on):
        return None
    usual = logbook.minutes()
    return Back(
        newest,
        usual,
        _chosen(logbook, on) or _longer(logbook.parameters_on(on).inspection, usual, newest.days),
    )


def minutes_of(logbook: Logbook, on: date, given: float | None = None) -> float:
    """The minutes of a round on a day: those given; more on the first day back; the usual ones."""
    if given is not None:
        return given
    back = back_on(logbook, on)
    return logbook.minutes() if back is None else back.minutes


def keep_minutes(logbook: Logbook, on: date, minutes: float) -> bool:
    """Remember the minutes there are: for this day alone on the first day back.

    Whether it was for this day alone.
    """
    if back_on(logbook, on) is None:
        logbook.keep_minutes(minutes)
        return False
    desk.put_setting(logbook.file, MINUTES_BACK, f"{on.isoformat()} {minutes}")
    return True


def _longer(found: Inspection, usual: float, days: int) -> float:
    """Whole minutes, never fewer than usual."""
    longer = minutes_back(usual, days, found.away_twice_days, found.away_at_most)
    return max(usual, float(round(longer)))


def _chosen(logbook: Logbook, on: date) -> float | None:
    """The minutes chosen for this day alone."""
    day, _, minutes = (desk.setting(logbook.file, MINUTES_BACK) or "").partition(" ")
    return float(minutes) if day == on.isoformat() else None
