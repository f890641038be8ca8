"""How a plant at the end of a day is told in a few words: its place, its standing, its risk."""

from rounds import words
from rounds.core.quarantine.past import SignSeen
from rounds.core.quarantine.streak import Streak
from rounds.service.plant.record import PlantRecord
from rounds.words.forms import day_month, days_text, looks_text


def risk_text(record: PlantRecord) -> str:
    """risk 41, look first."""
    risk = record.likely.risk
    return words.say("forms.risk", value=round(risk.value), word=risk.word)


def risk_parts(record: PlantRecord) -> str:
    """risk 33 is made of young 22, laying adults 7, eggs 3; without what rounds to nothing."""
    risk = record.likely.risk
    parts = [
        words.say("forms.risk-part", what=words.say(f"risk.parts.{part.code}"), value=value)
        for part in risk.parts
        if (value := round(part.value))
    ]
    if not parts:
        return words.say("forms.risk-small", value=round(risk.value))
    return words.say("forms.risk-parts", value=round(risk.value), parts=", ".join(parts))


def where_text(record: PlantRecord) -> str:
    """stair foot, spot 3."""
    place, spot = record.place_name() or "", record.spot()
    return words.say("round.place-and-spot", place=place, spot=spot) if spot else place


def standing_text(record: PlantRecord) -> str:
    """apart, day 19; on watch; in the collection."""
    days = (record.on - record.standing_since).days
    return words.say(f"round.standing.{record.standing}", days=days)


def sign_text(record: PlantRecord, sign: SignSeen) -> str:
    """ants were seen at the axils on 4 May."""
    code = "signs-today" if sign.day == record.on else "signs-seen"
    return words.say(
        f"bench.{code}.{sign.kind}",
        zone=words.say(f"zones.{sign.zone}.name"),
        day=day_month(sign.day, record.on),
    )


def streak_words(streak: Streak) -> str:
    """streak 4 looks, 5 days."""
    return words.say("round.streak", looks=looks_text(streak.looks), days=days_text(streak.days))
