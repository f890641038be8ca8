"""A plant that was divided: its parts go on with its log, its clocks and its standing."""

from collections.abc import Callable, Mapping
from datetime import date, timedelta
from itertools import product
from typing import Any

import pytest

from rounds.clock import SetClock
from rounds.core.collection import Plant
from rounds.core.log.entries import Sign
from rounds.errors import BadInput, Refused
from rounds.service.collection.division import DivisionEntered, divide
from rounds.service.collection.plants import move_plant, plant_gone
from rounds.service.collection.release import end_quarantine
from rounds.service.collection.repot import repot
from rounds.service.entries.corrections import replace_look, settle, withdraw
from rounds.service.entries.looks import LookWritten
from rounds.service.inference.day import CollectionDay, record_of
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.entry_ids import EntryName, read_entry_name
from rounds.service.logbook.moment import Moment, local_noon, now
from rounds.service.plan.today import plan_day
from rounds.service.plant.reasons import reasons_for
from rounds.service.plant.record import PlantRecord
from rounds.service.plant.timeline import gone_entry, timeline
from rounds.store.signs import append_sign
from tests.days import detail_of

Add = Callable[..., Plant]
LookIn = Callable[..., LookWritten]
TODAY = date(2026, 5, 4)
CAME, CUT = date(2026, 4, 1), date(2026, 4, 20)


def divided(logbook: Logbook, into: int = 2, day: date = CUT, **said: Any) -> str:
    """S03 is divided; the entry."""
    entered = DivisionEntered(into, **said)
    return divide(logbook, local_noon(day), "S03", entered).entry


def record(logbook: Logbook, code: str, on: date = TODAY) -> PlantRecord:
    plant = logbook.collection().plant(code)
    assert plant is not None
    return record_of(logbook, plant, on)


@pytest.fixture
def came(add: Add, look: LookIn) -> None:
    """S03 came with three insects, and was clean from then on."""
    add("S03", "Pintle", arrived=CAME, place="stair foot")
    look("S03", CAME, "axils", counts={"removed": 3})
    for days in (4, 9, 14):
        look("S03", CAME + timedelta(days))


@pytest.mark.usefixtures("came")
def test_parts_go_on_with_the_clocks_and_the_standing(logbook: Logbook) -> None:
    before = record(logbook, "S03", CUT)
    divided(logbook, 3, codes=("S07", "S08"), names=("Fid", "Fid the less"))
    for code, name in (("S03", "Pintle"), ("S07", "Fid"), ("S08", "Fid the less")):
        part = record(logbook, code, CUT)
        assert part.name() == name
        assert (part.standing, part.standing_since) == ("quarantine", CAME)
        assert part.streak == before.streak
        assert part.last_find_on == CAME
        have = {c.code: c.have for c in part.criteria if c.code != "chance_clean"}
        assert have == {c.code: c.have for c in before.criteria if c.code != "chance_clean"}
        assert part.log == before.log
        assert part.body == before.body


@pytest.mark.usefixtures("came")
def test_every_part_is_as_likely_clean_and_the_means_add_up(logbook: Logbook) -> None:
    whole = record(logbook, "S03", CUT).likely
    means, chance = whole.mean, whole.chance_clean
    divided(logbook, 3, place="porch shelf")
    parts = [record(logbook, code, CUT).likely for code in ("S03", "S04", "S05")]
    assert sum(part.mean for part in parts) == pytest.approx(means, rel=1e-9)
    assert len({round(part.chance_clean, 12) for part in parts}) == 1
    assert chance < parts[0].chance_clean < 1


@pytest.mark.usefixtures("came")
def test_the_chance_agrees_with_insects_dealt_out_one_by_one(logbook: Logbook) -> None:
    from rounds.core.inference.evidence import gather
    from tests.core.inference.asked import left_distribution

    whole = record(logbook, "S03", CUT)
    chances = left_distribution(gather(whole.likely.facts, CUT, whole.parameters).log)
    for into in (2, 3):
        entry = divided(logbook, into)
        part = record(logbook, "S04", CUT).likely.chance_clean
        # each insect goes to one of the parts: every way of dealing them out, up to four of them
        few = sum(
            chances[insects] * sum(0 not in dealt for dealt in product(range(into), repeat=insects))
            / into**insects
            for insects in range(5)
        )  # fmt: skip
        more = sum(
            chance * (1 - 1 / into) ** insects
            for insects, chance in enumerate(chances) if insects > 4
        )  # fmt: skip
        assert part == pytest.approx(few + more, abs=1e-6)
        withdraw(logbook, now(logbook.clock), entry)


