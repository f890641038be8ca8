"""Pests in words; one that has no words of its own goes by its code."""

from collections.abc import Sequence

from rounds import words


def pest_name(pest: str) -> str:
    """What a pest is called."""
    return words.say(f"pests.{pest}.name") if _is_told(pest) else pest.replace("-", " ")


def pests_text(pests: Sequence[str]) -> str:
    """Several pests, one after another: thrips, spider mite."""
    return words.say("courses.about.joint").join(map(pest_name, pests))


def pest_told(pest: str) -> tuple[str, ...]:
    """Where to look for a pest, and what it is under the swab; nothing of one without words."""
    if not _is_told(pest):
        return ()
    where, swab = words.say(f"pests.{pest}.where"), words.say(f"pests.{pest}.swab")
    return where, words.say("pests.under-swab", swab=swab)


def _is_told(pest: str) -> bool:
    return pest in words.tables("pests")
