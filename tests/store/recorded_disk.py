"""A disk whose writes and syncs are written down, and replayed as a power cut may leave them.

SQLite reaches files through a table of functions (sqlite.org/vfs.html). Here the one in use is
copied, its writes, truncations, syncs and removals are noted before they are passed on, and the
copy is made the usual one. It works where Python's sqlite3 shares its library with the system.
"""

import ctypes
import ctypes.util
import random
import sqlite3
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

SECTOR = 512
"""bytes; what a disk writes whole or not at all"""

pointer, c_int, c_int64 = ctypes.c_void_p, ctypes.c_int, ctypes.c_int64


@dataclass(frozen=True, slots=True)
class Did:
    """One thing done to a file, or `said`: how much had been acknowledged by then."""

    what: str
    file: str = ""
    at: int = 0
    data: bytes = b""
    number: int = 0


@dataclass
class Recorded:
    """All that was done, in order."""

    done: list[Did] = field(default_factory=list)

    def acknowledge(self, number: int) -> None:
        """So much has been promised to be on disk."""
        self.done.append(Did("said", number=number))


def left_by_a_cut(
    before: Mapping[str, bytes], done: Sequence[Did], chance: random.Random
) -> dict[str, bytes]:
    """Files by name as they may be found when power fails after all of `done`.

    `before` was on the disk to begin with. What was written before a file's last sync is there.
    Of what came after it any part may be, in any order; the last of it may be torn between two
    sectors.
    """
    synced: dict[str, bytearray | None] = {n: bytearray(data) for n, data in before.items()}
    pending: defaultdict[str, list[Did]] = defaultdict(list)
    for step in done:
        if step.what == "sync":
            for one in pending.pop(step.file, []):
                _apply(synced, one)
        elif step.what != "said":
            pending[step.file].append(step)
    for steps in pending.values():
        for one in _some_of(steps, chance):
            _apply(synced, one)
    return {name: bytes(data) for name, data in synced.items() if data is not None}