@pytest.mark.usefixtures("came")
def test_an_entry_at_the_plant_counts_for_its_part_up_to_the_day(
    logbook: Logbook, look: LookIn
) -> None:
    # out of each other's reach: what is left on one is no news for the other
    divided(logbook, place="porch shelf")
    key = record(logbook, "S04").likely.key
    chance = record(logbook, "S04").likely.chance_clean
    look("S03", CUT + timedelta(2))
    after = record(logbook, "S04")
    assert after.likely.key == key
    assert after.likely.chance_clean == chance
    look("S03", CUT - timedelta(3))
    assert record(logbook, "S04").likely.key != key
    assert record(logbook, "S04").likely.chance_clean > chance
    assert record(logbook, "S04").streak.looks == record(logbook, "S03").streak.looks - 1


@pytest.mark.usefixtures("came")
def test_a_look_of_the_day_counts_for_the_whole_only_when_made_before(
    logbook: Logbook, look: LookIn
) -> None:
    before = look("S03", CUT)
    divided(logbook, place="porch shelf")
    look("S03", CUT, "axils", seconds=9.0)
    inherited = [k for k in record(logbook, "S04").log if k.day == CUT]
    assert len(inherited) == len(before.look_ids)
    assert all(k.seconds != 9.0 for k in inherited)
    # put right, it still is of the time before
    axils = next(i for i, k in zip(before.look_ids, inherited, strict=True) if k.zone == "axils")
    replace_look(logbook, now(logbook.clock), axils, zone="axils", seconds=30.0)
    assert [k.seconds for k in record(logbook, "S04").log if k.day == CUT].count(30.0) == 1
    own = record(logbook, "S03").likely.facts.divisions[0]
    assert sorted(k.id for k in record(logbook, "S04").log if k.day == CUT) == list(
        own.earlier or ()
    )


@pytest.mark.usefixtures("came")
def test_a_look_after_it_is_at_the_part_alone(logbook: Logbook, look: LookIn) -> None:
    """Before the division a clean look tells of the whole plant, after it of one part of it."""
    divided(logbook, place="porch shelf")
    unseen = record(logbook, "S04", CUT).likely.chance_clean
    look("S04", CUT)
    seen = record(logbook, "S04", CUT).likely.chance_clean
    assert seen > unseen
    assert record(logbook, "S03", CUT).likely.chance_clean == pytest.approx(unseen)


@pytest.mark.usefixtures("came")
def test_a_doubt_is_asked_once_and_what_it_was_holds_for_every_part(
    logbook: Logbook, look: LookIn
) -> None:
    doubt = look("S03", CUT - timedelta(1), "axils", counts={"doubtful": 1}).tally_ids[0]
    divided(logbook, place="porch shelf")
    assert [len(record(logbook, code).open_doubts) for code in ("S03", "S04")] == [1, 0]
    settle(logbook, now(logbook.clock), doubt, "alive")
    assert record(logbook, "S04").last_find_on == CUT - timedelta(1)


def test_neighbours_of_the_whole_counted_for_the_part_until_the_day(
    logbook: Logbook, add: Add, look: LookIn
) -> None:
    add("S03", "Pintle", on=CAME)
    add("G02", "Thole", on=CAME, touches=("S03",))
    look("G02", CAME + timedelta(2), "axils", counts={"left": 6})
    whole = dict(CollectionDay(logbook, TODAY).arrivals(record(logbook, "S03"), "mealybug"))
    divided(logbook, place="stair foot")
    part = CollectionDay(logbook, TODAY).arrivals(record(logbook, "S04"), "mealybug")
    until = {day: number for day, number in whole.items() if day <= CUT}
    assert until
    assert {day: number for day, number in part.items() if day <= CUT} == until
    assert max(part) <= CUT, "out of reach since"


