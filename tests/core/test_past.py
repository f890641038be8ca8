"""What older days amount to: the same from all looks at once or day by day, and from their days."""

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rounds.core.body import make_body
from rounds.core.log.effective import EffectiveLook, EffectiveSign, EffectiveTally
from rounds.core.quarantine.days import days_looked
from rounds.core.quarantine.past import DAYS_KEPT, Past, Reader, gone_on, nothing_before
from rounds.core.quarantine.streak import clean_streak
from rounds.service.inference.past_text import past_of, text_of
from rounds.service.logbook.parameters import load_parameters

PARAMETERS = load_parameters()
BODY = make_body("leafy-plant", "small", False, PARAMETERS)
PEST = "mealybug"
FIRST = date(2026, 1, 1)
ZONES = [zone.zone for zone in BODY.outside]
READER = Reader(lambda _: BODY, {PEST: date.min}, PARAMETERS.inspection, 0.25)
RULES = PARAMETERS.pests[PEST].rules["default"]


def on(offset: int) -> date:
    return FIRST + timedelta(days=offset)


KINDS = ["removed", "killed", "left", "doubtful"]
TALLIES = st.builds(
    EffectiveTally,
    id=st.integers(1, 10**6),
    kind=st.sampled_from(KINDS),
    stage=st.sampled_from([None, "young", "adult"]),
    pest=st.sampled_from([PEST, "scale"]),
    count=st.integers(1, 3),
    at_ms=st.just(0),
    settled_as=st.sampled_from([None, None, "alive", "remains"]),
)
SIGNS = st.builds(EffectiveSign, id=st.integers(1, 10**6), kind=st.just("ants"))


@st.composite
def looks(draw: st.DrawFn, days: int = 40) -> tuple[EffectiveLook, ...]:
    """The looks of some days, some of them at all zones for long enough."""
    found: list[EffectiveLook] = []
    for offset in sorted(draw(st.sets(st.integers(0, days - 1), max_size=14))):
        whole = draw(st.booleans())
        zones = ZONES if whole else draw(st.lists(st.sampled_from(ZONES), max_size=3))
        for zone in zones:
            tallies = draw(st.lists(TALLIES, max_size=1)) if draw(st.integers(0, 5)) == 0 else []
            signs = draw(st.lists(SIGNS, max_size=1)) if draw(st.integers(0, 9)) == 0 else []
            found.append(
                EffectiveLook(
                    id=len(found) + 1,
                    day=on(offset),
                    zone=zone,
                    round_id=offset,
                    began_at=0,
                    seconds=draw(st.sampled_from([2.0, 60.0])),
                    outcome=draw(st.sampled_from(["looked", "looked", "cannot-see"])),
                    reason=draw(st.sampled_from([None, None, "not-answered"])),
                    unpotted=False,
                    is_open=False,
                    tallies=tuple(tallies),
                    signs=tuple(signs),
                )
            )
    return tuple(found)


def whole(seen: tuple[EffectiveLook, ...]) -> Past:
    return gone_on(nothing_before(FIRST), seen, on(39), READER)


@given(looks(), st.lists(st.integers(0, 39), max_size=4))
def test_day_by_day_it_comes_to_the_same(seen: tuple[EffectiveLook, ...], stops: list[int]) -> None:
    past = nothing_before(FIRST)
    for stop in sorted({*stops, 39}):
        new = [look for look in seen if past.until < look.day <= on(stop)]
        past = past_of(text_of(gone_on(past, new, on(stop), READER)), on(stop))
    assert past == whole(seen)


@given(looks())
def test_its_days_are_those_of_the_looks(seen: tuple[EffectiveLook, ...]) -> None:
    past = whole(seen).pests.get(PEST)
    days = days_looked(seen, lambda _: BODY, PEST, PARAMETERS.inspection)
    assert (past.days if past else ()) == days
    assert (past.live_on if past else ()) == tuple(day.day for day in days if day.live)


@given(looks())
def test_it_reads_back_as_it_was_written(seen: tuple[EffectiveLook, ...]) -> None:
    past = whole(seen)
    assert past_of(text_of(past), past.until) == past


def clean_looks(day: date) -> list[EffectiveLook]:
    """A complete clean look of one day."""
    return [
        EffectiveLook(
            day.toordinal() * 10 + n, day, zone, 1, 0, 60.0, "looked", None, False, False, ()
        )
        for n, zone in enumerate(ZONES)
    ]


