"""Ending a quarantine: one sentence first, then every criterion, then the question."""

from dataclasses import dataclass
from datetime import date

from rich.cells import cell_len

from rounds import words
from rounds.core.parameters import QuarantineRules
from rounds.core.quarantine.criteria import (
    CHANCE_CLEAN,
    CLEAN_LOOKS,
    DEGREE_DAYS,
    MEDIUM_AND_ROOTS,
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
    risk_text,
    streak_text,
    supposed_texts,
)
from rounds.tui.keys import key_of
from rounds.tui.page import FIRST, MIDDLE, THIRD, Page, wrap
from rounds.tui.pages.bars import share_bar
from rounds.tui.pages.parts import (
    ROOMY,
    SLOT,
    ask,
    ask_typed,
    desk_row,
    heading,
    hint,
    rows_said,
    say,
    status_row,
    typing_keys,
)
from rounds.tui.pages.why import why_lines
from rounds.words.display import display
from rounds.words.forms import (
    brief_of_100,
    day_month,
    days_text,
    degree_days,
    in_100,
    in_100_in_column,
    number,
    out_of_100,
    temperature,
)

NOW, EXPECTED = 37, 67
BAR, BAR_NARROW = 6, 5
"""Columns of the bar of a criterion."""
TELLS_BOTH_FROM = 16
"""Least rows of a page that says what awaits the plant, and that nothing holds it as well."""
MOST_TOLD = 5
"""Rows of what awaits it among the others."""
SPREAD_COLUMNS = (54, 80, 106)
"""Now, needed and expected where there is room: a longer name for what is asked."""


@dataclass(frozen=True, slots=True)
class ReleaseView:
    """What the page on ending a quarantine knows."""

    status: PlantStatus
    choices: Choices
    message: str
    reason: str | None
    """what was typed of the reason, where it is asked for"""
    rejoin: str
    """what awaits it among the others; empty while its end is not near"""
    back_to: str | None
    """the question whether it is put somewhere, where that is asked"""


def release_page(view: ReleaseView, width: int, height: int) -> Page:
    """May it leave, and if not, what holds it and until when."""
    page = Page(width, height)
    status = view.status
    rules = say("release.rules", rules=view.choices.rules.name)
    heading(page, say("release.title"), "" if page.is_wide else say("release.title"), rules)
    status_row(page, status)
    edge, until = page.edge, page.until
    tells = view.rejoin and view.back_to is None and status.release is not None
    row = 3
    if not tells or page.height >= TELLS_BOTH_FROM:
        row += page.put_wrapped(row, edge, sentence(status), "strong", until=until)
    if tells:
        # a reason that is typed may take a row more than a question does
        asked = len(wrap(say("release.reason"), until - edge)) - 1 if view.reason is not None else 0
        most = min(MOST_TOLD, desk_row(page) - asked - row)
        rows = min(len(wrap(view.rejoin, until - edge)), most)
        row += page.put_wrapped(row, edge, view.rejoin, "ink", until=until, rows=rows)
    if page.height >= ROOMY:
        _figures(page, status, row, edge, until)
        page.put(row + 1, edge, band_line(status, until - edge), "quiet", until=until)
        row += 2
    if status.release is not None:
        row = _criteria(page, status, status.release, row) + 1
        width = until - edge - 2
        # on a narrow page the question below takes a row more
        end = desk_row(page) - (0 if page.is_wide else 1)
        for note in _notes(status, status.release, view.choices, width):
            rows = len(wrap(note, width))
            if row + rows < end:
                row += page.put_wrapped(row, edge + 2, note, "quiet", until=until, rows=rows)
    _bottom(page, view, row, edge, until)
    return page


def _figures(page: Page, status: PlantStatus, row: int, edge: int, until: int) -> None:
    if not page.is_wide:
        page.put(row, edge, clean_text(status, until - edge), until=until)
        return
    page.put(row, edge, clean_text(status, SLOT), until=MIDDLE - 1)
    page.put(row, MIDDLE, streak_text(status), until=THIRD - 1)
    page.put(row, THIRD, risk_text(status), until=until)


def _notes(status: PlantStatus, release: ReleaseStatus, choices: Choices, width: int) -> list[str]:
    """Why the figures are so, what is assumed, how a root look is entered where one is wanted."""
    notes = no_date_texts(release) + low_end_asked(status, choices.rules) + why_lines(status, width)
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
        return say("release.on-watch", code=code, day=day_month(status.watched_until, status.on))
    if release is None:
        return say("release.not-apart", code=code)
    criteria = release.criteria
    unmet = [c for c in criteria if c.met is not True]
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
    return say("release.not-yet", day=day_month(day, status.on), **values)