def test_what_left_before_is_not_counted_twice(logbook: Logbook, add: Add, look: LookIn) -> None:
    add("S03", "Pintle", on=CAME)
    add("G02", "Thole", on=CAME, touches=("S03",))
    look("S03", CAME + timedelta(2), "axils", counts={"left": 6})
    before = CollectionDay(logbook, CUT).arrivals(record(logbook, "G02"), "mealybug")
    divided(logbook)
    after = CollectionDay(logbook, CUT).arrivals(record(logbook, "G02"), "mealybug")
    assert before
    assert after == pytest.approx(before)


def sign_at(logbook: Logbook, look_id: str, kind: str) -> str:
    """A sign seen at a look, as a round writes it; its name."""
    name = read_entry_name(look_id)
    with logbook.file.writing():
        sign = Sign(logbook.file.next_id(), name.day, name.owner_id, name.entry_id, 0, kind)
        append_sign(logbook.file, sign)
    return str(EntryName("sign", name.day, name.owner_id, sign.id))


def test_signs_at_the_whole_bring_every_part_attention(
    logbook: Logbook, add: Add, look: LookIn
) -> None:
    add("S03", "Pintle", on=CAME)
    before, later = CUT - timedelta(2), CUT + timedelta(1)
    for day in (CAME, before, CUT):
        look("S03", day)
    axils = look("S03", before, "axils", seconds=9.0).look_ids[0]
    divided(logbook, place="seedling bench")
    for code in ("S03", "S04"):
        assert not record(logbook, code, later).signs_lately
    ants = sign_at(logbook, axils, "ants")
    for code in ("S03", "S04"):
        part = record(logbook, code, later)
        assert part.claim.is_due
        assert next(reason.code for reason in reasons_for(part)) == "signs"
        assert [(s.day, s.zone, s.kind) for s in part.signs] == [(before, "axils", "ants")]
    plan = plan_day(logbook, later, 3.0)
    assert {planned.status.code for planned in plan.plan} == {"S03", "S04"}
    # what is seen afterwards is of the part it was seen on
    sign_at(logbook, look("S03", later, "axils", seconds=9.0).look_ids[0], "soot")
    assert [s.kind for s in record(logbook, "S04", later).signs] == ["ants"]
    withdraw(logbook, now(logbook.clock), ants)
    assert not record(logbook, "S04", later).signs_lately
    assert record(logbook, "S03", later).signs_lately


def told(logbook: Logbook, code: str) -> list[tuple[str | None, str, date]]:
    """Whose, of what kind and of what day the lines of a history are."""
    return [(line.of, line.kind, line.day) for line in timeline(record(logbook, code))]


@pytest.mark.usefixtures("came")
def test_the_history_of_a_part_goes_on_with_that_of_the_whole_up_to_the_division(
    logbook: Logbook, look: LookIn
) -> None:
    move_plant(logbook, local_noon(CUT - timedelta(1)), "S03", "stair foot", spot="2", apart=False)
    before = look("S03", CUT, seconds=70.0)
    divided(logbook, place="porch shelf")
    look("S03", CUT, "axils", seconds=9.0)
    move_plant(logbook, local_noon(CUT), "S03", "stair foot", spot="9", apart=False)
    look("S04", CUT + timedelta(1))
    look("S03", CUT + timedelta(2), "axils", counts={"left": 5})
    assert told(logbook, "S04") == [
        (None, "visit", CUT + timedelta(1)),
        (None, "came", CUT),
        (None, "divided", CUT),
        ("S03", "visit", CUT),
        ("S03", "move", CUT - timedelta(1)),
        *[("S03", "visit", CAME + timedelta(days)) for days in (14, 9, 4)],
        (None, "apart", CAME),
        ("S03", "visit", CAME),
        ("S03", "apart", CAME),
        ("S03", "came", CAME),
    ]
    whole = next(line for line in timeline(record(logbook, "S04")) if line.of)
    assert whole.text == "S03: nothing at 7 zones, 1:10 min"
    # put right, a look of before stays one of before, and one of after does not become one
    replace_look(logbook, now(logbook.clock), before.look_ids[0], zone="axils", seconds=30.0)
    assert sum(of == "S03" for of, _, _ in told(logbook, "S04")) == 8
    # what of it can be taken back is taken back at the plant it is of
    detail = detail_of(record(logbook, "S04"))
    assert detail.status.looks == 6
    assert detail.newest is not None
    assert read_entry_name(detail.newest.entry).owner_id == record(logbook, "S04").plant.id
    own = [line for line in told(logbook, "S03") if line[0]]
    assert own == []


