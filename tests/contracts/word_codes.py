"""Which sentences the program asks for, as far as its text tells: the codes of every call.

A code put together at the call is followed to what it is made of: a choice between words, a loop
over a table, a parameter and all it is called with, a field that is one of a few words. What cannot
be followed so stays a gap, `{}`.
"""

import ast
from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import product
from pathlib import Path

import rounds

HOUSE = Path(rounds.__file__).parent
GAP = "{}"
DEEPEST = 9
"""How far a word is followed through names and calls."""
ASKED = ("say", "section", "tables")
ITERATED = ("tuple", "list", "sorted", "reversed", "set", "frozenset")
Function = ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda
Values = set[str]


@dataclass(frozen=True)
class Asking:
    """One code that is asked for, and where."""

    how: str
    """say, section or tables"""
    code: str
    where: str


@dataclass(eq=False)
class Source:
    """One module as it is written."""

    name: str
    where: str
    tree: ast.Module

    @cached_property
    def imports(self) -> dict[str, tuple[str, str]]:
        """What a name stands for: the module it comes from, and its name there."""
        return {
            each.asname or each.name: (node.module, each.name)
            for node in ast.walk(self.tree)
            if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("rounds")
            for each in node.names
            if node.module
        }

    @cached_property
    def assigned(self) -> dict[str, list[ast.expr | None]]:
        """What the names of the module are set to."""
        found: dict[str, list[ast.expr | None]] = defaultdict(list)
        for node in self.tree.body:
            for name, value in _assigned(node):
                found[name].append(value)
        return found

    @cached_property
    def functions(self) -> dict[str, list[Function]]:
        """Functions and methods by name."""
        found: dict[str, list[Function]] = defaultdict(list)
        for node in ast.walk(self.tree):
            if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
                found[node.name].append(node)
        return found


@dataclass(frozen=True)
class At:
    """A part of a module, and how deep it was come to."""

    source: Source
    node: ast.expr
    depth: int = 0

    def part(self, node: ast.expr) -> "At":
        """A part of this part."""
        return At(self.source, node, self.depth + 1)


def _assigned(node: ast.AST) -> Iterator[tuple[str, ast.expr | None]]:
    if isinstance(node, ast.Assign):
        for target in node.targets:
            yield from _targets(target, node.value)
    elif isinstance(node, ast.AnnAssign | ast.NamedExpr) and node.value is not None:
        yield from _targets(node.target, node.value)


def _targets(target: ast.expr, value: ast.expr | None) -> Iterator[tuple[str, ast.expr | None]]:
    if isinstance(target, ast.Name):
        yield target.id, value
    elif isinstance(target, ast.Tuple):
        if isinstance(value, ast.IfExp):
            yield from _targets(target, value.body)
            yield from _targets(target, value.orelse)
            return
        parts: Iterable[ast.expr | None] = [None] * len(target.elts)
        if isinstance(value, ast.Tuple) and len(value.elts) == len(target.elts):
            parts = value.elts
        for each, part in zip(target.elts, parts, strict=True):
            yield from _targets(each, part)


