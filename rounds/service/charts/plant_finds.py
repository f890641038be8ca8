"""What was found on one plant, look by look, and what was done with it meanwhile."""

from collections.abc import Generator, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from rounds import words
from rounds.core.body import ROOTS
from rounds.core.log.effective import EffectiveLook
from rounds.service.charts.chart import (
    SPAN_DAYS,
    Chart,
    Point,
    Row,
    Series,
    count_axis,
    day_axis,
    value,
)
from rounds.service.charts.finds import live_at
from rounds.service.plant.events import PlantEvents
from rounds.service.plant.history import events_of
from rounds.service.plant.record import PlantRecord
from rounds.service.plant.timeline import course_text
from rounds.words.forms import ago_text, calendar_day, day_month
from rounds.words.pests import pest_name, pests_text

FINDS = "finds"
COURSE, MOVE, QUARANTINE, ROOT_LOOK = "course", "move", "quarantine", "roots"
ABOVE = 1.4
"""times the highest column, so that what was done stands above all of them"""


@dataclass(frozen=True, slots=True)
class Done:
    """Something done with the plant on a day."""

    day: date
    kind: str
    text: str
    name: str = ""
    """what its sign means, where that is more than its kind"""


def plant_finds(record: PlantRecord) -> Generator[None, None, Chart]:
    """The chart of one plant; a pause after its log is read."""
    on = record.on
    first = max(record.lived.first_day, on - timedelta(days=SPAN_DAYS - 1))
    looks = [look for look in record.looks_from(first) if look.day >= first]
    yield
    counts = _by_day(record, looks)
    of_pests = {pest: _of_pest(looks, pest) for pest in record.pests}
    done = sorted(_done(record, looks, events_of(record, first, on)), key=lambda each: each.day)
    days = [*counts, *(each.day for each in done)]
    begins = min([*days, on - timedelta(days=1)])
    most = max(counts.values(), default=0)
    up = count_axis(most, words.say("charts.finds.up"), room=ABOVE if done else 1.0)
    return Chart(
        code=FINDS,
        title=words.say("charts.finds.title"),
        sentence=_pests_text(counts, of_pests, on) or _sentence(counts, on),
        about=_about(record, of_pests),
        across=day_axis(begins, on, on, words.say("charts.unit.day")),
        up=up,
        series=(*_columns(counts), *_signs(done, up.high)),
        heads=tuple(words.say(f"charts.head.{each}") for each in ("day", "found", "done")),
        rows=tuple(_rows(counts, of_pests, done, on)),
    )


def _of_pest(looks: Sequence[EffectiveLook], pest: str) -> dict[date, int]:
    """Insects of one pest found, by the days on which there were any."""
    found: dict[date, int] = {}
    for look in looks:
        if count := look.live(pest):
            found[look.day] = found.get(look.day, 0) + count
    return found


def _by_day(record: PlantRecord, looks: Sequence[EffectiveLook]) -> dict[date, int]:
    """Insects found on each day looked at, in order."""
    found: dict[date, int] = {}
    for look in looks:
        count = live_at(record, look)
        if look.outcome == "looked" or count:
            found[look.day] = found.get(look.day, 0) + count
    return dict(sorted(found.items()))


def _done(
    record: PlantRecord, looks: Sequence[EffectiveLook], events: PlantEvents
) -> Iterator[Done]:
    for course in events.courses:
        yield Done(course.day, COURSE, course_text(record, course))
    began = {
        period.began_on
        for period in record.plant.periods
        if period.kind == "quarantine" and period.began_on <= record.on
    }
    moved = set[date]()
    for move in events.moves:
        if not move.is_arrival:
            moved.add(move.day)
            text = words.say("plant.history.moved", where=move.place)
            # a move that began a quarantine says so
            moved_in = words.say("charts.done.moved-in", where=move.place)
            yield Done(move.day, MOVE, text, moved_in if move.day in began else text)
    first = record.on - timedelta(days=SPAN_DAYS - 1)
    for day in sorted(began - moved):
        if day >= max(first, record.lived.first_day):
            yield Done(day, QUARANTINE, words.say("charts.done.quarantine"))
    seen = {look.day for look in looks if look.zone == ROOTS and _shows_roots(record, look)}
    yield from (Done(day, ROOT_LOOK, words.say("charts.done.roots")) for day in seen)


