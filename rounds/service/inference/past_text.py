"""A past as it is kept in the file: plain data, days as their distance to its last one."""

import json
from datetime import date, timedelta
from typing import Any

from rounds.core.estimates.growth import DayCounted
from rounds.core.quarantine.days import DayLooked
from rounds.core.quarantine.past import OpenDoubt, Past, PestPast, SignSeen, ZonePast

PAST_VERSION = 5
"""Increased whenever the same looks may give another past, or another text of it."""

COMPLETE, LIVE, MEDIUM, ROOTS = 1, 2, 4, 8
"""bit flags of a day looked, below its distance in days times 16"""

FLAGS = 16


def text_of(past: Past) -> str:
    """A past as text."""
    back = _Back(past.until)
    whole = {
        "key": past.key,
        "pests": {pest: _of_pest(of, back) for pest, of in past.pests.items()},
        "zones": {
            zone: [
                back(z.looked_on),
                back(z.counted_on),
                back(z.told_on),
                z.killed,
                z.left,
                [back(z.gone_over[0]), *z.gone_over[1]] if z.gone_over else None,
            ]
            for zone, z in past.zones.items()
        },
        "doubts": [[d.tally_id, back(d.day), d.zone, d.count, d.pest, d.own] for d in past.doubts],
        "signs": [[back(s.day), s.zone, s.kind] for s in past.signs],
        "last": [back(day) for day in (past.last_look_on, past.seen_on, past.gone_over_on)],
        "made": [past.gone_over_from, past.found_at],
        "counts": [past.is_counted, past.visits],
        "newest": past.newest and [past.newest[0], back(past.newest[1])],
    }
    return json.dumps(whole, separators=(",", ":"))


def past_of(text: str, until: date) -> Past:
    """The past of a text."""
    found = json.loads(text)
    day = _Day(until)
    last_look_on, seen_on, gone_over_on = (day(number) for number in found["last"])
    gone_over_from, found_at = (made and (made[0], made[1]) for made in found["made"])
    is_counted, visits = found["counts"]
    return Past(
        until=until,
        key=found["key"],
        pests={pest: _pest_of(of, day) for pest, of in found["pests"].items()},
        zones={
            zone: ZonePast(
                day(looked),
                day(counted),
                day(told),
                killed,
                left,
                over and (day.known(over[0]), (over[1], over[2])),
            )
            for zone, (looked, counted, told, killed, left, over) in found["zones"].items()
        },
        doubts=tuple(
            OpenDoubt(tally_id, day.known(on), zone, count, pest, own)
            for tally_id, on, zone, count, pest, own in found["doubts"]
        ),
        signs=tuple(SignSeen(day.known(on), zone, kind) for on, zone, kind in found["signs"]),
        last_look_on=last_look_on,
        seen_on=seen_on,
        gone_over_on=gone_over_on,
        gone_over_from=gone_over_from,
        found_at=found_at,
        is_counted=is_counted,
        visits=visits,
        newest=(found["newest"][0], day.known(found["newest"][1])) if found["newest"] else None,
    )


class _Back:
    """From a day to how many days it lies before the last."""

    def __init__(self, until: date) -> None:
        self._until = until

    def __call__(self, day: date | None) -> int | None:
        return None if day is None else (self._until - day).days


class _Day:
    """From how many days before the last to the day."""

    def __init__(self, until: date) -> None:
        self._until = until

    def __call__(self, back: int | None) -> date | None:
        return None if back is None else self.known(back)

    def known(self, back: int) -> date:
        return self._until - timedelta(days=back)


def _of_pest(past: PestPast, back: _Back) -> dict[str, Any]:
    return {
        "days": [(back(d.day) or 0) * FLAGS + _flags(d) for d in past.days],
        "live": [back(day) for day in past.live_on],
        "older": [back(past.older_until), past.older_looks, back(past.older_began_on)],
        "complete": back(past.complete_on),
        "laid": back(past.laid_on),
        "counted": [[back(of.day), of.found, of.effort] for of in past.counted],
    }


def _pest_of(found: dict[str, Any], day: _Day) -> PestPast:
    older_until, older_looks, older_began = found["older"]
    return PestPast(
        days=tuple(
            DayLooked(
                day.known(number // FLAGS),
                complete=bool(number & COMPLETE),
                live=bool(number & LIVE),
                medium_seen=bool(number & MEDIUM),
                roots_seen=bool(number & ROOTS),
            )
            for number in found["days"]
        ),
        older_until=day(older_until),
        live_on=tuple(day.known(back) for back in found["live"]),
        older_looks=older_looks,
        older_began_on=day(older_began),
        complete_on=day(found["complete"]),
        laid_on=day(found["laid"]),
        counted=tuple(DayCounted(day.known(at), *of) for at, *of in found["counted"]),
    )


def _flags(looked: DayLooked) -> int:
    return (
        COMPLETE * looked.complete
        + LIVE * looked.live
        + MEDIUM * looked.medium_seen
        + ROOTS * looked.roots_seen
    )
