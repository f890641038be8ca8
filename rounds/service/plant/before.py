"""What changed since the last round: the risk of each plant then, and why it is another now."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from rounds import words
from rounds.service.inference.day import CollectionDay
from rounds.service.inference.kept import WAS
from rounds.service.plant.reasons import fully_checked_on, unseen_text
from rounds.service.plant.record import PlantRecord
from rounds.words.forms import codes_text, day_month, temperature, whole_number

WARMER_BY_C = 1.0
"""degC by which the mean of the last 14 days must differ to be named as a cause."""

MOST_CAUSES = 2


@dataclass(frozen=True, slots=True)
class Change:
    """The risk of a plant at the end of the last round, and what is said of it now."""

    was: float | None
    """None where the plant had not come"""
    text: str
    brief: str
    """the same in fewer words"""


@dataclass(frozen=True, slots=True)
class Before:
    """The last day before today on which anything was looked at, as far as it is worked out."""

    on: date | None
    """None before anything was looked at"""
    changes: Mapping[int, Change]
    """by plant"""

    def is_known(self, plant_id: int) -> bool:
        """Whether the risk of a plant on that day is at hand."""
        return self.on is None or plant_id in self.changes


class DayBefore:
    """The collection at the end of that day. Nothing of it is worked out before it is asked for."""

    def __init__(self, today: Sequence[PlantRecord]) -> None:
        self._today = {record.plant.id: record for record in today}
        last = (record.past.last_look_on for record in today)
        self._on = max((day for day in last if day is not None), default=None)
        self._changes: dict[int, Change] = {}
        self._collection: CollectionDay | None = None
        self._reading: Iterator[None] | None = None

    def told(self) -> Before:
        """The changes of risk that are worked out so far."""
        return Before(self._on, dict(self._changes))

    def pieces(self, plant_ids: Iterable[int]) -> Iterator[None]:
        """Work out what the risks of some plants were; a pause after each piece."""
        collection = self._begun()
        if collection is None:
            return
        if self._reading is not None:
            # not `yield from`, which would close the generator if this one is stopped half way
            for _ in self._reading:
                yield
            self._reading = None
        for plant_id in plant_ids:
            if plant_id not in self._changes and plant_id in self._today:
                now, then = self._today[plant_id], collection.records.get(plant_id)
                was = None if then is None else then.risk.value
                told = (_change(now, then, collection.on, brief=brief) for brief in (False, True))
                self._changes[plant_id] = Change(was, *told)
                yield

    def _read(self, collection: CollectionDay) -> Iterator[None]:
        yield from collection.read_in_steps()
        yield from collection.own_detection_in_steps()
        yield from collection.sources_in_steps()

    def _begun(self) -> CollectionDay | None:
        """The collection of that day."""
        if self._collection is None and self._on is not None:
            today = next(iter(self._today.values()))
            self._collection = CollectionDay(today.logbook, self._on, kept_as=WAS)
            self._reading = self._read(self._collection)
        return self._collection


def _change(now: PlantRecord, then: PlantRecord | None, on: date, *, brief: bool) -> str:
    """The change of risk in words: risk was 38 on 3 May; since then: 3 found alive, last today."""
    if then is None:
        return words.say("origins.change.new", day=day_month(on, now.on))
    day, was = day_month(on, now.on), whole_number(then.risk.value)
    value = whole_number(now.risk.value)
    if value == was:
        return words.say("origins.change.same", value=value, day=day)
    causes = _causes(now, then, rises=now.risk.value > then.risk.value, brief=brief)
    why = words.say("forms.and").join(causes[: 1 if brief else MOST_CAUSES])
    return words.say(f"origins.change.{'was-brief' if brief else 'was'}", was=was, day=day, why=why)


def _causes(now: PlantRecord, then: PlantRecord, *, rises: bool, brief: bool) -> list[str]:
    """What may have changed the risk since, weightiest first; always one at least."""
    causes = [_found_since(now), _divided(now, then.on)]
    if rises:
        causes += [_found_with(now, then.on, brief=brief), _nearby(now, then.on), _unseen(now)]
    else:
        causes.append(_seen_clean(now, then.on))
    causes.append(_warmth(now, then, rises=rises))
    return [cause for cause in causes if cause] or [words.say("origins.change.nothing")]


def _found_since(now: PlantRecord) -> str:
    # nobody looked at anything on the days between
    count = sum(look.live(pest) for look in now.today for pest in now.pests)
    return (
        words.say("origins.change.found", count=count, day=day_month(now.on, now.on))
        if count
        else ""
    )


def _divided(now: PlantRecord, since: date) -> str:
    days = [division.day for division in now.divisions if division.day > since]
    return words.say("origins.change.divided", day=day_month(max(days), now.on)) if days else ""


def _found_with(now: PlantRecord, since: date, *, brief: bool) -> str:
    codes = [
        other.plant.code
        for other in now.day.came_with(now)
        if other.last_find_on is not None and other.last_find_on > since
    ]
    code = "company-brief" if brief else "company"
    return words.say(f"origins.change.{code}", codes=codes_text(codes)) if codes else ""


def _nearby(now: PlantRecord, since: date) -> str:
    codes = [other.plant.code for other in now.day.found_nearby(now, since)]
    return words.say("origins.change.nearby", codes=codes_text(codes)) if codes else ""


def _unseen(now: PlantRecord) -> str:
    seen = fully_checked_on(now)
    # a day without a look is nothing that happened
    return "" if seen is not None and (now.on - seen).days <= 1 else unseen_text(now)


def _seen_clean(now: PlantRecord, since: date) -> str:
    days = [d for d in now.days(now.pest) if d.day > since and d.clean]
    whole = [d.day for d in days if d.complete]
    if whole:
        return words.say("origins.change.clean", day=day_month(max(whole), now.on))
    if days:
        return words.say("origins.change.partly", day=day_month(days[-1].day, now.on))
    return ""


def _warmth(now: PlantRecord, then: PlantRecord, *, rises: bool) -> str:
    """The warmth as a cause, from the mean of the two weeks before each of the two days."""
    mean_c = now.temperatures.mean_c(now.lived, now.on)
    was_c = then.temperatures.mean_c(then.lived, then.on)
    warmer = mean_c - was_c
    if abs(warmer) < WARMER_BY_C or (warmer > 0) is not rises:
        return ""
    code = "warmer" if rises else "colder"
    return words.say(f"origins.change.{code}", mean=temperature(mean_c), was=temperature(was_c))