def _shows_roots(record: PlantRecord, look: EffectiveLook) -> bool:
    return look.outcome == "looked" and (look.unpotted or record.body_on(look.day).clear_pot)


def _sentence(counts: Mapping[date, int], on: date) -> str:
    if not counts:
        return words.say("charts.finds.no-looks")
    live = {day: count for day, count in counts.items() if count}
    said = {"looked": len(counts), "found": len(live)}
    if not live:
        return words.say("charts.finds.nothing", **said)
    most, last = max(live, key=lambda day: live[day]), max(live)
    ago = ago_text(last, on)
    if live[most] == 1:
        return words.say("charts.finds.seen", **said, last=ago)
    day = day_month(most, on)
    return words.say("charts.finds.seen-most", **said, most=live[most], most_on=day, last=ago)


def _pests_text(
    counts: Mapping[date, int], of_pests: Mapping[str, Mapping[date, int]], on: date
) -> str:
    """On how many days each of several pests was found, and when last; empty where that is none."""
    told = [
        words.say(
            "charts.finds.of-pest",
            pest=pest_name(pest),
            found=len(found),
            last=ago_text(max(found), on),
        )
        for pest, found in of_pests.items()
        if found
    ]
    if len(of_pests) < 2 or not told:
        return ""
    said = {"looked": len(counts), "found": sum(count > 0 for count in counts.values())}
    return words.say("charts.finds.seen-pests", told="; ".join(told), **said)


def _about(record: PlantRecord, of_pests: Mapping[str, Mapping[date, int]]) -> str:
    """How it is counted; and of which pests what was entered is the least there was."""
    handled_once = record.table.inspection.handled_once
    least = [pest for pest, found in of_pests.items() if found and pest in handled_once]
    said = words.say("charts.finds.about")
    if not least:
        return said
    return " ".join((said, words.say("charts.finds.about-least", pests=pests_text(least))))


def _found_text(count: int, of_pests: Mapping[str, Mapping[date, int]], day: date) -> str:
    """3, or of a plant with several pests whose they were: 3 soft scale."""
    those = [pest for pest, found in of_pests.items() if day in found]
    if len(of_pests) < 2 or not those:
        return str(count)
    if len(those) > 1:
        return words.say("charts.finds.count-of-several", count=count, pests=len(those))
    return words.say("charts.finds.count-of", count=count, pest=pest_name(those[0]))


def _columns(counts: Mapping[date, int]) -> Iterator[Series]:
    live = [Point(day.toordinal(), 0, count) for day, count in counts.items() if count]
    none = [value(day.toordinal(), 0) for day, count in counts.items() if not count]
    if none:
        yield Series("none", words.say("charts.finds.none"), tuple(none))
    if live:
        yield Series("column", words.say("charts.finds.column"), tuple(live))


def _signs(done: Sequence[Done], top: float) -> Iterator[Series]:
    """A row of signs for each kind of what was done, below each other above the columns."""
    kinds = dict.fromkeys(each.kind for each in done)
    for number, kind in enumerate(kinds):
        height = top * (1 - number * (1 - 1 / ABOVE) / 3)
        those = [each for each in done if each.kind == kind]
        points = (value(each.day.toordinal(), height) for each in those)
        names = {each.name for each in those}
        # one name for all of them, where they have one
        name = names.pop() if len(names) == 1 else ""
        yield Series(
            "sign",
            name or words.say(f"charts.done.{kind}"),
            tuple(points),
            words.say(f"charts.sign.{kind}"),
        )


def _rows(
    counts: Mapping[date, int],
    of_pests: Mapping[str, Mapping[date, int]],
    done: Sequence[Done],
    on: date,
) -> Iterator[Row]:
    for day in sorted({*counts, *(each.day for each in done)}, reverse=True):
        texts = [each.text for each in done if each.day == day]
        count = counts.get(day)
        said = (
            words.say("charts.not-looked") if count is None else _found_text(count, of_pests, day)
        )
        kinds = sorted({each.kind for each in done if each.day == day})
        yield Row(
            (calendar_day(day, on), said, ", ".join(texts)),
            {"day": day, "found": count, "done": " ".join(kinds)},
        )
