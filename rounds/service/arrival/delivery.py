"""A delivery as it is typed: how many, where from, what was found on those opened."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from rounds.core.body import Body
from rounds.errors import BadInput
from rounds.service.entries.looks import KINDS, LONGEST_SECONDS, MOST_COUNTED, STAGES
from rounds.service.logbook.named import zone_named

MOST_UNITS = 500


@dataclass(frozen=True, slots=True)
class FoundOn:
    """So many insects of a kind and stage, at one zone of one plant of those opened."""

    unit: int
    """from 1"""
    zone: str
    count: int
    stage: str | None
    kind: str


@dataclass(frozen=True, slots=True)
class Delivery:
    """Like plants that came from one source on one day."""

    units: int
    source: str
    opened: int | None = None
    """how many were opened; None where nothing was said"""
    seconds: float | None = None
    """looked at each of those opened, all but the roots; None where nobody knows"""
    found: tuple[str, ...] = ()
    """lines such as 3 axils 2 adult: plant, zone, count, stage, what was done with them"""
    codes: tuple[str, ...] = ()
    """of the new plants; the next free ones where there are none"""
    name: str | None = None
    botanical_name: str | None = None
    place: str | None = None
    form: str | None = None
    size: str | None = None
    value: float | None = None
    pests: tuple[str, ...] | None = None
    note: str | None = None


def check_delivery(delivery: Delivery) -> None:
    """BadInput for a delivery that cannot be."""
    if not 1 <= delivery.units <= MOST_UNITS:
        raise BadInput("units-out-of-range", given=delivery.units, most=MOST_UNITS, field="units")
    if not delivery.source.strip():
        raise BadInput("source-empty", field="source")
    opened = delivery.opened
    if opened is not None and not 0 <= opened <= delivery.units:
        raise BadInput("opened-out-of-range", given=opened, units=delivery.units, field="opened")
    if opened is None and (delivery.found or delivery.seconds is not None):
        raise BadInput("opened-not-said", field="opened")
    seconds = delivery.seconds
    if seconds is not None and not 0 <= seconds <= LONGEST_SECONDS:
        raise BadInput("bad-seconds", given=seconds, field="seconds")
    if delivery.codes and len(delivery.codes) != delivery.units:
        raise BadInput(
            "codes-of-delivery", given=len(delivery.codes), units=delivery.units, field="codes"
        )


def read_found(lines: Iterable[str], opened: int, body: Body) -> list[FoundOn]:
    """The finds of typed lines: 3 axils 2, or 3 axils 2 adult left.

    The number of the plant, its zone by code or word, how many; then, in any order, a stage and
    what was done: removed unless said otherwise. BadInput where a line does not say so.
    """
    zones = [zone.zone for zone in body.zones]
    return [_read(line, opened, zones) for line in lines]


def _read(line: str, opened: int, zones: Sequence[str]) -> FoundOn:
    unit, *rest = line.split() or [""]
    at = next((n for n, word in enumerate(rest) if _is_count(word)), None)
    if not _is_count(unit) or not at:
        raise BadInput("no-find", given=line, field="found")
    if not 1 <= int(unit) <= opened:
        raise BadInput("find-not-opened", given=unit, opened=opened, field="found")
    count = int(rest[at])
    if not 1 <= count <= MOST_COUNTED:
        raise BadInput("no-find", given=line, field="found")
    said = {"stage": STAGES, "kind": KINDS}
    told: dict[str, str] = {}
    for word in rest[at + 1 :]:
        of = next((what for what, known in said.items() if word.casefold() in known), None)
        if of is None or of in told:
            allowed = ", ".join((*STAGES, *KINDS))
            raise BadInput("not-one-of", given=word, allowed=allowed, field="found")
        told[of] = word.casefold()
    zone = zone_named(zones, " ".join(rest[:at]), "found")
    return FoundOn(int(unit), zone, count, told.get("stage"), told.get("kind", KINDS[0]))


def _is_count(word: str) -> bool:
    return word.isascii() and word.isdigit() and len(word) <= len(str(MOST_COUNTED))


def by_zone(found: Iterable[FoundOn]) -> Mapping[str, list[tuple[str, str | None, int]]]:
    """By zone: kind, stage and number of each find of one plant."""
    zones: dict[str, list[tuple[str, str | None, int]]] = {}
    for find in found:
        zones.setdefault(find.zone, []).append((find.kind, find.stage, find.count))
    return zones
