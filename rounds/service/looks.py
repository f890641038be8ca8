"""Enter looks by hand, withdraw entries, settle doubts."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date

from rounds.core.body import Body, ZoneReference
from rounds.core.collection import Plant
from rounds.core.log.effective import Standing
from rounds.core.log.entries import VERDICTS, Look, PlantEntries, Tally, Withdrawal
from rounds.core.walks import Round
from rounds.errors import BadInput, Place, Refused
from rounds.service.entry_ids import EntryName, read_entry_name
from rounds.service.logbook import Logbook
from rounds.service.moment import Moment
from rounds.service.named import check_pest, check_zone, find_plant
from rounds.service.plants import check_here
from rounds.store import log, walks

KINDS = ("removed", "killed", "left", "doubtful")
STAGES = ("young", "adult", "eggs", "egg-mass")
LONGEST_SECONDS = 24 * 3600.0
MOST_COUNTED = 100_000


@dataclass(frozen=True, slots=True)
class LookEntered:
    """A look as it is typed in. No zones means the whole plant."""

    zones: tuple[str, ...]
    seconds: float
    counts: Mapping[str, int] = field(default_factory=dict)
    stage: str | None = None
    unpotted: bool = False
    cannot_see: str | None = None
    pest: str | None = None
    note: str | None = None
    outcome: str | None = None

    @property
    def counted(self) -> dict[str, int]:
        """The counts that are not nothing."""
        return {kind: count for kind, count in self.counts.items() if count}


@dataclass(frozen=True, slots=True)
class LookWritten:
    """What came of it."""

    look_ids: tuple[str, ...]
    tally_ids: tuple[str, ...]
    found: int


@dataclass(frozen=True, slots=True)
class CheckedLook:
    """A look that may be written: its zones are the plant's, its pest is known."""

    entered: LookEntered
    zones: tuple[ZoneReference, ...]


def enter_look(
    logbook: Logbook, moment: Moment, code: str, entered: LookEntered
) -> tuple[LookWritten, Plant]:
    """Write one look, or several that share their seconds by reference time."""
    plant = find_plant(logbook, code)
    checked = check_look(logbook, plant, moment.day, entered)
    with logbook.file.writing():
        round_id = round_of_entries(logbook, moment, "entered")
        return write_look(logbook, moment, plant, checked, round_id), plant


def check_look(logbook: Logbook, plant: Plant, day: date, entered: LookEntered) -> CheckedLook:
    """The look with its zones found. BadInput or Refused where it may not be written."""
    check_here(plant, day)
    zones = _zones(logbook.body_on(plant)(day), entered)
    _check(entered, zones)
    if entered.pest is not None:
        entered = replace(entered, pest=check_pest(logbook, entered.pest))
    return CheckedLook(entered, tuple(zones))


def write_look(
    logbook: Logbook, moment: Moment, plant: Plant, checked: CheckedLook, round_id: int
) -> LookWritten:
    """Write a look that was checked, into a round."""
    entered, zones = checked.entered, checked.zones
    shares = share_seconds(zones, entered.seconds)
    with logbook.file.writing():
        looks = [
            _write_look(logbook, moment, plant, zone.zone, round_id, shares[zone.zone], entered)
            for zone in zones
        ]
        tallies = [
            _write_tally(logbook, moment, plant, looks[0], kind, count, entered)
            for kind, count in entered.counted.items()
        ]
    names = [EntryName("look", moment.day, plant.id, look_id) for look_id in looks]
    tally_names = [EntryName("tally", moment.day, plant.id, tally_id) for tally_id in tallies]
    found = sum(count for kind, count in entered.counted.items() if kind != "doubtful")
    return LookWritten(tuple(map(str, names)), tuple(map(str, tally_names)), found)


def share_seconds(zones: Sequence[ZoneReference], seconds: float) -> dict[str, float]:
    """Seconds spent on several zones together, shared by their reference times."""
    whole = sum(zone.reference_seconds for zone in zones)
    return {zone.zone: seconds * zone.reference_seconds / whole for zone in zones}