def test_a_part_of_a_part_has_the_history_of_both(logbook: Logbook, add: Add, look: LookIn) -> None:
    add("S03", "Pintle", on=CAME)
    look("S03", CAME)
    divided(logbook)
    look("S04", CUT + timedelta(1))
    divide(logbook, local_noon(CUT + timedelta(2)), "S04", DivisionEntered(2, codes=("S05",)))
    look("S04", CUT + timedelta(3))
    look("S05", CUT + timedelta(4))
    visits = [(of, day) for of, kind, day in told(logbook, "S05") if kind == "visit"]
    assert visits == [
        (None, CUT + timedelta(4)),
        ("S04", CUT + timedelta(1)),
        ("S03", CAME),
    ]
    assert ("S04", "divided", CUT) in told(logbook, "S05")


def test_a_quarantine_of_the_whole_ended_later_is_not_told_as_ended_of_a_part(
    logbook: Logbook, add: Add
) -> None:
    add("S03", "Pintle", arrived=CAME, place="stair foot")
    divided(logbook)
    end_quarantine(logbook, local_noon(CUT + timedelta(3)), "S03", "a slip")
    assert "ended" in [kind for _, kind, _ in told(logbook, "S03")]
    assert "ended" not in [kind for _, kind, _ in told(logbook, "S04")]


@pytest.mark.usefixtures("came")
def test_a_part_can_be_divided_again(logbook: Logbook, look: LookIn) -> None:
    divided(logbook, place="porch shelf")
    later = CUT + timedelta(5)
    look("S04", later)
    written = divide(logbook, local_noon(later), "S04", DivisionEntered(2, place="seedling bench"))
    assert [part.code for part in written.parts] == ["S05"]
    grandchild = record(logbook, "S05")
    shares = [(d.day, d.share) for d in grandchild.likely.facts.divisions]
    assert shares == [(CUT, 0.5), (later, 0.5)]
    assert grandchild.last_find_on == CAME
    assert grandchild.log == record(logbook, "S04").log
    whole = record(logbook, "S04", later).likely
    mates = record(logbook, "S05", later).likely
    assert mates.chance_clean == pytest.approx(whole.chance_clean)


@pytest.mark.usefixtures("came")
def test_all_plants_are_read_in_one_pass(logbook: Logbook, monkeypatch: pytest.MonkeyPatch) -> None:
    divided(logbook, 4)
    asked: list[str] = []
    monkeypatch.setattr(Logbook, "entries", lambda *_: pytest.fail("a plant is read alone"))
    one_pass = Logbook.all_entries

    def counted(book: Logbook, first: date, on: date) -> Mapping[int, object]:
        asked.append("all")
        return one_pass(book, first, on)

    monkeypatch.setattr(Logbook, "all_entries", counted)
    found = CollectionDay(logbook, TODAY).records.values()
    assert all(one.last_find_on == CAME for one in found)
    assert asked == ["all"]


@pytest.mark.usefixtures("came")
def test_taken_back_it_leaves_nothing_and_the_codes_are_free(
    logbook: Logbook, add: Add, look: LookIn
) -> None:
    before = record(logbook, "S03").likely.chance_clean
    entry = divided(logbook, 3, place="porch shelf")
    withdraw(logbook, now(logbook.clock), entry, "a slip")
    assert [p.code for p in logbook.collection().plants.values()] == ["S03"]
    assert record(logbook, "S03").likely.chance_clean == before
    again = add("S04", "Marline")
    assert again.first_day == TODAY
    assert record(logbook, "S04").log == ()
    with pytest.raises(BadInput):
        withdraw(logbook, now(logbook.clock), entry)


