"""A plant as it stands in an object: field by field the contract's plant_status."""

from datetime import date
from typing import TYPE_CHECKING, Any

from rounds.core.changes import ChangedValue
from rounds.core.plan.score import PlantRisk
from rounds.core.quarantine.streak import Streak
from rounds.service.growth.rising import PestGrowth, growth_text
from rounds.service.plant.reasons import Reason
from rounds.service.plant.status import PestStatus, PlantStatus, ReleaseStatus
from rounds.service.plant.status_text import low_text, misfit_text, part_text

if TYPE_CHECKING:
    # slow to load, and not needed where nothing is told of it
    from rounds.service.inference.why import HoldsDown, Sooner


def reason_fields(reason: Reason) -> dict[str, str]:
    """Why a plant is where it is in the order."""
    return {"code": reason.code, "text": reason.text}


def status_fields(status: PlantStatus) -> dict[str, Any]:
    """A plant; null stands for what is not worked out, and outside quarantine for `release`."""
    return {
        "code": status.code,
        "name": status.name,
        "botanical_name": status.botanical_name,
        "form": status.form,
        "size": status.size,
        "place": status.place,
        "spot": status.spot,
        "pest": status.pest,
        "pests": status.pests,
        "standing": status.standing,
        "standing_since": status.standing_since,
        "chance_clean": _chance_fields(status),
        "probably_left": status.left,
        "streak": _streak_fields(status.streak),
        "last_look_on": status.last_look_on,
        "last_complete_look_on": status.last_complete_look_on,
        "last_find_on": status.last_find_on,
        "insects_seen_on": status.insects_seen_on,
        "risk": status.risk and _risk_fields(status.risk),
        "release": status.release and _release_fields(status.release),
        "holds_down": status.why and [_held_fields(held) for held in status.why.holds_down],
        "sooner": status.why and [_sooner_fields(sooner) for sooner in status.why.sooner],
        "changed_values": [changed_fields(changed) for changed in status.changed_values],
        "misfit": status.why and _misfit_fields(status.why.misfit),
        "pests_status": [_pest_fields(of) for of in status.each_pest],
        "growth": status.growth and _growth_fields(status.growth, status.on),
    }


def _pest_fields(of: PestStatus) -> dict[str, Any]:
    """A plant with regard to one of its pests; all of them are cleared before it rejoins."""
    return {
        "pest": of.pest,
        "chance_clean": _chance_fields(of),
        "streak": _streak_fields(of.streak),
        "risk": of.risk and _risk_fields(of.risk),
        "release": of.release and _release_fields(of.release),
    }


def _streak_fields(streak: Streak) -> dict[str, int]:
    return {"looks": streak.looks, "days": streak.days}


def changed_fields(changed: ChangedValue) -> dict[str, Any]:
    """A value that was changed, with the usual one."""
    return {"code": changed.code, "value": changed.value, "default": changed.default}


def _misfit_fields(code: str | None) -> dict[str, Any] | None:
    return {"code": code, "text": misfit_text(code)} if code else None


def _growth_fields(found: PestGrowth, on: date) -> dict[str, Any]:
    growth = found.growth
    return {
        "pest": found.pest,
        "rate": growth.fitted.rate,
        "low": growth.fitted.low,
        "high": growth.fitted.high,
        "doubling_days": growth.doubling_days,
        "since": growth.since,
        "until": growth.until,
        "looks": growth.looks,
        "found": growth.found,
        "alarm_on": growth.alarm_on,
        "text": growth_text(found, on) or None,
    }


def _held_fields(held: "HoldsDown") -> dict[str, Any]:
    return {"code": held.code, "points": held.points, "text": held.text}


def _sooner_fields(sooner: "Sooner") -> dict[str, Any]:
    return {"code": sooner.code, "text": sooner.text, "expected_on": sooner.expected_on}


def _chance_fields(status: PlantStatus | PestStatus) -> dict[str, Any] | None:
    if status.band is None:
        return None
    return {
        "value": status.chance_clean,
        "low": status.band.low,
        "high": status.band.high,
        "low_why": _low_why_fields(status.band.low_why),
        "method": status.method,
    }


def _low_why_fields(code: str) -> dict[str, Any] | None:
    return {"code": code, "text": low_text(code)} if code else None


def _risk_fields(risk: PlantRisk) -> dict[str, Any]:
    parts = [
        {"code": part.code, "value": part.value, "text": part_text(part)} for part in risk.parts
    ]
    return {"value": risk.value, "word": risk.word, "parts": parts}


def _release_fields(release: ReleaseStatus) -> dict[str, Any]:
    return {
        "ready": release.ready,
        "expected_on": release.expected_on,
        "waiting_for": release.waiting_for,
        "criteria": release.criteria,
    }
