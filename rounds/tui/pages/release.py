"""Ending a quarantine: one sentence first, then every criterion, then the question."""

from dataclasses import dataclass
from datetime import date

from rich.cells import cell_len

from rounds import words
from rounds.core.parameters import QuarantineRules
from rounds.core.quarantine.criteria import (
    CHANCE_CLEAN,
    DEGREE_DAYS,
    Criterion,
    shown_criteria,
)
from rounds.service.day.day import Choices
from rounds.service.plant.status import PlantStatus, ReleaseStatus
from rounds.service.plant.status_text import (
    band_line,
    clean_in_column,
    clean_text,
    no_date_texts,
    pest_texts,
    risk_text,
    streak_text,
    supposed_texts,
)
from rounds.service.round.view import Answer
from rounds.tui.keys import key_of
from rounds.tui.page import KeyHint, Page
from rounds.tui.pages.asked import Asked
from rounds.tui.pages.bars import share_bar
from rounds.tui.pages.parts import ROOMY, SLOT, STANDING_MARK, hint, say
from rounds.tui.pages.told import Figures, ListLine, Paragraph, Said, Told
from rounds.tui.pages.why import why_lines
from rounds.words.display import display
from rounds.words.forms import (
    day_month,
    days_text,
    degree_days,
    in_100,
    number,
    out_of_100,
    temperature,
)
from rounds.words.pests import pest_name

BAR, BAR_NARROW = 6, 5
"""Columns of the bar of a criterion."""
TELLS_BOTH_FROM = 16
"""Least rows of a page that says what awaits the plant, and that nothing holds it as well."""
MOST_TOLD = 5
"""Rows of what awaits it among the others."""
BESIDE_NARROW = 18
"""Columns of a narrow page that are not those of what there is, of what is needed, and the day."""
WALL: Said = (STANDING_MARK["quarantine"].strip(), "apart")


@dataclass(frozen=True, slots=True)
class ReleaseView:
    """What the page on ending a quarantine knows."""

    status: PlantStatus
    choices: Choices
    message: str
    asks_reason: bool
    rejoin: str
    """what awaits it among the others; empty while its end is not near"""
    back_to: str | None
    """the question whether it is put somewhere, where that is asked"""


def release_told(view: ReleaseView, frame: Page) -> Told:
    """May it leave, and if not, what holds it and until when."""
    status, release = view.status, view.status.release
    tells = view.rejoin and view.back_to is None and release is not None
    above = [Paragraph(view.rejoin, rows=MOST_TOLD)] if tells else []
    if not tells or frame.height >= TELLS_BOTH_FROM:
        above = [Paragraph(sentence(status), "strong"), *above]
    lines = _criteria(status, release, frame) if release else []
    return Told(
        title=say("release.title"),
        clock=say("release.rules", rules=view.choices.rules.name),
        status=status,
        above=above,
        figures=_figures(status, frame),
        # without a band the row stays empty
        below=[Paragraph(band_line(status, frame.until - frame.edge) or " ", "quiet", may_go=True)],
        lines=lines,
        heads=_heads(status) if lines else {},
        is_numbered=False,
        message=view.message,
        asks=say("release.reason") if view.asks_reason else None,
        asked=_asked(view),
        second=_early(view),
        opens=KeyHint(key_of("begin"), words.say("what_if.title")) if release else None,
    )


def _heads(status: PlantStatus) -> dict[str, str]:
    """What stands over the columns; while insects live on it, its days are no more than an if."""
    is_if = status.is_known_alive
    return {
        "name": say("release.needed-before"),
        "now": say("release.now"),
        "needed": say("release.needed"),
        "due": say("release.expected-if" if is_if else "release.expected"),
    }


def _figures(status: PlantStatus, frame: Page) -> Figures:
    if frame.is_wide:
        return Figures(clean_text(status, SLOT), streak_text(status), risk_text(status), "")
    return Figures(clean_text(status, frame.until - frame.edge), "", "", "")