class Program:
    """All modules, each call by the function it calls, each field by what it may be."""

    def __init__(self) -> None:
        self.sources = {source.name: source for source in map(_read, sorted(HOUSE.rglob("*.py")))}
        self.outer: dict[ast.AST, ast.AST] = {}
        self.calls: dict[tuple[str, str], list[tuple[Source, ast.Call]]] = defaultdict(list)
        self.fields: dict[str, list[tuple[Source, ast.expr | None]]] = defaultdict(list)
        for source in self.sources.values():
            for node in ast.walk(source.tree):
                self.outer |= dict.fromkeys(ast.iter_child_nodes(node), node)
                if isinstance(node, ast.Call) and (called := self._called(source, node)):
                    self.calls[called].append((source, node))
                elif isinstance(node, ast.ClassDef):
                    for name, kind in _fields(node):
                        self.fields[name].append((source, kind))

    def asked(self) -> Iterator[Asking]:
        """Every code that is asked for."""
        for how in ASKED:
            for source, call in self.calls["rounds.words", how]:
                for code in sorted(self.values(At(source, call.args[0]))):
                    yield Asking(how, code, f"{source.where}:{call.lineno}")

    def _called(self, source: Source, call: ast.Call) -> tuple[str, str] | None:
        """Module and name of what is called; a method has no module."""
        if isinstance(call.func, ast.Name):
            return source.imports.get(call.func.id, (source.name, call.func.id))
        if not isinstance(call.func, ast.Attribute):
            return None
        if isinstance(call.func.value, ast.Name):
            module = ".".join(source.imports.get(call.func.value.id, ()))
            if module in self.sources:
                return module, call.func.attr
        return "", call.func.attr

    def values(self, at: At) -> Values:
        """What an expression may be, each as text."""
        if at.depth > DEEPEST:
            return {GAP}
        match at.node:
            case ast.Constant(value=None):
                return {""}
            case ast.Constant(value=str() | int() as value):
                return {str(value)}
            case ast.JoinedStr(values=parts):
                made = (
                    {str(part.value)} if isinstance(part, ast.Constant)
                    else self.values(at.part(part.value))  # type: ignore[attr-defined]
                    for part in parts
                )  # fmt: skip
                return {"".join(each) for each in product(*made)}
            case ast.BinOp(left=left, op=ast.Add(), right=right):
                both = product(self.values(at.part(left)), self.values(at.part(right)))
                return {first + second for first, second in both}
            case ast.IfExp(body=first, orelse=second):
                return self.values(at.part(first)) | self.values(at.part(second))
            case ast.BoolOp(op=ast.Or(), values=parts):
                # an empty one is passed over
                said = self._each(at, parts[:-1]) - {""}
                return said | self.values(at.part(parts[-1]))
            case ast.NamedExpr(value=value):
                return self.values(at.part(value))
            case ast.Subscript(value=table):
                return self._in_table(at, table)
            case ast.Attribute(attr=name):
                return self._one_of_few(self.fields[name])
            case ast.Call():
                return self._answered(at, at.node)
            case ast.Name(id=name):
                return self._named(at, name)
        return {GAP}

    def _each(self, at: At, parts: Iterable[ast.expr | None]) -> Values:
        found: Values = set()
        for part in parts:
            found |= {GAP} if part is None else self.values(at.part(part))
        return found

    def _one_of_few(self, kinds: list[tuple[Source, ast.expr | None]]) -> Values:
        known = [self._literal(source, kind) for source, kind in kinds]
        return set().union(*known) if known and all(known) else {GAP}

    def _literal(self, source: Source, kind: ast.expr | None) -> Values:
        """The words a Literal allows; none where it is no such type."""
        match kind:
            case ast.Name(id=name):
                meant = self._constants(source, name)
                return set().union(*(self._literal(where, value) for where, value in meant))
            case ast.Subscript(value=ast.Name(id="Literal"), slice=inside):
                words = inside.elts if isinstance(inside, ast.Tuple) else [inside]
                return {str(word.value) for word in words if isinstance(word, ast.Constant)}
            case ast.BinOp(left=left, op=ast.BitOr(), right=ast.Constant(value=None)):
                return self._literal(source, left)
        return set()

    def _constants(self, source: Source, name: str) -> list[tuple[Source, ast.expr | None]]:
        """What a name of a module is set to, there or where it comes from."""
        if name in source.assigned:
            return [(source, value) for value in source.assigned[name]]
        module, there = source.imports.get(name, ("", ""))
        return self._constants(self.sources[module], there) if module in self.sources else []

    def _inside(self, node: ast.AST) -> Iterator[Function]:
        """The functions a place lies in, the innermost first."""
        while (node := self.outer.get(node)) is not None:  # type: ignore[assignment]
            if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda):
                yield node

    def _meant(self, at: At, name: str) -> list[tuple[Source, ast.expr | None]]:
        """What a name is set to: in the functions around it, else in the module."""
        for function in self._inside(at.node):
            here = [
                (at.source, value)
                for node in ast.walk(function)
                for each, value in _assigned(node)
                if each == name
            ]
            if here:
                return here
        return self._constants(at.source, name)

    def _named(self, at: At, name: str) -> Values:
        for function in self._inside(at.node):
            looped = self._looped(at, function, name)
            if looped is not None:
                return looped
            here = [v for n in ast.walk(function) for each, v in _assigned(n) if each == name]
            if here:
                return self._each(at, here)
            if not isinstance(function, ast.Lambda) and name in _parameters(function):
                return self._given(at, function, name)
        found: Values = set()
        for source, value in self._constants(at.source, name):
            found |= {GAP} if value is None else self.values(At(source, value, at.depth + 1))
        return found or {GAP}

    def _looped(self, at: At, function: Function, name: str) -> Values | None:
        """What a name stands for that a loop sets; None where none does."""
        found: Values | None = None
        for node in ast.walk(function):
            if not isinstance(node, ast.For | ast.AsyncFor | ast.comprehension):
                continue
            if isinstance(node.target, ast.Name) and node.target.id == name:
                found = (found or set()) | self._elements(at.part(node.iter), None)
            elif isinstance(node.target, ast.Tuple):
                for place, each in enumerate(node.target.elts):
                    if isinstance(each, ast.Name) and each.id == name:
                        found = (found or set()) | self._elements(at.part(node.iter), place)
        return found

    def _elements(self, at: At, place: int | None) -> Values:
        """What a loop over it yields: its elements, or what stands at a place in each of them."""
        match at.node:
            case ast.Tuple(elts=parts) | ast.List(elts=parts) | ast.Set(elts=parts):
                if place is None:
                    return self._each(at, parts)
                rows = [part.elts for part in parts if isinstance(part, ast.Tuple)]
                return self._each(at, [row[place] for row in rows]) if rows else {GAP}
            case ast.Dict(keys=keys) if place is None:
                return self._each(at, keys)
            case ast.Name(id=name):
                found: Values = self._all_given(at, name)
                for source, value in self._meant(at, name):
                    if value is None:
                        return {GAP}
                    found |= self._elements(At(source, value, at.depth + 1), place)
                return found or {GAP}
            case ast.Call(func=ast.Name(id="enumerate"), args=[first, *_]) if place == 1:
                return self._elements(at.part(first), None)
            case ast.Call(func=ast.Name(id="zip"), args=lists) if place is not None:
                return self._elements(at.part(lists[place]), None)
            case ast.Call(func=ast.Name(id=name), args=[first, *_]) if name in ITERATED:
                return self._elements(at.part(first), place)
            case ast.Call(func=ast.Attribute(value=table, attr="items")):
                return self._items(at, table, place)
        return {GAP}

    def _all_given(self, at: At, name: str) -> Values:
        """What stands in all calls where a function takes as many as are given."""
        for function in self._inside(at.node):
            rest = function.args.vararg
            if rest is None or rest.arg != name or isinstance(function, ast.Lambda):
                continue
            before = len(function.args.posonlyargs) + len(function.args.args)
            found: Values = set()
            for source, call in self.calls[at.source.name, function.name]:
                for value in call.args[before:]:
                    found |= self.values(At(source, value, at.depth + 1))
            return found
        return set()

    def _items(self, at: At, table: ast.expr, place: int | None) -> Values:
        found: Values = set()
        for source, value in self._tables(at, table):
            parts = value.keys if place == 0 else value.values
            found |= self._each(At(source, value, at.depth), parts)
        return found or {GAP}

    def _tables(self, at: At, table: ast.expr) -> list[tuple[Source, ast.Dict]]:
        meant = self._meant(at, table.id) if isinstance(table, ast.Name) else [(at.source, table)]
        return [(source, value) for source, value in meant if isinstance(value, ast.Dict)]

    def _in_table(self, at: At, table: ast.expr) -> Values:
        if isinstance(table, ast.Name):
            meant = self._meant(at, table.id)
            if meant and all(isinstance(value, ast.Tuple) for _, value in meant):
                return self._elements(at.part(table), None)
        return self._items(at, table, 1)

    def _answered(self, at: At, call: ast.Call) -> Values:
        """What a call of the same module answers, or a table asked for a word."""
        if isinstance(call.func, ast.Attribute) and call.func.attr == "get":
            return self._in_table(at, call.func.value) | self._each(at, call.args[1:])
        if isinstance(call.func, ast.Name) and call.func.id == "str":
            return self._each(at, call.args[:1])
        name = getattr(call.func, "id", "") or getattr(call.func, "attr", "")
        found: Values = set()
        for function in at.source.functions.get(name, []):
            for node in ast.walk(function):
                if isinstance(node, ast.Return) and node.value is not None:
                    found |= self.values(at.part(node.value))
        return found or {GAP}

    def _given(self, at: At, function: ast.FunctionDef | ast.AsyncFunctionDef, name: str) -> Values:
        """What a parameter is called with, else what its type allows."""
        found: Values = set()
        by_place = [a.arg for a in (*function.args.posonlyargs, *function.args.args)]
        is_method = by_place[:1] in (["self"], ["cls"])
        place = by_place.index(name) - is_method if name in by_place else None
        keyword = "" if any(a.arg == name for a in function.args.posonlyargs) else name
        for source, call in self.calls["" if is_method else at.source.name, function.name]:
            if function.name.startswith("_") and source is not at.source:
                continue
            given = _argument(call, keyword, place)
            value = given if given is not None else _default(function, name)
            where = source if given is not None else at.source
            found |= {GAP} if value is None else self.values(At(where, value, at.depth + 1))
        if found and not any(GAP in each for each in found):
            return found
        kind = next((a.annotation for a in _arguments(function) if a.arg == name), None)
        return self._literal(at.source, kind) or found or {GAP}


