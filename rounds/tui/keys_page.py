"""docs/keys.md, made from what the screens bind and say: `python -m rounds.tui.keys_page`.

A screen has its place on the page as soon as words/en/keys_page.toml names it; its keys are the
lines of its help.
"""

import re
import sys
from collections.abc import Iterable, Iterator

from rounds import words
from rounds.errors import BadInput
from rounds.paths import keys_path
from rounds.tui.key_files import bind_all, keys_named
from rounds.tui.keys import SETS, bound_together, key_of, key_set, keys_in_use, use
from rounds.tui.pages.help import FIGURE_KEYS, LINES, lines_of, title_of

NO_SCREENS = ("page", "everywhere", "sets")
"""Parts of the words that stand for no screen."""

LIST = {"begin", "next", "back"}
"""What a list with a mark binds, and no other screen: the round has no begin."""


def screens_told() -> tuple[str, ...]:
    """The screens on the page, in its order."""
    bind_all()
    named = [name for name in words.tables("keys_page") if name not in NO_SCREENS]
    # a list with no keys but those of every list needs no words here
    return (*named, *sorted(set(bound_together()) - set(named)))


def keys_page() -> str:
    """The page, in Markdown, for the keys in use."""
    parts = [f"# {_say('page.title')}", _said("page.lead"), _say("page.made")]
    parts += _section("everywhere", list(_rows("everywhere")))
    for screen in screens_told():
        parts += _section(screen, [*_helped(screen), *_rows(screen), *_common(screen)])
    parts += _sets()
    return "\n\n".join(parts) + "\n"


def _section(screen: str, rows: list[str]) -> Iterator[str]:
    known = screen in words.tables("keys_page")
    yield f"## {_say(f'{screen}.title') if known else title_of(screen)}"
    yield from _if_there(screen, "before")
    yield _table(_say("page.key"), _say("page.does"), rows)
    yield from _if_there(screen, "before-asked")
    asked = list(_asked(screen))
    if asked:
        yield _table(_say("page.asked"), _say("page.answers"), asked)
    yield from _if_there(screen, "after")


def _table(first: str, second: str, rows: Iterable[str]) -> str:
    return "\n".join([f"| {first} | {second} |", "|---|---|", *(f"| {row} |" for row in rows)])


def _helped(screen: str) -> Iterator[str]:
    """What help says of a screen, row by row."""
    for roles, code in lines_of(screen) if _has_help(screen) else ():
        if roles:
            keys = " ".join(f"`{_shown(role)}`" for role in roles)
            yield f"{keys} | {words.say(f'screens.help.{code}')}"


def _rows(screen: str) -> Iterator[str]:
    if "rows" in _tables(screen):
        yield from map(_with_keys, words.section(f"keys_page.{screen}.rows").values())


def _common(screen: str) -> Iterator[str]:
    """The keys that every list has, and that of help."""
    if bound_together()[screen] >= LIST:
        yield _said("page.list-moves")
        if not any("0" in roles for roles, _ in lines_of(screen)):
            yield _said("page.list-nought")
        yield _said("page.list-key")
        yield _said("page.list-backspace")
    if _has_help(screen):
        yield _said("page.help")


def _has_help(screen: str) -> bool:
    return screen in LINES or "help" in bound_together().get(screen, ())


def _asked(screen: str) -> Iterator[str]:
    if "asked" not in _tables(screen):
        return
    for code, text in words.section(f"keys_page.{screen}.asked").items():
        if "|" in text:
            yield _with_keys(text)
        else:
            answers = words.section(f"round.ask.{code}.answers")
            said = ", ".join(f"`{_shown(role)}` {answer}" for role, answer in answers.items())
            yield f"{_with_keys(text)} | {said}"


def _sets() -> Iterator[str]:
    """Every role and where each set has it."""
    names = [_say("sets.role"), *(words.say(f"keys_page.sets.{name}") for name in SETS)]
    rows = [
        " | ".join([role, *(f"`{key_set(name)[role]}`" for name in SETS)]) for role in key_set()
    ]
    yield f"## {_say('sets.title')}"
    yield _say("sets.before")
    head = [f"| {' | '.join(names)} |", "|" + "---|" * len(names)]
    yield "\n".join([*head, *(f"| {row} |" for row in rows)])
    yield _say("sets.after").strip()
    yield f"```\n{_say('sets.example').strip()}\n```"
    yield _say("sets.rules")


def _if_there(screen: str, code: str) -> Iterator[str]:
    known = screen in words.tables("keys_page")
    text = words.section(f"keys_page.{screen}").get(code) if known else None
    if text is not None:
        yield _with_keys(text.strip())


def _tables(screen: str) -> tuple[str, ...]:
    return words.tables(f"keys_page.{screen}") if screen in words.tables("keys_page") else ()


def _say(code: str) -> str:
    return words.say(f"keys_page.{code}")


def _said(code: str) -> str:
    return _with_keys(_say(code))


def _shown(role: str) -> str:
    return FIGURE_KEYS if role == "figures" else key_of(role)


def _with_keys(text: str) -> str:
    """The text with each [role] replaced by its key."""
    known = keys_in_use()
    return re.sub(r"\[([a-z0-9+ -]+)\]", lambda m: f"`{known.get(m[1], m[1])}`", text)


def main() -> None:
    """Print the page, for the usual keys or those named; a sentence where there are none."""
    try:
        use(keys_named(sys.argv[1], keys_path()) if len(sys.argv) > 1 else key_set())
    except BadInput as fault:
        print(fault, file=sys.stderr)
        sys.exit(fault.exit_status)
    print(keys_page(), end="")


if __name__ == "__main__":
    main()