def _asked(view: ReleaseView) -> Asked | None:
    """Whether it is put somewhere, or whether quarantine ends."""
    release = view.status.release
    if view.back_to is not None:
        answers = Answer("yes", say("keys.put-there")), Answer("no", say("keys.not-there"))
        return Asked(view.back_to, answers)
    if release is None or not release.ready or view.message:
        return None
    answers = Answer("yes", say("keys.end-now")), Answer("no", say("keys.leave-apart"))
    return Asked(say("release.ask-now", code=view.status.code), answers)


def _early(view: ReleaseView) -> KeyHint | None:
    """The key that asks for a reason to end it early; the page says first what holds it."""
    release = view.status.release
    if release is None or release.ready:
        return None
    return KeyHint(key_of("yes"), say("keys.end-early"))


def put_release_keys(page: Page, what_if: KeyHint | None, early: KeyHint | None) -> None:
    """The keys, on the last two rows."""
    page.put_keys(page.height - 2, [hint("leave", "list.leave")])
    page.put_keys(page.height - 1, [what_if, early], (page.edge, 28 if page.is_wide else 18))
    columns = (54, 67) if page.is_wide else (15, 29)
    page.put_keys(page.height - 2, [hint("find"), hint("help")], columns)


def notes_of(view: ReleaseView, width: int) -> list[str]:
    """Why the figures are so, what is assumed, how a root look is entered where one is wanted."""
    status, choices, release = view.status, view.choices, view.status.release
    if release is None:
        return []
    # a pest that holds it too comes before why the figures of the first are so
    notes = pest_texts(status) + no_date_texts(release) + low_end_asked(status, choices.rules)
    notes += why_lines(status, width)
    if status.temperature_assumed:
        notes.append(say("release.assumed", usual=temperature(choices.usual_c)))
    if status.method == "pooled":
        notes.append(say("release.pooled"))
    if status.roots_from is not None:
        notes.append(_roots_note(status.roots_from, status.on))
    return notes + supposed_texts(release, status.on)


def low_end_asked(status: PlantStatus, rules: QuarantineRules) -> list[str]:
    """What the rules ask of the low end of the band, where that holds the plant."""
    low = rules.chance_low
    if low is None or status.band is None or status.band.low >= low:
        return []
    return [words.say("band.low-asked", low=in_100(low), have=in_100(status.band.low))]


def _roots_note(counts_from: date, on: date) -> str:
    """How a look at the roots is entered, and from which day on one counts."""
    if counts_from <= on:
        return say("release.how-roots")
    return say("release.roots-later", day=day_month(counts_from, on))


def sentence(status: PlantStatus) -> str:
    """What holds it, and about when that is over."""
    code, release = status.code, status.release
    if release is None and status.standing == "watch" and status.watched_until is not None:
        told = "on-watch" if status.move_out_since is None else "on-watch-there"
        return say(f"release.{told}", code=code, day=day_month(status.watched_until, status.on))
    if release is None:
        return say("release.not-apart", code=code)
    criteria = release.criteria
    unmet = [c for c in criteria if c.met is not True]
    if not unmet and release.held_by:
        pests = ", ".join(map(pest_name, release.held_by))
        return words.say("quarantine.held-by", pests=pests)
    if not unmet:
        return say("release.may", all=len(criteria))
    values = {"unmet": len(unmet), "all": len(criteria)}
    day = release.expected_on
    if not release.is_forecast:
        return words.say("calculating.release", **values)
    if day is None:
        return say("release.not-in-sight", **values)
    if day <= status.on:
        return say("release.expected-today", **values)
    told = "alive" if status.is_known_alive else "not-yet"
    return say(f"release.{told}", day=day_month(day, status.on), **values)


def _criteria(status: PlantStatus, release: ReleaseStatus, frame: Page) -> list[ListLine]:
    """One line a criterion, a wall before those that hold it; the nearest first."""
    lines: list[ListLine] = []
    waived = _waived(release, is_wide=frame.is_wide) if frame.height >= ROOMY else ""
    criteria = release.criteria if frame.height >= ROOMY else shown_criteria(release.criteria)
    for criterion in sorted(criteria, key=_nearest_first):
        due = expected_text(criterion, release, status.on)
        known = criterion.met is not None
        room = frame.width - BESIDE_NARROW - cell_len(due)
        cells: dict[str, str | Said] = {
            "name": _name(criterion),
            "short": words.say(f"quarantine.short.{criterion.code}"),
            "now": _have(criterion, status),
            "bar": (_bar(criterion, BAR if frame.is_wide else BAR_NARROW), "quiet"),
            "needed": needed_text(criterion),
            "of": _have_of_need(criterion, status, room, frame) if known else "",
            "due": due if known or frame.is_wide else say("release.not-computed"),
        }
        lines.append(ListLine(cells, WALL if criterion.met is not True else ("", "ink")))
        if criterion.code == DEGREE_DAYS and waived:
            below: Said = (f"  {waived}", "quiet")
            lines.append(ListLine({"name": below, "short": below}))
    return lines


