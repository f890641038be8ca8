"""Enter looks by hand."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date

from rounds.core.body import Body, ZoneReference
from rounds.core.collection import Plant
from rounds.core.log.entries import Look, Tally
from rounds.core.walks import Round
from rounds.errors import BadInput
from rounds.service.collection.plants import check_here
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.entry_ids import EntryName
from rounds.service.logbook.moment import Moment
from rounds.service.logbook.named import check_pest, check_zone, find_plant
from rounds.store import log, walks
from rounds.words.pests import pest_name

KINDS = ("removed", "killed", "left", "doubtful")
STAGES = ("young", "adult", "eggs", "egg-mass")
WHOLE = "whole-plant"
"""Stands where a zone is named, for all zones but the roots, which share the seconds."""

LONGEST_SECONDS = 24 * 3600.0
MOST_COUNTED = 100_000


@dataclass(frozen=True, slots=True)
class StageCounts:
    """What was counted of one stage, by kind; None where nobody could tell the stage."""

    counts: Mapping[str, int]
    stage: str | None = None


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
    further: tuple[StageCounts, ...] = ()
    """what else the same look showed, each of another stage"""

    @property
    def by_stage(self) -> tuple[StageCounts, ...]:
        """All that was counted, the first stage first."""
        return (StageCounts(self.counts, self.stage), *self.further)

    @property
    def counted(self) -> dict[str, int]:
        """The counts that are not nothing, all stages together."""
        summed: dict[str, int] = {}
        for kind, _, count in self.tallies:
            summed[kind] = summed.get(kind, 0) + count
        return summed

    @property
    def tallies(self) -> tuple[tuple[str, str | None, int], ...]:
        """Kind, stage and number of each count that is not nothing."""
        return tuple(
            (kind, of.stage, count)
            for of in self.by_stage
            for kind, count in of.counts.items()
            if count
        )

    def with_stages(self, counted: Iterable[tuple[str, str | None, int]]) -> "LookEntered":
        """The same look with these counts, each a kind, a stage and a number."""
        by_stage: dict[str | None, dict[str, int]] = {}
        for kind, stage, count in counted:
            of_stage = by_stage.setdefault(stage, {})
            of_stage[kind] = of_stage.get(kind, 0) + count
        groups = [StageCounts(counts, stage) for stage, counts in by_stage.items()]
        first, *rest = groups or [StageCounts({})]
        return replace(self, counts=first.counts, stage=first.stage, further=tuple(rest))


@dataclass(frozen=True, slots=True)
class LookWritten:
    """A look as written."""

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
    zones = _zones(logbook.body_on(plant, day)(day), entered)
    _check(entered, zones)
    if entered.pest is not None:
        entered = replace(entered, pest=check_pest(logbook, entered.pest))
    check_stages(logbook, plant, day, entered)
    return CheckedLook(entered, tuple(zones))


def check_stages(logbook: Logbook, plant: Plant, day: date, entered: LookEntered) -> None:
    """BadInput for a stage that the pest counted does not have."""
    stages = [of.stage for of in entered.by_stage if of.stage is not None]
    if stages:
        pest = pest_counted(logbook, plant, day, entered)
        for stage in stages:
            check_stage(logbook, pest, stage, day)


def check_stage(logbook: Logbook, pest: str, stage: str, day: date) -> None:
    """BadInput for a stage that a pest does not have."""
    recorded = logbook.biology(pest, day).recorded
    if stage not in recorded:
        raise BadInput(
            "stage-not-of-pest",
            field="stage",
            given=stage,
            pest=pest_name(pest),
            allowed=", ".join(recorded),
        )


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
        return write_tallies(logbook, moment, plant, tuple(looks), entered)


def write_tallies(
    logbook: Logbook, moment: Moment, plant: Plant, looks: tuple[int, ...], entered: LookEntered
) -> LookWritten:
    """Write what was counted into the first of some looks, and name them all."""
    pest = pest_counted(logbook, plant, moment.day, entered)
    tallies = [
        _write_tally(logbook, moment, plant, looks[0], tally, pest) for tally in entered.tallies
    ]
    names = [EntryName("look", moment.day, plant.id, look_id) for look_id in looks]
    tally_names = [EntryName("tally", moment.day, plant.id, tally_id) for tally_id in tallies]
    found = sum(count for kind, _, count in entered.tallies if kind != "doubtful")
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
        raise BadInput("bad-seconds", field="seconds", given=entered.seconds)
    for of in entered.by_stage:
        _check_counts(of)
    if entered.counted and len(zones) > 1:
        raise BadInput("count-needs-one-zone", field="zone")
    stages = [of.stage for of in entered.by_stage]
    for of in entered.further:
        if stages.count(of.stage) > 1:
            raise BadInput("stage-twice", field="stage", given=of.stage or "-")
    if entered.unpotted and [zone.zone for zone in zones] != ["roots"]:
        raise BadInput("unpotted-needs-roots", field="unpotted")
    if entered.cannot_see is not None and (entered.counted or entered.seconds):
        raise BadInput("cannot-see-with-looking", field="cannot_see")


def _check_counts(of: StageCounts) -> None:
    for kind, count in of.counts.items():
        if not 0 <= count <= MOST_COUNTED:
            raise BadInput("bad-count", field=kind, given=count, kind=kind)
    if of.stage is not None and not any(of.counts.values()):
        raise BadInput("stage-without-count", field="stage", given=of.stage)
    if of.stage is not None and of.stage not in STAGES:
        raise BadInput("not-one-of", field="stage", given=of.stage, allowed=", ".join(STAGES))


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
    tally: tuple[str, str | None, int],
    pest: str,
) -> int:
    kind, stage, count = tally
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
            stage=stage,
            pest=pest,
            count=count,
        ),
    )
    return tally_id


def pest_counted(logbook: Logbook, plant: Plant, day: date, entered: LookEntered) -> str:
    """The pest a count is of: the one named, else the first the plant is followed for."""
    followed = (plant.fact("pests", day) or "").split(" ")[0]
    return entered.pest or followed or logbook.parameters.default_pest