def round_of_entries(logbook: Logbook, moment: Moment, how: str) -> int:
    """The round that holds what one person enters for a day outside a walk."""
    for walk in walks.rounds_on(logbook.file, moment.day, how):
        if walk.who == moment.who:
            return walk.id
    entry_id = logbook.file.next_id()
    walks.append_round(
        logbook.file,
        Round(entry_id, moment.day, moment.who, moment.seconds, moment.seconds, None, how),
    )
    return entry_id


def _zones(body: Body, entered: LookEntered) -> list[ZoneReference]:
    if not entered.zones:
        return list(body.outside)
    codes = [zone.zone for zone in body.zones]
    return [body.zone(check_zone(codes, zone)) for zone in dict.fromkeys(entered.zones)]


def _check(entered: LookEntered, zones: list[ZoneReference]) -> None:
    if not 0 <= entered.seconds <= LONGEST_SECONDS:
        raise _bad("bad-seconds", "--seconds", given=entered.seconds)
    for kind, count in entered.counts.items():
        if not 0 <= count <= MOST_COUNTED:
            raise _bad("bad-count", f"--{kind}", given=count, kind=kind)
    if entered.counted and len(zones) > 1:
        raise _bad("count-needs-one-zone", "ZONE")
    if entered.stage is not None and not entered.counted:
        raise _bad("stage-without-count", "--stage", given=entered.stage)
    if entered.stage is not None and entered.stage not in STAGES:
        raise _bad("not-one-of", "--stage", given=entered.stage, argument="--stage",
                   allowed=", ".join(STAGES))  # fmt: skip
    if entered.unpotted and [zone.zone for zone in zones] != ["roots"]:
        raise _bad("unpotted-needs-roots", "--unpotted")
    if entered.cannot_see is not None and (entered.counted or entered.seconds):
        raise _bad("cannot-see-with-looking", "--cannot-see")


def _bad(code: str, argument_named: str, /, **values: object) -> BadInput:
    return BadInput(code, places=[Place(argument=argument_named)], **values)


def _write_look(
    logbook: Logbook,
    moment: Moment,
    plant: Plant,
    zone: str,
    round_id: int,
    seconds: float,
    entered: LookEntered,
) -> int:
    look_id = logbook.file.next_id()
    outcome = "cannot-see" if entered.cannot_see is not None else entered.outcome or "looked"
    log.append_look(
        logbook.file,
        Look(
            id=look_id,
            day=moment.day,
            plant_id=plant.id,
            zone=zone,
            round_id=round_id,
            began_at=moment.seconds,
            seconds=seconds,
            outcome=outcome,
            reason=entered.cannot_see,
            unpotted=entered.unpotted,
        ),
    )
    if entered.note:
        log.append_note(logbook.file, look_id, entered.note)
    return look_id


def _write_tally(
    logbook: Logbook,
    moment: Moment,
    plant: Plant,
    look_id: int,
    kind: str,
    count: int,
    entered: LookEntered,
) -> int:
    tally_id = logbook.file.next_id()
    log.append_tally(
        logbook.file,
        Tally(
            id=tally_id,
            day=moment.day,
            plant_id=plant.id,
            look_id=look_id,
            at_ms=moment.at_ms,
            kind=kind,
            stage=entered.stage,
            pest=pest_counted(logbook, plant, moment.day, entered),
            count=count,
        ),
    )
    return tally_id


def pest_counted(logbook: Logbook, plant: Plant, day: date, entered: LookEntered) -> str:
    """The pest a count is of: the one named, else the first the plant is followed for."""
    followed = (plant.fact("pests", day) or "").split(" ")[0]
    return entered.pest or followed or logbook.parameters.default_pest


def withdraw(
    logbook: Logbook, moment: Moment, text: str, why: str | None = None
) -> tuple[list[str], Plant | None]:
    """Take an entry back: a look with its tallies, a tally, a move, a day's temperatures.

    The correction belongs to the day of what it corrects. The plant is None for temperatures.
    """
    name = read_entry_name(text)
    with logbook.file.writing():
        if name.kind == "weather":
            return _withdraw_weather(logbook, moment, name, why), None
        plant = _owner(logbook, name)
        if name.kind == "move":
            return _withdraw_move(logbook, moment, name, plant, why), plant
        return _withdraw_from_log(logbook, moment, name, plant, why), plant