@pytest.mark.usefixtures("came")
def test_it_stays_once_something_rests_on_it(
    logbook: Logbook, clock: SetClock, look: LookIn
) -> None:
    entry = divided(logbook, place="porch shelf")
    made = look("S04", CUT + timedelta(1), "axils").look_ids[0]
    for moved in (False, True):
        if moved:
            withdraw(logbook, now(clock), made)
            move_plant(logbook, local_noon(CUT + timedelta(2)), "S04", "seedling bench")
        with pytest.raises(Refused) as refused:
            withdraw(logbook, now(clock), entry)
        assert refused.value.code == "part-has-entries"
    assert len(logbook.collection().plants) == 2


@pytest.mark.usefixtures("came")
def test_what_else_was_entered_at_that_instant_stays_when_one_is_taken_back(
    logbook: Logbook, clock: SetClock
) -> None:
    moment = local_noon(CUT)
    move_plant(logbook, moment, "S03", "stair foot", spot="spot 2")
    written = divide(logbook, moment, "S03", DivisionEntered(2))
    repot(logbook, moment, "S03", repotted=True, roots=None)
    plant_gone(logbook, moment, "S03", "died")
    gone = gone_entry(logbook.collection().plants[1])
    withdraw(logbook, now(clock), str(gone))
    facts = {fact.what for fact in logbook.collection().plants[1].facts}
    assert {"divided", "repotted"} <= facts
    withdraw(logbook, now(clock), written.entry)
    plant = logbook.collection().plants[1]
    assert {fact.what for fact in plant.facts} >= {"repotted"}
    assert [move.spot for move in plant.moves] == [None, "spot 2"]
    assert len(logbook.collection().plants) == 1


@pytest.mark.usefixtures("came")
def test_of_two_divisions_the_newest_goes_first(logbook: Logbook) -> None:
    first = divided(logbook, place="porch shelf")
    second = divided(logbook, day=CUT + timedelta(3))
    with pytest.raises(Refused):
        divided(logbook, day=CUT + timedelta(1))
    with pytest.raises(Refused) as refused:
        withdraw(logbook, now(logbook.clock), first)
    assert refused.value.code == "divided-since"
    withdraw(logbook, now(logbook.clock), second)
    withdraw(logbook, now(logbook.clock), first)
    assert len(logbook.collection().plants) == 1


@pytest.mark.usefixtures("came")
@pytest.mark.parametrize(
    ("into", "said", "code"),
    [
        (1, {}, "parts-out-of-range"),
        (13, {}, "parts-out-of-range"),
        (3, {"codes": ("S07",)}, "codes-do-not-match"),
        (3, {"codes": ("S07", "s07")}, "code-twice"),
        (2, {"codes": ("S03",)}, "plant-known"),
        (2, {"codes": ("S 7",)}, "bad-code"),
        (3, {"names": ("Fid",)}, "names-do-not-match"),
        (2, {"names": (" ",)}, "names-do-not-match"),
        (2, {"place": "cellar"}, "unknown-place"),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_is_written(
    logbook: Logbook, into: int, said: dict[str, Any], code: str
) -> None:
    with pytest.raises(BadInput) as bad:
        divided(logbook, into, **said)
    assert bad.value.code == code
    assert [p.code for p in logbook.collection().plants.values()] == ["S03"]
    assert record(logbook, "S03").likely.facts.divisions == ()


def test_what_stands_among_the_others_is_apart_only_at_a_place_apart(
    logbook: Logbook, add: Add
) -> None:
    add("G02", "Thole", on=CAME)
    moment: Moment = local_noon(CUT)
    divide(logbook, moment, "G02", DivisionEntered(2))
    divide(logbook, moment, "G02", DivisionEntered(2, place="stair foot"))
    standings = {code: record(logbook, code).standing for code in ("G02", "G03", "G04")}
    assert standings == {"G02": "collection", "G03": "collection", "G04": "quarantine"}
    assert record(logbook, "G04").standing_since == CUT
