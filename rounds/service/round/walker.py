"""A round is walked in one program at a time: who has it, since when, and how it is taken over."""

import os
import secrets
import socket
from typing import NoReturn

from rounds import words
from rounds.clock import from_seconds
from rounds.core.walks import Round, Walker
from rounds.errors import Refused
from rounds.service.logbook.book import Logbook
from rounds.service.logbook.moment import now
from rounds.store import log, walks
from rounds.words.forms import time_of_day

WALKED_ELSEWHERE = ("round-walked", "round-walked-between")
"""The refusals that can be answered by taking the round over."""


def walk_here(logbook: Logbook, walk: Round, who: str | None, *, take_over: bool) -> Walker:
    """This program walks the round from now on. Inside a transaction.

    Refused, saying who, since when and where, while another program has it, unless it is taken
    over. One that was killed on this machine has it no longer.
    """
    other = walks.walker_of(logbook.file, walk.id)
    if other is not None and not take_over and may_be_running(other):
        refuse_walked_by(logbook, other)
    walker = Walker(
        round_id=walk.id,
        token=secrets.token_hex(8),
        who=who,
        since=now(logbook.clock).seconds,
        host=socket.gethostname(),
        process=os.getpid(),
    )
    walks.put_walker(logbook.file, walker)
    return walker


def holds(logbook: Logbook, walker: Walker) -> bool:
    """Whether this program still has the round, or may have it again as nobody else does."""
    other = walks.walker_of(logbook.file, walker.round_id)
    return other is None or other.token == walker.token


def check_holds(logbook: Logbook, walker: Walker) -> None:
    """Refused where the round was taken over by another program. Inside a transaction."""
    other = walks.walker_of(logbook.file, walker.round_id)
    if other is None:
        walks.put_walker(logbook.file, walker)
    elif other.token != walker.token:
        if not walks.is_unfinished(logbook.file, walker.round_id):
            raise Refused("round-elsewhere")
        refuse_walked_by(logbook, other)


def leave(logbook: Logbook, walker: Walker) -> None:
    """This program walks the round no longer."""
    walks.clear_walker(logbook.file, walker.round_id, walker.token)


def refuse_walked_by(logbook: Logbook, other: Walker) -> NoReturn:
    """Refused, with who walks the round, since when, and where they are."""
    opened = log.open_look_of(logbook.file, other.round_id)
    code, zone = "", ""
    if opened is not None:
        code = logbook.collection().plants[opened.plant_id].code
        zone = words.say(f"zones.{opened.zone}.name")
    raise Refused(
        "round-walked" if opened else "round-walked-between",
        who=other.who or words.say("round.somebody"),
        since=time_of_day(from_seconds(other.since).astimezone()),
        code=code,
        zone=zone,
    )


def may_be_running(walker: Walker) -> bool:
    """Whether a program may still run: certain only where it ran on this machine."""
    if walker.host != socket.gethostname() or os.name != "posix":
        return True
    try:
        os.kill(walker.process, 0)
    except ProcessLookupError:
        return False
    except OSError:
        return True
    return True
