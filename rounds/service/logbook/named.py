"""Find plants, places, zones, forms and pests by name; else the nearest name is given."""

import difflib
from collections.abc import Iterable, Mapping, Sequence

from rounds import words
from rounds.core.collection import Place, Plant
from rounds.errors import BadInput
from rounds.service.logbook.book import Logbook
from rounds.words.pests import pest_name

SIZES = ("small", "medium", "large")


def find_plant(logbook: Logbook, code: str, field: str = "code") -> Plant:
    """The plant of a code. BadInput, naming the nearest, if there is none."""
    plant = logbook.collection().plant(code)
    if plant is None:
        known = [p.code for p in logbook.collection().plants.values()]
        raise unknown("plant", code, known, field)
    return plant


def find_place(logbook: Logbook, name: str, field: str = "place") -> Place:
    """The place of a name. BadInput, naming the nearest, if there is none."""
    place = logbook.collection().place(name)
    if place is None:
        known = [p.name for p in logbook.collection().places.values()]
        raise unknown("place", name, known, field)
    return place


def check_form(logbook: Logbook, form: str, field: str = "form") -> str:
    """A growth form by code. BadInput, naming the nearest, if there is none."""
    return _one_of("form", form, logbook.parameters.forms, field)


def check_pest(logbook: Logbook, pest: str, field: str = "pest") -> str:
    """A pest by code. BadInput, naming the nearest, if there is none."""
    return _one_of("pest", pest, logbook.parameters.pests, field)


def pest_named(logbook: Logbook, given: str, field: str = "pest") -> str:
    """A pest by its word or code, or by how only one of them begins.

    BadInput, naming the nearest, if there is none.
    """
    by_word = {pest_name(pest).casefold(): pest for pest in logbook.parameters.pests}
    return _only_one(by_word, given) or check_pest(logbook, given, field)


def check_zone(zones: Iterable[str], zone: str, field: str = "zone") -> str:
    """A zone of a plant by code. BadInput, naming the nearest, if it has none of that name."""
    return _one_of("zone", zone, zones, field)


def zone_named(zones: Sequence[str], given: str, field: str) -> str:
    """One of some zones by its word or code, or by how only one of them begins.

    BadInput, naming the nearest, if there is none.
    """
    by_word = {words.say(f"zones.{zone}.name").casefold(): zone for zone in zones}
    return _only_one(by_word, given) or check_zone(zones, given, field)


def _only_one(by_word: Mapping[str, str], given: str) -> str | None:
    """What a word names, in small letters, or the only one that begins so."""
    folded = given.strip().casefold()
    begun = [code for word, code in by_word.items() if word.startswith(folded)]
    return begun[0] if len(begun) == 1 else by_word.get(folded)


def check_size(size: str) -> str:
    """A size of plants. BadInput for none."""
    if size not in SIZES:
        raise BadInput("not-one-of", given=size, field="size", allowed=", ".join(SIZES))
    return size


def unknown(what: str, given: str, known: Iterable[str], field: str) -> BadInput:
    """The fault of a name that is not there."""
    names = sorted(known)
    folded = {name.casefold(): name for name in names}
    near = difflib.get_close_matches(given.casefold(), list(folded), n=1, cutoff=0.0)
    code = f"unknown-{what}" if near else f"unknown-{what}-none"
    nearest = folded[near[0]] if near else ""
    return BadInput(code, given=given, nearest=nearest, field=field)


def _one_of(what: str, given: str, known: Iterable[str], field: str) -> str:
    names = list(known)
    folded = given.strip().casefold()
    for name in names:
        if name.casefold() == folded:
            return name
    raise unknown(what, given, names, field)