@pytest.mark.parametrize("every", [1, 3, 40])
@pytest.mark.parametrize("find_on", [None, 100, 700])
def test_a_long_streak_is_the_same_when_most_of_its_days_are_no_longer_kept(
    every: int, find_on: int | None
) -> None:
    days = range(0, 1000, every)
    seen = [look for offset in days for look in clean_looks(on(offset))]
    if find_on is not None:
        number = next(n for n, look in enumerate(seen) if look.day >= on(find_on))
        alive = EffectiveTally(1, "removed", None, PEST, 1, 0)
        seen[number] = replace(seen[number], tallies=(alive,))
    past = nothing_before(FIRST)
    for until in range(49, 1000, 50):
        new = [look for look in seen if past.until < look.day <= on(until)]
        past = gone_on(past, new, on(until), READER)
    known = past.pests[PEST]
    every_day = days_looked(tuple(seen), lambda _: BODY, PEST, PARAMETERS.inspection)
    for asked in (on(999), on(1030)):
        kept = clean_streak(
            known.days, asked, RULES, older=(known.older_looks, known.older_began_on)
        )
        assert kept == clean_streak(every_day, asked, RULES)
    assert len(known.days) < len(every_day) or every == 40
    assert (on(999) - known.days[0].day).days <= DAYS_KEPT or every == 40


@pytest.mark.parametrize(
    "other",
    [
        {"id": 9}, {"day": on(3)}, {"zone": "sheaths"}, {"seconds": 19.0}, {"outcome": "partial"},
        {"unpotted": True}, {"is_open": True}, {"tallies": ()},
    ],
    ids=str,
)  # fmt: skip
def test_its_key_is_another_with_any_look(other: dict[str, Any]) -> None:
    tally = EffectiveTally(2, "removed", "adult", PEST, 1, 0)
    look = EffectiveLook(1, on(2), "axils", 1, 0, 60.0, "looked", None, False, False, (tally,))
    assert whole((look,)).key != whole((replace(look, **other),)).key


@pytest.mark.parametrize(
    "other",
    [
        {"kind": "left"},
        {"stage": "young"},
        {"pest": "scale"},
        {"count": 2},
        {"settled_as": "alive"},
    ],
    ids=str,
)
def test_its_key_is_another_with_any_count(other: dict[str, Any]) -> None:
    tally = EffectiveTally(2, "removed", "adult", PEST, 1, 0)
    look = EffectiveLook(1, on(2), "axils", 1, 0, 60.0, "looked", None, False, False, (tally,))
    changed = replace(look, tallies=(replace(tally, **other),))
    assert whole((look,)).key != whole((changed,)).key


def test_all_of_a_plant_was_gone_over_from_the_last_look_from_which_on_it_was() -> None:
    def look(number: int, zone: str, second: int) -> EffectiveLook:
        return EffectiveLook(number, FIRST, zone, 1, second, 60.0, "looked", None, False, False, ())

    morning = [look(k, zone, 100 + k) for k, zone in enumerate(ZONES, 1)]
    again = [look(20 + k, zone, 900 + k) for k, zone in enumerate(ZONES[1:], 1)]
    assert whole(tuple(morning)).gone_over_from == (101, 1)
    # the first zone was looked at in the morning alone: all of it only with that look
    assert whole((*morning, *again)).gone_over_from == (101, 1)
    late = look(40, ZONES[0], 999)
    # entered in any order, they count in the order in which they were made
    assert whole((*morning, late, *again)).gone_over_from == (901, 21)


def test_a_plant_looked_at_in_parts_was_gone_over_from_the_day_of_the_oldest_part_on() -> None:
    def part(zones: list[str], offset: int) -> list[EffectiveLook]:
        return [
            replace(look, round_id=offset, began_at=100 + look.id)
            for look in clean_looks(on(offset))
            if look.zone in zones
        ]

    first, second, third = ZONES[:3], ZONES[3:], ZONES[:1]
    in_parts = whole((*part(first, 3), *part(second, 5)))
    assert in_parts.gone_over_on == on(3)
    assert in_parts.zones[second[0]].gone_over_on == on(5)
    assert whole((*part(first, 3),)).gone_over_on is None
    assert whole((*part(first, 3), *part(second, 5), *part(third, 6))).gone_over_on == on(3)
    again = whole((*part(first, 3), *part(second, 5), *part(first, 6)))
    assert again.gone_over_on == on(5)
    assert again.gone_over_from == min(z.gone_over for z in again.zones.values() if z.gone_over)[1]


def test_the_last_find_is_told_by_the_look_it_was_made_at() -> None:
    def look(number: int, day: int, kind: str | None) -> EffectiveLook:
        tallies = (EffectiveTally(number, kind, None, PEST, 1, 0, None),) if kind else ()
        return EffectiveLook(
            number, on(day), ZONES[0], day, 10 * number, 60.0, "looked", None, False, False, tallies
        )

    seen = [look(1, 0, "removed"), look(2, 0, None), look(3, 5, "doubtful"), look(4, 6, None)]
    assert whole(tuple(seen)).found_at == (10, 1)
    assert whole((*seen, look(5, 7, "left"), look(6, 7, None))).found_at == (50, 5)
