"""Going back from quarantine in words: what stands beside, the chance there, and what is better."""

from collections.abc import Sequence

from rounds import words
from rounds.service.collection.rejoin import Beside, Rejoining, Standing
from rounds.words.forms import codes_text, day_month, in_100, with_band

MOST_NAMED = 3


def rejoin_text(found: Rejoining) -> str:
    """All that is said before a plant goes back, in a few sentences."""
    return " ".join(_sentences(found))


def where_of(standing: Standing) -> str:
    """Place and spot in words: stair foot, spot 3."""
    if not standing.spot:
        return standing.place
    return words.say("round.place-and-spot", place=standing.place, spot=standing.spot)


def offers(found: Rejoining) -> tuple[Standing, ...]:
    """Where it may be put from a quarantine place, the better first."""
    if not found.is_to_be_moved:
        return ()
    return tuple(filter(None, (found.elsewhere, found.there)))


def offer_text(found: Rejoining, standing: Standing, code: str) -> str:
    """The question whether a plant is put somewhere."""
    said: dict[str, object] = {
        "where": where_of(standing),
        "chance": _chance(standing),
        "days": found.days,
    }
    if not standing.beside:
        return words.say("rejoin.ask-there", code=code, **said)
    beside = beside_text(found, standing.beside)
    return words.say("rejoin.ask-beside", code=code, beside=beside, **said)


def beside_text(found: Rejoining, beside: Sequence[Beside]) -> str:
    """The plants from which insects may come: G06 (alive 4 May), P13 (insects 20 April)."""
    named = [
        words.say(f"rejoin.beside.{b.kind}", code=b.code, day=day_month(b.on, found.on))
        for b in beside[:MOST_NAMED]
    ]
    more = len(beside) - len(named)
    return ", ".join([*named, *([words.say("rejoin.beside.more", count=more)] if more else [])])


def _sentences(found: Rejoining) -> list[str]:
    there, elsewhere = found.there, found.elsewhere
    if there is None:
        if elsewhere is None:
            return [words.say("rejoin.nowhere")]
        return [_said("elsewhere-first", found, elsewhere)]
    if not there.beside:
        return [_said("there-free", found, there)]
    first = _said("there-beside", found, there, beside=beside_text(found, there.beside))
    if elsewhere is not None:
        return [first, _said("elsewhere", found, elsewhere)]
    codes = codes_text(beside.code for beside in there.beside)
    return [first, words.say("rejoin.another-spot", codes=codes)]


def _chance(standing: Standing) -> str:
    """92 in 100, 84 to 96; without a band while it is not worked out."""
    chance = in_100(standing.chance_clean)
    if standing.low is None or standing.high is None:
        return chance
    return with_band(chance, standing.low, standing.high)


def _said(what: str, found: Rejoining, standing: Standing, **values: object) -> str:
    said = {"where": where_of(standing), "chance": _chance(standing)}
    return words.say(f"rejoin.{what}", days=found.days, **said, **values)
