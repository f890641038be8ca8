"""The way that comes first for a plant with finds, told where no sum may run."""

from contextlib import suppress

from rounds.service.courses.advice import (
    LIFTING,
    UNDATED,
    comes_first_anyhow,
    is_asked,
    is_later,
    left_of,
    ranked,
)
from rounds.service.inference.kept import NotKept, only_kept
from rounds.service.inference.why import kept_why
from rounds.service.plant.record import PlantRecord


def next_told(record: PlantRecord) -> str | None:
    """The way that comes first, as the page of the plant tells it; no sum is run.

    Where the sums of the last finds are not kept yet, those before them stand for them. None
    without finds, where neither are kept, and where a course would come first that may be later
    than lifting as far as is known.
    """
    if not is_asked(record):
        return None
    for known in (record, record.day.records.get(record.plant.id)):
        with only_kept(record.logbook), suppress(NotKept):
            if known is not None:
                return _first_by_day(record, known)
    return None


def _first_by_day(record: PlantRecord, known: PlantRecord) -> str | None:
    """The way that comes first by what is known. NotKept where nothing is."""
    left = left_of(known)
    first = ranked(record, left)[0]
    if first in (LIFTING, *UNDATED) or comes_first_anyhow(record, first, left):
        return first
    for of in (record, known):
        why = kept_why(of)
        on = {option.code: option.expected_on for option in why.options} if why else {}
        if first in on:
            days = {code: day.isoformat() if day else None for code, day in on.items()}
            return LIFTING if is_later(first, days) else first
    return None
