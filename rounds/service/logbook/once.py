"""Make a writing call repeatable: the same key and content writes once."""

import hashlib
import json
from collections.abc import Callable, Mapping
from typing import Any

from rounds.errors import BadInput
from rounds.service.logbook.book import Logbook
from rounds.store import desk

Answer = dict[str, Any]


def once(
    logbook: Logbook, key: str | None, content: Mapping[str, Any], write: Callable[[], Answer]
) -> tuple[Answer, bool]:
    """The answer of `write`, now or from its first call under this key; and whether it was known.

    `content` is what was asked, a defaulted instant left out. BadInput where the key was used
    for other content. The key and what `write` writes are one transaction.
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
    if before[0] != asked:
        raise BadInput("key-reused", key=key, field="key")
    answered: Answer = json.loads(before[1])
    return answered, True


def digest_of(content: Mapping[str, Any]) -> str:
    """The digest of what was asked, as it is kept under a key."""
    text = json.dumps(content, sort_keys=True, default=str, ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()