def _nearest_first(criterion: Criterion) -> tuple[bool, date]:
    """What is still unmet before the rest, and the nearest day first."""
    return criterion.met is True, criterion.expected_on or date.max


def _bar(criterion: Criterion, columns: int) -> str:
    """How much of what is needed there is."""
    if not criterion.need or criterion.have is None:
        return ""
    return share_bar(criterion.have / criterion.need, columns)


def _waived(release: ReleaseStatus, *, is_wide: bool) -> str:
    """From which chance on the warmth is not asked for, before that is so; else nothing."""
    warmth = next(c for c in release.criteria if c.code == DEGREE_DAYS)
    if release.waived_from is None or warmth.met is True:
        return ""
    code = "waived" if is_wide else "waived-narrow"
    return words.say(f"why.{code}", chance=in_100(release.waived_from))


def _name(criterion: Criterion) -> str:
    """What is asked for; degree-days in the unit that was chosen."""
    if criterion.code == DEGREE_DAYS and display().fahrenheit:
        return words.say("quarantine.criteria.degree_days-fahrenheit")
    return words.say(f"quarantine.criteria.{criterion.code}")


def value_text(criterion: Criterion, value: float | None) -> str:
    """A figure with its unit."""
    if value is None:
        return "" if criterion.unit != "chance" else say("release.not-computed")
    if criterion.unit == "day":
        return days_text(int(value))
    if criterion.unit == "chance":
        return in_100(value)
    return degree_days(value) if criterion.code == DEGREE_DAYS else number(value)


def _have(criterion: Criterion, status: PlantStatus) -> str:
    """What there is; of the chance clean with its band."""
    if criterion.code == CHANCE_CLEAN and criterion.have is not None:
        return clean_in_column(status, "")
    return value_text(criterion, criterion.have)


def _have_of_need(criterion: Criterion, status: PlantStatus, width: int, frame: Page) -> str:
    """Both figures in little room: the unit once, and one figure where the other says nothing.

    The band of the chance clean stands here where the page has no other row for it.
    """
    if criterion.code == CHANCE_CLEAN and frame.height < ROOMY and status.band and criterion.need:
        need = out_of_100(criterion.need)
        both = say("release.of-chance", have=clean_in_column(status, ""), need=need)
        if cell_len(both) <= width:
            return both
    have, need = value_text(criterion, criterion.have), needed_text(criterion)
    if criterion.have is None or have == need:
        return have
    if criterion.unit == "chance":
        need = out_of_100(criterion.need) if criterion.need else need
        have = out_of_100(criterion.have)
        both = say("release.of-chance", have=have, need=need)
        return both if cell_len(both) <= width else say("release.of", have=have, need=need)
    if criterion.unit == "day":
        have = number(criterion.have)
        if criterion.need and cell_len(say("release.of", have=have, need=need)) > width:
            need = number(criterion.need)
    return say("release.of", have=have, need=need)


def needed_text(criterion: Criterion) -> str:
    """What is asked."""
    if criterion.need is None:
        return say("release.not-asked")
    need, lacks = value_text(criterion, criterion.need), criterion.lacks
    if lacks is None:
        return need
    return say(f"release.lacks.{lacks.kind}", need=need, of=lacks.need)


def expected_text(criterion: Criterion, release: ReleaseStatus, on: date) -> str:
    """When it is expected to hold."""
    if criterion.met is True:
        return say("release.met")
    if criterion.met is None:
        return say("release.unknown")
    if not release.is_forecast:
        return say("today.working-out")
    if criterion.expected_on is None:
        return say("release.no-day")
    return day_month(criterion.expected_on, on)
