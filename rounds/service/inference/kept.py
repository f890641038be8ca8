"""Results worked out once, kept on disk under the key of all that they rest on."""

import hashlib
import json
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from datetime import date
from typing import Any

from rounds.core.collection import CLEANED, Place, WeatherDay
from rounds.core.parameters import Parameters
from rounds.service.logbook.book import Logbook, Worked
from rounds.service.safety.versions import SUMS_VERSION
from rounds.store import derived

WAS = "was "
"""Prefix of the name under which a result of an earlier day is kept beside the newest one."""

GOES_ON = ("risk ", "leaving ", "forecast ")
"""Results of which that of the day before stays when a new day is worked out."""


class NotKept(LookupError):
    """A result is not kept, and may not be worked out now."""


@contextmanager
def only_kept(logbook: Logbook) -> Iterator[None]:
    """Within the block nothing is worked out or written: what is not kept raises NotKept."""
    before, logbook.works_out = logbook.works_out, False
    try:
        yield
    finally:
        logbook.works_out = before


def digest(*parts: object) -> str:
    """A key for what a result rests on: the same for the same parts, on any machine."""
    return hashlib.blake2b(repr(parts).encode(), digest_size=16).hexdigest()


def dated(on: date, key: str) -> str:
    """A key prefixed by the day its result is of."""
    return f"{on.isoformat()} {key}"


NO_FIGURES = ("empty_spots", "deliveries", "alarm")
"""Parameters that move no figure of a plant: with them changed, what is kept still holds."""


def parameters_digest(parameters: Parameters, pest: str) -> str:
    """The key of all parameters that figures about one pest rest on."""
    named = {
        name: getattr(parameters, name)
        for name in parameters.__dataclass_fields__
        if name not in NO_FIGURES
    }
    # the life of another pest moves none of them, and need not even be read
    named["pests"] = parameters.pests[pest]
    # pairs, as a record is written
    return digest(SUMS_VERSION, [(name, plain(value)) for name, value in named.items()])


def place_digest(place: Place, weather: Iterable[WeatherDay], on: date) -> str:
    """The key of what was said of a place, and of its days up to the end of `on`."""
    return digest(
        place.id,
        # no sum knows of a cleaned spot
        [(f.from_day, f.what, f.value) for f in place.facts if f.what != CLEANED],
        [(w.day, w.min_c, w.max_c) for w in weather if w.day <= on],
    )


def knows(logbook: Logbook, plant_id: int, what: str, key: str) -> bool:
    """Whether a result is kept under a key."""
    found = derived.kept(logbook.file, plant_id, what)
    return found is not None and found[0] == key


def known(logbook: Logbook, plant_id: int, what: str, key: str) -> Any:
    """The result kept under a key; None where there is none."""
    found = derived.kept(logbook.file, plant_id, what)
    return json.loads(found[1]) if found is not None and found[0] == key else None


def newest_before(logbook: Logbook, plant_id: int, what: str, on: date) -> Any:
    """What is kept under a name, whatever it rested on, if it is of a day before `on`."""
    found = derived.kept(logbook.file, plant_id, what)
    if found is None or not _is_later(dated(on, ""), found[0]):
        return None
    return json.loads(found[1])


def kept_or_worked_out(
    logbook: Logbook, plant_id: int, what: str, key: str, work_out: Callable[[], Any]
) -> Any:
    """The result kept under a key, else worked out now and kept; plain data either way.

    A logbook that cannot be written to keeps nothing, and answers all the same.

    Raises:
        NotKept: it is not kept, and nothing may be worked out.
    """
    found = derived.kept(logbook.file, plant_id, what)
    if found is not None and found[0] == key:
        return json.loads(found[1])
    if not logbook.works_out:
        raise NotKept(what)
    result = json.dumps(work_out())
    goes_on = found is not None and what.startswith(GOES_ON) and _is_later(key, found[0])
    row = Worked(plant_id, what, key, result, f"{WAS}{what}" if goes_on else None)
    if logbook.results_to_keep is None:
        _keep(logbook, [row])
    else:
        logbook.results_to_keep.append(row)
    # read back, so that a result is the same whether it was kept or not
    return json.loads(result)


@contextmanager
def kept_together(logbook: Logbook) -> Iterator[None]:
    """Keep all that is worked out within the block in one write: each waits for the disk."""
    if logbook.results_to_keep is not None:
        yield
        return
    logbook.results_to_keep = []
    try:
        yield
    finally:
        rows, logbook.results_to_keep = logbook.results_to_keep, None
        _keep(logbook, rows)


def _keep(logbook: Logbook, rows: list[Worked]) -> None:
    def write() -> None:
        with logbook.file.writing():
            for row in rows:
                derived.keep(
                    logbook.file, row.plant_id, row.what, row.key, row.result,
                    before_as=row.before_as,
                )  # fmt: skip

    if rows:
        logbook.keep(write)


def _is_later(key: str, before: str) -> bool:
    """Whether a dated key is of a later day than another."""
    day, _, _ = key.partition(" ")
    day_before, dated_too, _ = before.partition(" ")
    return bool(dated_too) and day_before < day


def plain(value: object) -> object:
    """A value as lists, pairs and scalars, whose text is the same in every process."""
    if hasattr(value, "__dataclass_fields__"):
        return [(name, plain(getattr(value, name))) for name in value.__dataclass_fields__]
    if hasattr(value, "items"):
        return sorted((str(k), plain(v)) for k, v in value.items())
    if isinstance(value, tuple | list):
        return [plain(v) for v in value]
    return value
