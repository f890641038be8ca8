"""Looks that are still wanted though there seem to be enough of them are told, and why."""

from dataclasses import replace

from rounds.core.quarantine.criteria import CLEAN_LOOKS, MEDIUM_AND_ROOTS, Criterion, Lacking
from rounds.service.plant.status import ReleaseStatus
from rounds.service.plant.status_text import lacking_texts
from rounds.tui.pages.release import needed_text

LOOKS = Criterion(CLEAN_LOOKS, False, 15, 8, "look", lacks=Lacking("lately", 0, 2))
ROOTS = Criterion(MEDIUM_AND_ROOTS, False, 1, 1, "look", lacks=Lacking("medium", 3, 8))
RELEASE = ReleaseStatus((LOOKS, ROOTS), 3, True, 20.0, 7, recent_days=7)


def test_what_is_lacking_is_said_in_a_sentence() -> None:
    assert lacking_texts(RELEASE) == [
        "clean looks: 15 of 8, but none in the last 7 days, where 2 are needed",
        "roots checked, but the medium in only 3 of the 8 clean looks needed",
    ]
    one = replace(LOOKS, lacks=Lacking("lately", 1, 2))
    held = replace(LOOKS, have=5, lacks=Lacking("gap", 20, 8))
    assert lacking_texts(replace(RELEASE, criteria=(one, held))) == [
        "clean looks: 15 of 8, but only 1 in the last 7 days, where 2 are needed",
        "clean looks: 20, but a gap of more than 7 days holds the count at 5 of 8",
    ]
    met = replace(LOOKS, met=True, lacks=None)
    assert lacking_texts(replace(RELEASE, criteria=(met,))) == []


def test_the_need_itself_says_so_in_few_words() -> None:
    assert needed_text(LOOKS) == "8, 2 lately"
    assert needed_text(ROOTS) == "1, medium"
    assert needed_text(replace(LOOKS, lacks=Lacking("gap", 20, 8))) == "8, a gap"
