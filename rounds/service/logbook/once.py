"""Make a writing call repeatable: the same key and content writes once."""

import hashlib
import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from rounds.errors import BadInput
from rounds.service.logbook.book import Logbook
from rounds.store import desk

Answer = dict[str, Any]

PART = "\x1f"
"""Between a key and what was added under it; no key that is typed can hold it."""


@dataclass(frozen=True, slots=True)
class Further:
    """What may be added to what an earlier call wrote under the same key."""

    part: str
    """tells it from all else that may be added"""
    write: Callable[[Answer], Answer | None]
    """from what the first call answered; None where it does not belong to that"""


def once(
    logbook: Logbook,
    key: str | None,
    content: Mapping[str, Any],
    write: Callable[[], Answer],
    further: Further | None = None,
) -> tuple[Answer, bool]:
    """The answer of `write`, now or from its first call under this key; and whether it was known.

    `content` is what was asked, a defaulted instant left out. BadInput where the key was used
    for other content that is nothing further to it. The key and what is written are one
    transaction.
    """
    if key is None:
        with logbook.file.writing():
            return write(), False
    asked = digest_of(content)
    with logbook.file.writing():
        before = desk.answer_to(logbook.file, key)
        if before is None:
            answer = write()
            desk.keep_answer(logbook.file, key, asked, json.dumps(answer))
            return answer, False
        first: Answer = json.loads(before[1])
        if before[0] == asked:
            return first, True
        if further is not None:
            return _add(logbook, key, asked, first, further)
    raise BadInput("key-reused", key=key, field="key")


def _add(
    logbook: Logbook, key: str, asked: str, first: Answer, further: Further
) -> tuple[Answer, bool]:
    """What is added to the first answer under a key, now or before; and whether it was known."""
    part = f"{key}{PART}{further.part}"
    before = desk.answer_to(logbook.file, part)
    if before is not None and before[0] == asked:
        answered: Answer = json.loads(before[1])
        return answered, True
    answer = None if before else further.write(first)
    if answer is None:
        raise BadInput("key-reused", key=key, field="key")
    desk.keep_answer(logbook.file, part, asked, json.dumps(answer))
    return answer, False


def digest_of(content: Mapping[str, Any]) -> str:
    """The digest of what was asked, as it is kept under a key."""
    text = json.dumps(content, sort_keys=True, default=str, ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()
