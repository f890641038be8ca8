"""One plant at the end of a day: what every screen, command and list says of it."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import TYPE_CHECKING

from rounds.core.away import Stretch
from rounds.core.body import ROOTS
from rounds.core.changes import ChangedValue
from rounds.core.collection import FOUND_CANNOT_MOVE
from rounds.core.plan.claims import Claim
from rounds.core.plan.score import PlantRisk
from rounds.core.quarantine.criteria import Criterion, judge, root_looks_wanted, roots_count_from
from rounds.core.quarantine.interval import told_interval, usual_interval
from rounds.core.quarantine.past import OpenDoubt
from rounds.core.quarantine.streak import Streak
from rounds.service.courses.standing import CourseRunning
from rounds.service.growth.behind import behind_since
from rounds.service.growth.rising import PestGrowth, growth_on, rises_since
from rounds.service.inference.result import Band, Left, Method
from rounds.service.logbook.changed_text import bearing_on
from rounds.service.plant.claims import (
    FoundAgain,
    found_again,
    is_known_alive,
    move_out_since,
    no_place_since,
    waits_to_stand_apart,
)
from rounds.service.plant.reasons import Reason, found_lately, reasons_for
from rounds.service.plant.record import PlantRecord
from rounds.service.plant.zones import PlannedZone, zones_to_do

if TYPE_CHECKING:
    from rounds.core.quarantine.brood import Brood
    from rounds.service.inference.why import Why


@dataclass(frozen=True, slots=True)
class ReleaseStatus:
    """What quarantine still waits for."""

    criteria: tuple[Criterion, ...]
    """what rests on the chance clean is not judged before that is worked out"""
    interval_days: int
    """how often it is looked at, as the days expected suppose"""
    interval_is_told: bool
    """by its looks; else there are no two to go by, and one every day is supposed"""
    mean_c: float
    """how warm it was lately where it stands, degC, which they suppose too"""
    gap_days: int
    """looks further apart hold the count of clean looks back"""
    recent_days: int = 0
    """within which some of the clean looks are wanted"""
    away: tuple[Stretch, ...] = ()
    """days away under way or ahead: no look is supposed on them"""
    beside: tuple[str, ...] = ()
    """plants with insects lately, from which nothing more is supposed to come"""
    waived_from: float | None = None
    """chance clean from which the warmth is not asked for, as nothing was ever found; else None"""
    is_forecast: bool = False
    """whether the days expected are worked out"""
    is_exact: bool = True
    """no finds are taken together in them; else they may be weeks off"""
    expected_on: date | None = None
    was_expected_on: date | None = None
    """the day named last, until the one that holds now is worked out"""
    held_by: tuple[str, ...] = ()
    """other pests of the plant that are not known to be cleared"""

    @property
    def ready(self) -> bool:
        """Every criterion is known to be met, for each pest the plant is followed for."""
        return not self.held_by and self.is_cleared

    @property
    def is_cleared(self) -> bool:
        """Every criterion is known to be met for the one pest."""
        return all(criterion.met is True for criterion in self.criteria)

    @property
    def waiting_for(self) -> tuple[str, ...]:
        """Codes of the criteria that are not known to be met."""
        return tuple(criterion.code for criterion in self.criteria if criterion.met is not True)


@dataclass(frozen=True, slots=True)
class PestStatus:
    """A plant with regard to one of its pests. What is not worked out yet is None."""

    pest: str
    streak: Streak
    last_find_on: date | None
    release: ReleaseStatus | None
    """None outside quarantine"""
    chance_clean: float | None = None
    method: Method | None = None
    band: Band | None = None
    risk: PlantRisk | None = None


@dataclass(frozen=True, slots=True)
class PlantStatus:
    """A plant at the end of a day. What is not worked out yet is None."""

    on: date
    plant_id: int
    code: str
    name: str
    botanical_name: str | None
    form: str
    size: str
    place: str | None
    spot: str | None
    pest: str
    """of those it is followed for the one that binds"""
    pests: tuple[str, ...]
    standing: str
    """quarantine, watch, collection or gone"""
    standing_since: date
    streak: Streak
    """with regard to the pest that binds"""
    looks: int
    """how often it was looked at, in a round or by an entry for a day; before a division too"""
    last_look_on: date | None
    last_complete_look_on: date | None
    last_find_on: date | None
    insects_seen_on: date | None
    """the day it came, where insects were seen on it that nobody counted"""
    is_found_lately: bool
    """the last find counts as recent"""
    is_known_alive: bool
    """found alive so lately, or left there, that clean looks are not what is to be expected"""
    claim: Claim
    """what it is owed, and by when"""
    doubts: tuple[OpenDoubt, ...]
    """those nobody has settled, oldest first"""
    reasons: tuple[Reason, ...]
    """why it comes where it does, the weightiest first"""
    to_do: tuple[PlannedZone, ...]
    """the zones left to look at today, at the seconds from which they count as seen"""
    roots_seconds: float
    """reference seconds of a look at the roots"""
    watched_until: date | None
    """None without a watch, or beyond reckoning"""
    temperature_assumed: bool
    """the warmth counted here rests on the assumed usual temperature"""
    changed_values: tuple[ChangedValue, ...]
    """values changed by the grower that its figures and dates rest on"""
    set_apart_since: date | None
    """since when it is infested and nobody put it apart"""
    clear_around_since: date | None
    """since when it should have been moved away from those it touches"""
    no_place_since: date | None
    """since when it should go to a quarantine place, and none is named"""
    move_out_since: date | None
    """since when it is released and stands in the quarantine place all the same"""
    roots_from: date | None
    """the first day a look at the roots counts, where one is still wanted"""
    found_again: FoundAgain
    """insects found again and again, and when the roots are looked at for what feeds them"""
    release: ReleaseStatus | None
    """None outside quarantine"""
    growth: PestGrowth | None = None
    """how the finds go; None where too few looks found anything to tell"""
    rises_since: date | None = None
    """since when its finds rise beyond chance, and no course was begun against that"""
    behind_since: date | None = None
    """since when lifting by hand may not keep up, and no course answers that"""
    dislikes_wet: bool = False
    """its leaves are not to be wetted"""
    courses: tuple[CourseRunning, ...] = ()
    """courses of treatment under way, the step due first before the others"""
    chance_clean: float | None = None
    """that no living insect of any stage is left"""
    method: Method | None = None
    risk: PlantRisk | None = None
    """the greatest of its pests"""
    risk_binding: PlantRisk | None = None
    """of the pest that binds"""
    band: Band | None = None
    """of the chance clean"""
    left: Left | None = None
    """how many are probably left"""
    left_by_zone: Mapping[str, float] | None = None
    """mean number"""
    brood: "Brood | None" = None
    """the last eggs, where some are still to hatch"""
    why: "Why | None" = None
    """what holds the chance clean down, and what would bring its day nearer"""
    others: tuple[PestStatus, ...] = ()
    """the pests besides the one that binds"""

    @property
    def each_pest(self) -> tuple[PestStatus, ...]:
        """All pests it is followed for, the one that binds among them, in their order."""
        binding = PestStatus(
            self.pest, self.streak, self.last_find_on, self.release,
            self.chance_clean, self.method, self.band, self.risk_binding,
        )  # fmt: skip
        found = {status.pest: status for status in (binding, *self.others)}
        return tuple(self._heeded(found[pest]) for pest in self.pests)

    def _heeded(self, of: PestStatus) -> PestStatus:
        """A plant that is due or planned does not wait for any of its pests."""
        if of.risk is None or self.risk is None or self.risk.word != "today":
            return of
        return replace(of, risk=of.risk.heeded())

    @property
    def open_doubts(self) -> int:
        """Doubtful specks nobody has settled."""
        return sum(doubt.count for doubt in self.doubts)

    @property
    def days_standing(self) -> int:
        """Days since it stands so."""
        return (self.on - self.standing_since).days

    @property
    def is_forecast(self) -> bool:
        """Whether all days to come are worked out."""
        return self.release is None or self.release.is_forecast

    @property
    def is_looked_ahead(self) -> bool:
        """Whether these, and what is left at each zone, are."""
        return self.is_forecast and self.left_by_zone is not None


def is_alarmed(status: PlantStatus) -> bool:
    """Whether its finds rise beyond chance, and it is here."""
    growth = status.growth
    return status.standing != "gone" and growth is not None and growth.alarm_on is not None


def seen_status(record: PlantRecord) -> PlantStatus:
    """What is known of a plant from its log, without anything that is inferred from it."""
    return _joined(_seen(record))


def _seen(record: PlantRecord) -> PlantStatus:
    growth = growth_on(record)
    return PlantStatus(
        on=record.on,
        plant_id=record.plant.id,
        code=record.plant.code,
        name=record.name(),
        botanical_name=record.plant.fact("botanical_name", record.on),
        form=record.body.form,
        size=record.body.size,
        place=record.place_name(),
        spot=record.spot(),
        pest=record.pest,
        pests=record.pests,
        standing=record.standing,
        standing_since=record.standing_since,
        streak=record.streak,
        looks=record.known.visits,
        last_look_on=record.last_look_on,
        last_complete_look_on=record.last_complete_look_on,
        last_find_on=record.last_find_on,
        insects_seen_on=record.insects_seen_on,
        is_found_lately=found_lately(record),
        is_known_alive=is_known_alive(record),
        claim=record.claim_seen,
        doubts=record.open_doubts,
        reasons=reasons_for(record),
        to_do=zones_to_do(record),
        roots_seconds=record.body.zone(ROOTS).reference_seconds,
        watched_until=record.watch_until,
        temperature_assumed=record.temperature_assumed,
        changed_values=bearing_on(record.day.changed_values, record.pests, record.rules.name),
        set_apart_since=record.last_find_on if waits_to_stand_apart(record) else None,
        clear_around_since=_clear_around_since(record),
        no_place_since=no_place_since(record),
        move_out_since=move_out_since(record),
        roots_from=_roots_due(record),
        found_again=found_again(record),
        release=_release_seen(record),
        growth=growth,
        rises_since=rises_since(record, growth),
        behind_since=behind_since(record),
        dislikes_wet="wet-leaves" in (record.plant.fact("dislikes", record.on) or "").split(),
        courses=record.courses,
        others=tuple(_other_seen(other) for other in record.others),
    )


def _other_seen(other: PlantRecord) -> PestStatus:
    """What is known from the log of a plant with regard to a pest that does not bind."""
    found = max(other.of_pest(other.pest).live_on, default=None)
    return PestStatus(other.pest, other.streak, found, _release_seen(other))


def _joined(status: PlantStatus) -> PlantStatus:
    """The status with what its other pests mean for its end of quarantine."""
    release, others = status.release, [other.release for other in status.others]
    if release is None or not others:
        return status
    known = [other for other in others if other is not None]
    days = [each.expected_on for each in (release, *known)]
    named = [day for day in days if day is not None]
    return replace(
        status,
        release=replace(
            release,
            held_by=tuple(o.pest for o in status.others if o.release and not o.release.ready),
            expected_on=max(named) if len(named) == len(days) else None,
        ),
    )


def _release_seen(record: PlantRecord) -> ReleaseStatus | None:
    history = record.history_seen
    if history is None:
        return None
    rules = record.rules
    return ReleaseStatus(
        criteria=judge(history, record.on, rules),
        interval_days=usual_interval(history.days, record.on, record.away),
        interval_is_told=told_interval(history.days, record.on, record.away) is not None,
        mean_c=record.temperatures.mean_c(record.lived, record.on),
        gap_days=rules.gap_days,
        recent_days=rules.recent_look_days,
        away=tuple(stretch for stretch in record.away if stretch.last_day > record.on),
        beside=_beside(record),
        waived_from=None if history.ever_found else rules.degree_days_waived_from,
    )


def _beside(record: PlantRecord) -> tuple[str, ...]:
    lately = record.table.planning.claims.alive_days
    found = record.day.found_nearby(record, record.on - timedelta(lately + 1))
    return tuple(sorted((other.plant.code for other in found), key=str.casefold))


def _clear_around_since(record: PlantRecord) -> date | None:
    """Since when a plant that could not be moved still touches others."""
    period = record.plant.quarantine(record.on)
    if period is None or period.began_because != FOUND_CANNOT_MOVE:
        return None
    return period.began_on if record.plant.touching(record.on) else None


def _roots_due(record: PlantRecord) -> date | None:
    """The first day a look at the roots counts, where one is still wanted for any of its pests."""
    days = []
    for each in (record, *record.others):
        history, rules = each.history_seen, each.rules
        if history is not None and root_looks_wanted(history, each.on, rules):
            days.append(roots_count_from(history, each.on, rules))
    return min(days, default=None)


def with_figures(record: PlantRecord, status: PlantStatus) -> PlantStatus:
    """The status with chance clean and risk, and all that is judged by that chance."""
    likely, claim, release = record.likely, record.claim, status.release
    return _joined(
        replace(
            status,
            claim=claim,
            reasons=status.reasons if claim == status.claim else reasons_for(record, claim),
            chance_clean=likely.chance_clean,
            method=likely.method,
            risk=record.risk.heeded() if claim.is_due else record.risk,
            risk_binding=likely.risk,
            release=release and replace(release, criteria=record.criteria),
            others=tuple(map(_other_with_figures, record.others, status.others)),
        )
    )


def binds_by_chance(record: PlantRecord, status: PlantStatus) -> PlantRecord:
    """The record with regard to the pest that binds, now that the chances are worked out.

    Where all is met for the pest that bound by what was seen, another that is not cleared binds.
    """
    release = status.release
    if release is None or not release.is_cleared or not release.held_by:
        return record
    return record.regarding(release.held_by[0])


def _other_with_figures(other: PlantRecord, known: PestStatus) -> PestStatus:
    likely, release = other.likely, known.release
    return replace(
        known,
        chance_clean=likely.chance_clean,
        method=likely.method,
        risk=likely.risk,
        release=release and replace(release, criteria=other.criteria),
    )


def with_forecast(record: PlantRecord, status: PlantStatus) -> PlantStatus:
    """The status with the days on which it may leave quarantine."""
    release = _release_with_forecast(record, status.release)
    others = tuple(
        replace(known, release=_release_with_forecast(other, known.release))
        for other, known in zip(record.others, status.others, strict=True)
    )
    return _joined(replace(status, release=release, others=others))


def _release_with_forecast(
    record: PlantRecord, release: ReleaseStatus | None
) -> ReleaseStatus | None:
    forecast = record.forecast
    if forecast is None or release is None:
        return release
    return replace(
        release,
        criteria=forecast.criteria,
        expected_on=forecast.ready_on,
        is_forecast=True,
        is_exact=forecast.is_exact,
        was_expected_on=None,
    )


def with_day_named_last(record: PlantRecord, status: PlantStatus) -> PlantStatus:
    """The status with the day on which it was last said to leave quarantine, where that is kept."""
    from rounds.service.inference.ahead import day_named_last

    release = status.release
    if release is None or release.is_forecast:
        return status
    return replace(status, release=replace(release, was_expected_on=day_named_last(record)))


def with_band(record: PlantRecord, status: PlantStatus) -> PlantStatus:
    """The status with the band of its chance clean."""
    others = zip(record.others, status.others, strict=True)
    return replace(
        status,
        band=record.likely.band,
        others=tuple(replace(known, band=other.likely.band) for other, known in others),
    )


def with_why(record: PlantRecord, status: PlantStatus) -> PlantStatus:
    """The status with what holds its chance clean down, worked out where it is not kept."""
    from rounds.service.inference.why import why_of

    return replace(status, why=why_of(record))


def with_kept_why(record: PlantRecord, status: PlantStatus) -> PlantStatus:
    """The same where it is kept; nothing is worked out."""
    from rounds.service.inference.why import kept_why

    return replace(status, why=kept_why(record))


def with_zones(record: PlantRecord, status: PlantStatus) -> PlantStatus:
    """The status with what is probably left at each zone, and when the last eggs hatch."""
    return replace(with_brood(record, status), left_by_zone=record.likely.left_by_zone)


def with_reasons(record: PlantRecord, status: PlantStatus) -> PlantStatus:
    """The status with why it is looked at, once it is known what its mates tell."""
    return replace(status, reasons=reasons_for(record))


def with_brood(record: PlantRecord, status: PlantStatus) -> PlantStatus:
    """The status with when the last eggs hatch."""
    # no reading command needs it
    from rounds.service.growth.eggs import brood_of

    return replace(status, brood=brood_of(record))


def status_of(record: PlantRecord) -> PlantStatus:
    """All that commands print of a plant; why its figures are what they are, only where kept."""
    figured = with_figures(record, seen_status(record))
    binding = binds_by_chance(record, figured)
    if binding is not record:
        return status_of(binding)
    status = with_forecast(record, figured)
    status = replace(with_band(record, status), left=record.likely.left)
    return with_kept_why(record, status)