def _criteria(page: Page, status: PlantStatus, release: ReleaseStatus, row: int) -> int:
    """One row a criterion, a wall before those that hold it; the row after them."""
    criteria = tuple(sorted(release.criteria, key=_nearest_first))
    on = status.on
    wide = page.is_wide
    # a question takes three rows
    room = max(0, desk_row(page) - 1 - row)
    if len(criteria) >= room:
        criteria = shown_criteria(criteria)
    is_tight = len(criteria) >= room
    waived = _waived(release, is_wide=wide) if len(criteria) + 1 < room else ""
    if is_tight:
        # what holds it comes before what no longer does
        criteria = criteria[:room]
        row -= 1
    name_at = FIRST + 2 if wide else 3
    now_at, need_at, day_at = SPREAD_COLUMNS if page.is_spread else (NOW, THIRD, EXPECTED)
    if wide and not is_tight:
        page.put(row, name_at, say("release.needed-before"), "quiet")
        page.put(row, now_at, say("release.now"), "quiet")
        page.put(row, need_at, say("release.needed"), "quiet")
        page.put(row, day_at, say("release.expected"), "quiet")
    line = row
    for criterion in criteria:
        line += 1
        if criterion.met is not True:
            page.put(line, name_at - 2, "║", "apart")
        name = _name(criterion)
        expected = expected_text(criterion, release, on)
        if wide:
            page.put(line, name_at, name, until=now_at)
            page.put(line, need_at - 1 - BAR, _bar(criterion, BAR), "quiet")
            page.put(line, now_at, _have(criterion, status), until=need_at - 1 - BAR)
            page.put(line, need_at, needed_text(criterion), until=day_at - 1)
            page.put(line, day_at, expected, until=page.width)
        else:
            page.put(line, name_at, words.say(f"quarantine.short.{criterion.code}"), until=10)
            page.put(line, 10, _bar(criterion, BAR_NARROW), "quiet")
            known = criterion.met is not None
            shown = expected if known else say("release.not-computed")
            if known:
                until = page.width - max(9, cell_len(shown) + 2)
                page.put(line, 16, _have_of_need(criterion, status, until - 16, page), until=until)
            page.put_right(line, page.width - 1, shown)
        if criterion.code == DEGREE_DAYS and waived:
            line += 1
            page.put(line, name_at + 2, waived, "quiet", until=page.until)
    return line + 1


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
        return in_100_in_column(value)
    return degree_days(value) if criterion.code == DEGREE_DAYS else number(value)


def _have(criterion: Criterion, status: PlantStatus) -> str:
    """What there is; of the chance clean with its band."""
    if criterion.code == CHANCE_CLEAN and criterion.have is not None:
        return clean_in_column(status, "")
    return value_text(criterion, criterion.have)


def _have_of_need(criterion: Criterion, status: PlantStatus, width: int, page: Page) -> str:
    """Both figures in little room: the unit once, and one figure where the other says nothing.

    The band of the chance clean stands here where the page has no other row for it.
    """
    if criterion.code == CHANCE_CLEAN and page.height < ROOMY and status.band and criterion.need:
        need = out_of_100(criterion.need)
        both = say("release.of", have=clean_in_column(status, ""), need=need)
        if cell_len(both) <= width:
            return both
    have, need = value_text(criterion, criterion.have), needed_text(criterion)
    if criterion.have is None or have == need:
        return have
    if criterion.unit == "chance":
        have = brief_of_100(criterion.have)
        if criterion.need and cell_len(say("release.of", have=have, need=need)) > width:
            need = out_of_100(criterion.need)
    elif criterion.unit == "day":
        have = number(criterion.have)
    return say("release.of", have=have, need=need)


def needed_text(criterion: Criterion) -> str:
    """What is asked."""
    if criterion.need is None:
        return say("release.not-asked")
    need = value_text(criterion, criterion.need)
    if criterion.met is False and (criterion.have or 0) >= criterion.need:
        # there are enough of them, but not of the kind that counts now
        if criterion.code == CLEAN_LOOKS:
            return say("release.lately", need=need)
        if criterion.code == MEDIUM_AND_ROOTS:
            return say("release.with-medium", need=need)
    return need


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


def _bottom(page: Page, view: ReleaseView, top: int, edge: int, until: int) -> None:
    """What is asked or said, below the row `top`."""
    row = desk_row(page)
    release = view.status.release
    if view.reason is not None:
        ask_typed(page, row, say("release.reason"), view.reason)
    elif view.back_to is not None:
        text = view.back_to
        answers = [(key_of("yes"), say("keys.put-there")), (key_of("no"), say("keys.not-there"))]
        end = ask(page, row, text, answers) - (1 if page.height >= ROOMY else 0)
        rows = min(end - top, len(wrap(view.message, until - edge)))
        page.put_wrapped(end - rows, edge, view.message, until=until, rows=rows)
    elif view.message:
        page.put_wrapped(row, edge, view.message, until=until, rows=rows_said(page))
    elif release is not None:
        ready = release.ready
        text = say("release.ask-now", code=view.status.code) if ready else say("release.ask-early")
        yes = say("keys.end-now") if ready else say("keys.end-early")
        ask(page, row, text, [(key_of("yes"), yes), (key_of("no"), say("keys.leave-apart"))])
    if view.reason is not None:
        typing_keys(page)
    else:
        page.put_keys(page.height - 2, [hint("leave")])
        columns = (54, 67) if page.is_wide else (15, 29)
        page.put_keys(page.height - 2, [hint("find"), hint("help")], columns)
