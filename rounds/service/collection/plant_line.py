"""A plant as one typed line: a name, or a code and a name; then form and size after commas."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from rounds import words
from rounds.errors import BadInput
from rounds.service.collection.next_code import code_and_name

COMMA = ","


@dataclass(frozen=True, slots=True)
class PlantLine:
    """What a line says of a plant; None where it does not say it."""

    code: str
    name: str
    form: str | None = None
    size: str | None = None


def read_plant_line(codes: Sequence[str], line: str) -> PlantLine:
    """Read a line such as `Thole`, `G02 Thole` or `G02 Thole, fern, large`.

    Form and size come in any order, by their word or how only one of them begins. BadInput for
    what is neither, and for two forms or sizes.

    Args:
        codes: those that are taken, in the order of entering.
        line: as typed.
    """
    named, *more = (part.strip() for part in line.split(COMMA))
    code, name = code_and_name(codes, named)
    said: dict[str, str] = {}
    for part in filter(None, more):
        what, value = _form_or_size(part)
        if what in said:
            raise BadInput("line-says-twice", given=part, field="line")
        said[what] = value
    return PlantLine(code, name or code, said.get("form"), said.get("size"))


def size_named(given: str) -> str | None:
    """The code of a size by its word, or how only one of them begins."""
    return _one_begun(words.section("desk_forms.sizes"), given)


def _form_or_size(part: str) -> tuple[str, str]:
    found = {
        "form": _one_begun(words.section("desk_forms.growth-forms"), part),
        "size": size_named(part),
    }
    said = [(what, value) for what, value in found.items() if value is not None]
    if len(said) != 1:
        raise BadInput("no-form-or-size", given=part, field="line")
    return said[0]


def _one_begun(known: Mapping[str, str], given: str) -> str | None:
    """The code of the word that is `given`, or the only one that begins so."""
    folded = given.strip().casefold()
    whole = [code for code, word in known.items() if folded in (code, word.casefold())]
    return _only(whole or [c for c, word in known.items() if word.casefold().startswith(folded)])


def _only(found: Iterable[str]) -> str | None:
    codes = list(found)
    return codes[0] if len(codes) == 1 else None