def _some_of(steps: list[Did], chance: random.Random) -> list[Did]:
    how = chance.choice(("none", "all", "first", "any", "torn"))
    if how == "none":
        return []
    if how == "all":
        return steps
    if how == "any":
        return [one for one in steps if chance.random() < 0.5]
    first = steps[: chance.randint(0, len(steps))]
    if how == "torn" and first and first[-1].what == "write":
        last = first[-1]
        sectors = chance.randint(0, len(last.data) // SECTOR)
        first[-1] = Did("write", last.file, last.at, last.data[: sectors * SECTOR])
    return first


def _apply(files: dict[str, bytearray | None], step: Did) -> None:
    if step.what == "removed":
        files[step.file] = None
        return
    data = files.get(step.file)
    if data is None:
        data = files[step.file] = bytearray()
    if step.what == "truncated":
        del data[step.at :]
        return
    data.extend(bytes(max(0, step.at + len(step.data) - len(data))))
    data[step.at : step.at + len(step.data)] = step.data


class _Methods(ctypes.Structure):
    """sqlite3_io_methods of version 3 (sqlite.org/c3ref/io_methods.html)."""

    _fields_ = (
        ("version", c_int),
        *(
            (name, pointer)
            for name in (
                *("close", "read", "write", "truncate", "sync", "file_size", "lock", "unlock"),
                *("check_reserved_lock", "file_control", "sector_size", "characteristics"),
                *("shm_map", "shm_lock", "shm_barrier", "shm_unmap", "fetch", "unfetch"),
            )
        ),
    )


class _File(ctypes.Structure):
    _fields_ = (("methods", ctypes.POINTER(_Methods)),)


class _Vfs(ctypes.Structure):
    """sqlite3_vfs of version 3 (sqlite.org/c3ref/vfs.html)."""

    _fields_ = (
        ("version", c_int),
        ("file_bytes", c_int),
        ("longest_path", c_int),
        ("next", pointer),
        ("name", ctypes.c_char_p),
        ("data", pointer),
        *(
            (name, pointer)
            for name in (
                *("open", "delete", "access", "full_path", "dl_open", "dl_error", "dl_sym"),
                *("dl_close", "randomness", "sleep", "current_time", "last_error"),
                *("current_time_64", "set_call", "get_call", "next_call"),
            )
        ),
    )


_open = ctypes.CFUNCTYPE(c_int, pointer, pointer, pointer, c_int, pointer)
_delete = ctypes.CFUNCTYPE(c_int, pointer, ctypes.c_char_p, c_int)
_write = ctypes.CFUNCTYPE(c_int, pointer, pointer, c_int, c_int64)
_truncate = ctypes.CFUNCTYPE(c_int, pointer, c_int64)
_sync = ctypes.CFUNCTYPE(c_int, pointer, c_int)


def _library() -> ctypes.CDLL | None:
    found = ctypes.util.find_library("sqlite3")
    library = ctypes.CDLL(found) if found else None
    if library is None:
        return None
    library.sqlite3_libversion.restype = ctypes.c_char_p
    library.sqlite3_vfs_find.restype = ctypes.POINTER(_Vfs)
    return library if library.sqlite3_libversion().decode() == sqlite3.sqlite_version else None


class _Shim:
    """The functions that note and pass on; kept alive as long as SQLite may call them."""

    def __init__(self, library: ctypes.CDLL, recorded: Recorded) -> None:
        self.recorded = recorded
        self.usual = library.sqlite3_vfs_find(None)
        self.vfs = _Vfs()
        ctypes.pointer(self.vfs)[0] = self.usual.contents
        self.name = self.vfs.name = b"recorded"
        self.kept: list[Any] = []
        self.names: dict[int, str] = {}
        self.vfs.open = self._called(_open, self._open)
        self.vfs.delete = self._called(_delete, self._removed)

    def _called(self, kind: Any, function: Any) -> int | None:
        callback = kind(function)
        self.kept.append(callback)
        return ctypes.cast(callback, pointer).value

    def _open(self, _vfs: int, name: int | None, file: int, flags: int, out: int) -> int:
        # the name is handed on as it lies in memory: SQLite keeps no copy of it
        status = int(_open(self.usual.contents.open)(self._usual(), name, file, flags, out))
        if status == 0 and name is not None:
            self._watch(file, Path(ctypes.string_at(name).decode()).name)
        return status

    def _usual(self) -> int | None:
        return ctypes.cast(self.usual, pointer).value

    def _removed(self, _vfs: int, name: bytes, sync: int) -> int:
        self.recorded.done.append(Did("removed", Path(name.decode()).name))
        return int(_delete(self.usual.contents.delete)(self._usual(), name, sync))

    def _watch(self, file: int, name: str) -> None:
        opened = _File.from_address(file)
        if not opened.methods:
            return
        methods = _Methods()
        ctypes.pointer(methods)[0] = opened.methods.contents
        write, truncate = _write(methods.write), _truncate(methods.truncate)
        sync, note = _sync(methods.sync), self.recorded.done.append

        def noted_write(file: int, data: int, size: int, at: int) -> int:
            note(Did("write", name, at, ctypes.string_at(data, size)))
            return int(write(file, data, size, at))

        def noted_truncate(file: int, size: int) -> int:
            note(Did("truncated", name, size))
            return int(truncate(file, size))

        def noted_sync(file: int, flags: int) -> int:
            status = int(sync(file, flags))
            note(Did("sync", name))
            return status

        methods.write = self._called(_write, noted_write)
        methods.truncate = self._called(_truncate, noted_truncate)
        methods.sync = self._called(_sync, noted_sync)
        self.kept.append(methods)
        opened.methods = ctypes.pointer(methods)


@contextmanager
def recorded_disk() -> Iterator[Recorded | None]:
    """Files that SQLite opens meanwhile are recorded; None where its library is not shared."""
    library = _library()
    if library is None:
        yield None
        return
    recorded = Recorded()
    shim = _Shim(library, recorded)
    library.sqlite3_vfs_register(ctypes.byref(shim.vfs), 1)
    try:
        yield recorded
    finally:
        library.sqlite3_vfs_register(shim.usual, 1)
        library.sqlite3_vfs_unregister(ctypes.byref(shim.vfs))