def _owner(logbook: Logbook, name: EntryName) -> Plant:
    plant = logbook.collection().plants.get(name.owner_id)
    if plant is None:
        raise _bad("unknown-entry", "ENTRY", given=str(name))
    return plant


def _withdraw_weather(
    logbook: Logbook, moment: Moment, name: EntryName, why: str | None
) -> list[str]:
    standing = logbook.collection().weather.get(name.owner_id, {}).get(name.day)
    if standing is None or standing.id != name.entry_id:
        raise _bad("unknown-entry", "ENTRY", given=str(name))
    _append(logbook, moment, name, log.OF_A_PLACE, "taken-back", why)
    return [str(name)]


def _withdraw_move(
    logbook: Logbook, moment: Moment, name: EntryName, plant: Plant, why: str | None
) -> list[str]:
    if not any(m.id == name.entry_id and m.day == name.day for m in plant.moves):
        raise _bad("unknown-entry", "ENTRY", given=str(name))
    if len(plant.moves) == 1:
        raise Refused("only-move", code=plant.code, places=[Place(argument="ENTRY")])
    _append(logbook, moment, name, plant.id, "record", why)
    return [str(name)]


def _withdraw_from_log(
    logbook: Logbook, moment: Moment, name: EntryName, plant: Plant, why: str | None
) -> list[str]:
    entries = log.entries_of(logbook.file, plant.id, name.day, name.day)
    standing = Standing(entries.withdrawals)
    own = {entry.id for entry in (entries.looks if name.kind == "look" else entries.tallies)}
    if name.entry_id not in own:
        raise _bad("unknown-entry", "ENTRY", given=str(name))
    if not _counts(name, entries, standing):
        raise Refused("already-withdrawn", entry=str(name), places=[Place(argument="ENTRY")])
    _append(logbook, moment, name, plant.id, "taken-back", why)
    gone = [str(name)]
    if name.kind == "look":
        gone += [
            str(EntryName("tally", name.day, plant.id, tally.id))
            for tally in entries.tallies
            if standing.stands(tally.id) and standing.heir(tally.look_id) == name.entry_id
        ]
    return gone


def _counts(name: EntryName, entries: PlantEntries, standing: Standing) -> bool:
    if not standing.stands(name.entry_id):
        return False
    if name.kind == "look":
        return True
    tally = next(t for t in entries.tallies if t.id == name.entry_id)
    return standing.heir(tally.look_id) is not None


def _append(
    logbook: Logbook,
    moment: Moment,
    name: EntryName,
    plant_id: int,
    why: str,
    note: str | None = None,
) -> None:
    log.append_withdrawal(
        logbook.file,
        Withdrawal(
            id=logbook.file.next_id(),
            day=name.day,
            plant_id=plant_id,
            target_id=name.entry_id,
            at_ms=moment.at_ms,
            why=why,
            note=note,
        ),
    )


def settle(logbook: Logbook, moment: Moment, text: str, verdict: str) -> tuple[str, Plant]:
    """Say what a doubtful speck turned out to be, as of the day it was seen."""
    name = read_entry_name(text)
    if verdict not in VERDICTS:
        raise _bad("not-one-of", "VERDICT", given=verdict, argument="VERDICT",
                   allowed=", ".join(sorted(VERDICTS)))  # fmt: skip
    if name.kind != "tally":
        raise _bad("not-a-doubt", "ENTRY", given=text)
    plant = _owner(logbook, name)
    with logbook.file.writing():
        entries = log.entries_of(logbook.file, plant.id, name.day, name.day)
        standing = Standing(entries.withdrawals)
        tally = next((t for t in entries.tallies if t.id == name.entry_id), None)
        if tally is None:
            raise _bad("unknown-entry", "ENTRY", given=text)
        if tally.kind != "doubtful":
            raise _bad("not-a-doubt", "ENTRY", given=text)
        if not _counts(name, entries, standing):
            raise Refused("already-withdrawn", entry=text, places=[Place(argument="ENTRY")])
        _append(logbook, moment, name, plant.id, verdict)
    return str(name), plant
