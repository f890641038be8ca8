"""Looks from a sheet: what a stand-in wrote down, entered plant by plant as one round."""

import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field, replace
from datetime import date
from math import ceil
from typing import Any

from rounds.core.collection import Plant
from rounds.errors import Refused
from rounds.service.collection.plants import check_here
from rounds.service.entries.corrections import withdraw
from rounds.service.entries.looks import (
    WHOLE,
    CheckedLook,
    LookEntered,
    check_look,
    round_of_entries,
    share_seconds,
    write_look,
)
from rounds.service.inference.day import record_of
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import Moment
from rounds.service.logbook.named import find_plant
from rounds.service.plan.today import plan_day
from rounds.service.plant.zones import PlannedZone, zones_to_do
from rounds.service.round.reasons import NO_REASON
from rounds.store import desk

SETTING = "sheet_entry"
"""Name of the setting that keeps a sheet left half entered."""


@dataclass(frozen=True, slots=True)
class Counted:
    """One count of a zone. Kind and stage as they are kept in the log."""

    kind: str
    count: int
    stage: str | None = None


@dataclass(frozen=True, slots=True)
class ZoneLine:
    """What stands on the sheet for a zone. `outcome`: looked, hidden, or skipped (no look).

    Of a plant looked at in one go the first line is of WHOLE, with all seconds; those after it say
    at which zone something was found, or which could not be seen, and have none.
    """

    zone: str
    seconds: float
    counted: tuple[Counted, ...] = ()
    outcome: str = "looked"

    @property
    def found(self) -> int:
        """Found alive."""
        return sum(counted.count for counted in self.counted if counted.kind != "doubtful")


@dataclass(frozen=True, slots=True)
class KeptPlant:
    """A plant whose lines are in the log, with the names of its looks."""

    code: str
    look_ids: tuple[str, ...]
    lines: tuple[ZoneLine, ...]


@dataclass(frozen=True, slots=True)
class SheetDraft:
    """How far the entering of a sheet has come. `lines` of the plant at hand are not written yet.

    `order` has the codes of the day's plan; by code, `whole` has the seconds planned for those
    looked at in one go, 0 where the plan knows of none, and `planned` those of each zone of the
    others. `code` is None where no plant is at hand.
    """

    day: date
    who: str | None
    order: tuple[str, ...]
    code: str | None
    lines: tuple[ZoneLine, ...] = ()
    kept: tuple[KeptPlant, ...] = ()
    whole: Mapping[str, int] = field(default_factory=dict)
    planned: Mapping[str, Mapping[str, int]] = field(default_factory=dict)
    found: ZoneLine | None = None
    """what was found on a plant looked at in one go, until it is said at which zone"""

    def next_code(self) -> str | None:
        """The plant of the order after the one at hand that is not in yet; from the start again."""
        at = self.order.index(self.code) + 1 if self.code in self.order else 0
        done = {kept.code for kept in self.kept} | {self.code}
        turned = [*self.order[at:], *self.order[:at]]
        return next((code for code in turned if code not in done), None)


@dataclass(frozen=True, slots=True)
class SheetOrder:
    """The codes of a day's plan in the order of its sheet; the rest is as in the draft."""

    codes: tuple[str, ...]
    whole: Mapping[str, int]
    planned: Mapping[str, Mapping[str, int]]


def order_of(logbook: Logbook, day: date) -> SheetOrder:
    """The order and planned seconds of a day's sheet."""
    plan = plan_day(logbook, day).plan
    return SheetOrder(
        tuple(planned.status.code for planned in plan),
        {p.status.code: ceil(p.planned_seconds) for p in plan if p.whole_plant},
        {
            p.status.code: {zone.zone: ceil(zone.planned_seconds) for zone in p.zones}
            for p in plan
            if not p.whole_plant
        },
    )


def zones_on(
    logbook: Logbook,
    code: str,
    day: date,
    planned: Mapping[str, int] | None = None,
    *,
    whole: bool = False,
) -> tuple[PlannedZone, ...]:
    """The zones of a plant with the whole seconds planned, from top to bottom.

    Those of the sheet; without it those still to be looked at that day, as long as counts as seen,
    and where all are seen all but the roots. BadInput or Refused where there is no such plant on
    that day.

    Args:
        logbook: of the plant.
        code: of the plant.
        day: the day of the sheet.
        planned: the zones and seconds of the sheet: who ticks a zone has looked for its time.
        whole: it was looked at in one go: all zones but the roots, numbered as on the sheet.
    """
    plant = find_plant(logbook, code)
    check_here(plant, day)
    record = record_of(logbook, plant, day)
    seen_from = record.table.inspection.seen_from
    to_do = () if whole else zones_to_do(record)
    zones = to_do or tuple(
        PlannedZone(zone.zone, zone.reference_seconds * seen_from) for zone in record.body.outside
    )
    if planned is not None:
        of_sheet = (PlannedZone(z.zone, planned[z.zone]) for z in zones if z.zone in planned)
        zones = tuple(of_sheet) or zones
    return tuple(PlannedZone(zone.zone, ceil(zone.planned_seconds)) for zone in zones)


