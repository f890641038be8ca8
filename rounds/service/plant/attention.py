"""What brings a plant more attention than its risk: signs of insects without an insect."""

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from rounds import words
from rounds.words.forms import day_month

if TYPE_CHECKING:
    from rounds.service.plant.record import PlantRecord


@dataclass(frozen=True, slots=True)
class SignSeen:
    """Ants, stickiness or soot at a zone on a day."""

    day: date
    zone: str
    kind: str


def signs_lately(record: "PlantRecord") -> tuple[SignSeen, ...]:
    """The signs seen within the days that still count, oldest first."""
    within = record.logbook.parameters.inspection.signs_days
    return tuple(sign for sign in record.signs if (record.on - sign.day).days <= within)


def needs_attention(record: "PlantRecord") -> bool:
    """Whether it must be looked at for what was seen of insects on it lately."""
    return bool(signs_lately(record))


def sign_text(record: "PlantRecord", sign: SignSeen) -> str:
    """ants were seen at the axils on 4 May."""
    code = "signs-today" if sign.day == record.on else "signs-seen"
    return words.say(
        f"bench.{code}.{sign.kind}",
        zone=words.say(f"zones.{sign.zone}.name"),
        day=day_month(sign.day, record.on),
    )