def _read(path: Path) -> Source:
    parts = list(path.relative_to(HOUSE.parent).with_suffix("").parts)
    name = ".".join(parts[:-1] if parts[-1] == "__init__" else parts)
    tree = ast.parse(path.read_text(encoding="utf-8"))
    return Source(name, path.relative_to(HOUSE).as_posix(), tree)


def _fields(made: ast.ClassDef) -> Iterator[tuple[str, ast.expr | None]]:
    """The fields and properties of a class, and what each may be."""
    for node in made.body:
        if isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name):
            yield node.target.id, node.annotation
        elif isinstance(node, ast.FunctionDef) and node.decorator_list:
            yield node.name, node.returns


def _arguments(function: ast.FunctionDef | ast.AsyncFunctionDef) -> list[ast.arg]:
    return [*function.args.posonlyargs, *function.args.args, *function.args.kwonlyargs]


def _parameters(function: ast.FunctionDef | ast.AsyncFunctionDef) -> list[str]:
    return [argument.arg for argument in _arguments(function)]


def _argument(call: ast.Call, name: str, place: int | None) -> ast.expr | None:
    by_name = next((each.value for each in call.keywords if each.arg == name), None)
    if by_name is not None or place is None or place >= len(call.args):
        return by_name
    return call.args[place]


def _default(function: ast.FunctionDef | ast.AsyncFunctionDef, name: str) -> ast.expr | None:
    ordered = [*function.args.posonlyargs, *function.args.args]
    last = ordered[len(ordered) - len(function.args.defaults) :]
    by_place = {a.arg: value for a, value in zip(last, function.args.defaults, strict=True)}
    by_name = zip(function.args.kwonlyargs, function.args.kw_defaults, strict=True)
    return {**by_place, **{a.arg: value for a, value in by_name}}.get(name)