def check_line(logbook: Logbook, code: str, day: date, line: ZoneLine) -> None:
    """BadInput or Refused where a line cannot be written."""
    _checked(logbook, find_plant(logbook, code), day, line)


def enter_plant(logbook: Logbook, moment: Moment, draft: SheetDraft) -> SheetDraft:
    """Write the lines of the plant at hand, all or none; the draft without them, kept as well.

    They belong to the one round of that day and person that holds what was entered afterwards.
    Refused where another window has entered them meanwhile.
    """
    plant = find_plant(logbook, draft.code or "")
    with logbook.file.writing():
        _refuse_twice(logbook, draft, plant.code)
        lines = _by_zone(logbook, plant, draft)
        checked = [_checked(logbook, plant, draft.day, line) for line in lines]
        round_id = round_of_entries(logbook, moment, "entered")
        written = [write_look(logbook, moment, plant, look, round_id) for look in checked if look]
        names = tuple(name for looks in written for name in looks.look_ids)
        kept = KeptPlant(plant.code, names, draft.lines)
        entered = replace(draft, lines=(), kept=(*draft.kept, kept))
        keep_draft(logbook, entered)
    return entered


def _refuse_twice(logbook: Logbook, draft: SheetDraft, code: str) -> None:
    stored = draft_kept(logbook)
    if stored is None or (stored.day, stored.who) != (draft.day, draft.who):
        return
    known = {look for kept in draft.kept for look in kept.look_ids}
    newer = [kept.code for kept in stored.kept if not known.issuperset(kept.look_ids)]
    if code in newer:
        raise Refused("sheet-plant-in", code=code, field="code")


def take_back_plant(logbook: Logbook, moment: Moment, draft: SheetDraft) -> SheetDraft:
    """Take back the plant entered last, with all its looks that still stand.

    The draft with that plant at hand again, and all its lines but the newest.
    """
    newest = draft.kept[-1]
    with logbook.file.writing():
        for name in newest.look_ids:
            try:
                withdraw(logbook, moment, name)
            except Refused as fault:
                if fault.code != "already-withdrawn":
                    raise
        back = replace(draft, code=newest.code, lines=newest.lines[:-1], kept=draft.kept[:-1])
        keep_draft(logbook, back)
    return back


def _by_zone(logbook: Logbook, plant: Plant, draft: SheetDraft) -> tuple[ZoneLine, ...]:
    """The lines as they are kept: of a plant looked at in one go those seen share its seconds."""
    if all(line.zone != WHOLE for line in draft.lines):
        return draft.lines
    whole, *told = draft.lines
    zones = logbook.body_on(plant, draft.day)(draft.day).outside
    hidden = {line.zone for line in told if line.outcome == "hidden"}
    shares = share_seconds([z for z in zones if z.zone not in hidden], whole.seconds)
    return tuple(
        ZoneLine(
            zone.zone,
            shares.get(zone.zone, 0.0),
            tuple(counted for line in told if line.zone == zone.zone for counted in line.counted),
            "hidden" if zone.zone in hidden else whole.outcome,
        )
        for zone in zones
    )


def _checked(logbook: Logbook, plant: Plant, day: date, line: ZoneLine) -> CheckedLook | None:
    """The look of a line with all its stages; None where nobody looked."""
    if line.outcome == "skipped":
        return None
    entered = LookEntered(
        () if line.zone == WHOLE else (line.zone,),
        line.seconds,
        cannot_see=NO_REASON if line.outcome == "hidden" else None,
    )
    counted = sorted(line.counted, key=lambda counted: counted.stage or "")
    told = entered.with_stages((each.kind, each.stage, each.count) for each in counted)
    return check_look(logbook, plant, day, told)


def keep_draft(logbook: Logbook, draft: SheetDraft | None) -> None:
    """Remember how far a sheet has come; None forgets it."""
    text = "" if draft is None else json.dumps({**asdict(draft), "day": draft.day.isoformat()})
    desk.put_setting(logbook.file, SETTING, text)


def draft_kept(logbook: Logbook) -> SheetDraft | None:
    """The sheet that was left in the middle."""
    text = desk.setting(logbook.file, SETTING)
    if not text:
        return None
    found = json.loads(text)
    kept = tuple(
        KeptPlant(plant["code"], tuple(plant["look_ids"]), _lines(plant["lines"]))
        for plant in found["kept"]
    )
    return SheetDraft(
        day=date.fromisoformat(found["day"]),
        who=found["who"],
        order=tuple(found["order"]),
        code=found["code"],
        lines=_lines(found["lines"]),
        kept=kept,
        # a sheet kept by an earlier version has none
        whole=found.get("whole", {}),
        planned=found.get("planned", {}),
        found=next(iter(_lines([found["found"]])), None) if found.get("found") else None,
    )


def _lines(rows: list[dict[str, Any]]) -> tuple[ZoneLine, ...]:
    return tuple(
        ZoneLine(
            row["zone"],
            row["seconds"],
            tuple(Counted(**counted) for counted in row["counted"]),
            row["outcome"],
        )
        for row in rows
    )
