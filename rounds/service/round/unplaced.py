"""What was seen on a whole plant and waits for its zone: how it is said, and how it is written."""

from collections.abc import Sequence

from rounds import words
from rounds.core.log.entries import OpenLook, Sign, StageGiven, Tally, Unplaced
from rounds.service.logbook import Logbook
from rounds.service.round.reasons import SIGNS
from rounds.store import log
from rounds.store.signs import append_sign
from rounds.store.unplaced import put_unplaced


def unplaced_text(seen: Sequence[Unplaced]) -> str:
    """2 off, 1 killed, adult, and ants."""
    counts: dict[tuple[str, str | None], int] = {}
    for one in seen:
        counts[one.kind, one.stage] = counts.get((one.kind, one.stage), 0) + one.count
    parts = [_seen_text(kind, stage, count) for (kind, stage), count in counts.items()]
    return words.say("forms.and").join(parts)


def _seen_text(kind: str, stage: str | None, count: int) -> str:
    if kind in SIGNS:
        return words.say(f"bench.signs.{kind}")
    said = words.say("plant.entry.counted", count=count, kind=words.say(f"round.kinds.{kind}"))
    if stage is None:
        return said
    return words.say("bench.seen-stage", seen=said, stage=words.say(f"round.stages.{stage}"))


def place(logbook: Logbook, opened: OpenLook, seen: Sequence[Unplaced]) -> None:
    """Write what waited as entries of an open look; nothing waits any more. In a transaction."""
    file, of_look = logbook.file, (opened.day, opened.plant_id)
    for sign in dict.fromkeys(one.kind for one in seen if one.kind in SIGNS):
        at_ms = next(one.at_ms for one in seen if one.kind == sign)
        append_sign(file, Sign(file.next_id(), *of_look, opened.id, at_ms, sign))
    for one in seen:
        if one.kind not in SIGNS:
            tally_id = file.next_id()
            log.append_tally(
                file,
                Tally(
                    tally_id, *of_look, opened.id, one.at_ms, one.kind, None, one.pest, one.count
                ),
            )
            if one.stage is not None:
                given = StageGiven(file.next_id(), *of_look, tally_id, one.at_ms, one.stage)
                log.append_stage(file, given)
    put_unplaced(file, opened.round_id, ())
