"""Mutants of a source file: one small change each, by the operators of mutmut.

Outside functions only numbers, strings and operators are changed. Left alone: types (annotations, aliases, `cast`),
decorators, imports, `len` and `isinstance`, and what numba compiles (its twin is plain numpy).
"""

from bisect import bisect_left
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from difflib import unified_diff
from functools import cache
from hashlib import sha256
from itertools import islice
from pathlib import Path

import libcst as cst
from libcst import metadata
from mutmut.mutation import mutators

MUTATED = ("cncpanel/geometry", "cncpanel/passes", "cncpanel/proof", "cncpanel/output/rs274*")
COMPILED = {"compiled_removal.py"}
NEW_LINE = ord("\n")
TYPES_ONLY = {"len", "isinstance", "cast", "TypeVar", "ParamSpec", "NewType"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Mutant:
    """One change of one file: lines `first` to `last` (from 1) change from `before` to `after`."""

    file: str
    where: str  # the function, a class's method with its class; "" outside any
    body: tuple[int, int]  # first and last line of that function
    names: tuple[str, ...]  # outside functions: what the changed statement assigns to
    first: int
    last: int
    statement: int  # the line on which the changed statement begins
    before: str
    after: str
    ordinal: int  # the how manieth of the same text in the same function
    span: tuple[int, int]  # the bytes of the file that `new` replaces
    new: str

    @property
    def text(self) -> str:
        """What was there and what stands there now, without indentation: how the explained list names a mutant."""
        return " ".join(self.before.split()) + " => " + " ".join(self.after.split())

    def code(self, root: Path) -> str:
        """The whole file, changed."""
        source, (begin, end) = (root / self.file).read_bytes(), self.span
        return (source[:begin] + self.new.encode() + source[end:]).decode()

    def diff(self, root: Path) -> str:
        """The change as a unified diff with two lines around it."""
        source, code = (root / self.file).read_text("utf-8").splitlines(), self.code(root).splitlines()
        return "\n".join(unified_diff(source, code, self.file, self.file, "", "", 2, lineterm=""))

    def is_python(self, root: Path) -> bool:
        """Whether the changed file can be compiled at all."""
        try:
            compile(self.code(root), self.file, "exec")
        except SyntaxError:
            return False
        return True

    def rank(self, seed: int) -> str:
        """Where this mutant stands in a seeded order that a change elsewhere in the code leaves as it is."""
        return sha256(f"{seed}|{self.file}|{self.where}|{self.text}|{self.ordinal}".encode()).hexdigest()


def files(root: Path) -> list[str]:
    """The files that are mutated, relative to `root`."""
    found = [path for some in MUTATED for path in root.glob(some if "*" in some else f"{some}/*.py")]
    return sorted(str(path.relative_to(root)) for path in found if path.suffix == ".py" and path.name not in COMPILED)


def sample(root: Path, seed: int, count: int) -> list[Mutant]:
    """`count` mutants of all that still are Python, in the seed's order."""
    every = [mutant for file in files(root) for mutant in mutants(root, file)]
    ranked = sorted(every, key=lambda mutant: mutant.rank(seed))
    return list(islice((mutant for mutant in ranked if mutant.is_python(root)), count))


def mutants(root: Path, file: str) -> list[Mutant]:
    """Every mutant of a file, in the file's order; a few are no Python any more."""
    wrapper = metadata.MetadataWrapper(cst.parse_module((root / file).read_text("utf-8")), unsafe_skip_copy=True)
    visitor = _Visitor(file, wrapper.module)
    wrapper.visit(visitor)
    return visitor.found


class _Visitor(cst.CSTVisitor):
    METADATA_DEPENDENCIES = (metadata.ByteSpanPositionProvider,)

    def __init__(self, file: str, module: cst.Module) -> None:
        super().__init__()
        self.file, self.module, self.source = file, module, module.bytes
        self._line_ends = [at for at, byte in enumerate(self.source) if byte == NEW_LINE]
        self.found: list[Mutant] = []
        self._inside: list[cst.FunctionDef | cst.ClassDef] = []
        self._statements: list[cst.CSTNode] = []
        self._seen: Counter[tuple[str, str]] = Counter()

    def on_visit(self, node: cst.CSTNode) -> bool:
        if _left_alone(node):
            return False
        if isinstance(node, cst.FunctionDef | cst.ClassDef):
            self._inside.append(node)
        if isinstance(node, cst.BaseSmallStatement | cst.BaseCompoundStatement):
            self._statements.append(node)
        for changed in self._changes(node):
            self._add(node, changed)
        return True

    def on_leave(self, original_node: cst.CSTNode) -> None:
        for stack in (self._inside, self._statements):
            if stack and stack[-1] is original_node:
                stack.pop()

    def _changes(self, node: cst.CSTNode) -> Iterator[cst.CSTNode]:
        functions = [one for one in self._inside if isinstance(one, cst.FunctionDef)]
        for operator in _operators(type(node)):
            if functions or operator is not mutators.operator_assignment:
                yield from operator(node)

    def _add(self, node: cst.CSTNode, changed: cst.CSTNode) -> None:
        place = self.get_metadata(metadata.ByteSpanPositionProvider, node)
        begin, end, new = place.start, place.start + place.length, self.module.code_for_node(changed)
        line, rest = self.source.rfind(b"\n", 0, begin) + 1, self.source.find(b"\n", end)
        if isinstance(node, cst.Match):  # the cases' lines, indented by what stands round them
            new = new.replace("\n", "\n" + self.source[line:begin].decode())
        before = self.source[line:rest].decode()
        after = self.source[line:begin].decode() + new + self.source[end:rest].decode()
        where = ".".join(one.name.value for one in self._inside)
        self._seen[where, f"{before}{after}"] += 1
        first, last = self._lines(node)
        self.found.append(
            Mutant(
                file=self.file,
                where=where,
                body=self._body(),
                names=self._names(),
                first=first,
                last=last,
                statement=self._lines(self._statements[-1])[0] if self._statements else first,
                before=before,
                after=after,
                ordinal=self._seen[where, f"{before}{after}"],
                span=(begin, end),
                new=new,
            )
        )

    def _body(self) -> tuple[int, int]:
        functions = [one for one in self._inside if isinstance(one, cst.FunctionDef)]
        return self._lines(functions[-1].body) if functions else (0, 0)

    def _names(self) -> tuple[str, ...]:
        statement = self._statements[-1] if self._statements else None
        targets = [one.target for one in statement.targets] if isinstance(statement, cst.Assign) else []
        if isinstance(statement, cst.AnnAssign):
            targets = [statement.target]
        each = [one for target in targets for one in ([e.value for e in getattr(target, "elements", ())] or [target])]
        return tuple(one.value for one in each if isinstance(one, cst.Name))

    def _lines(self, node: cst.CSTNode) -> tuple[int, int]:
        """The first and the last line of a node, from 1."""
        place = self.get_metadata(metadata.ByteSpanPositionProvider, node)
        begin, end = place.start, place.start + max(place.length - 1, 0)
        return bisect_left(self._line_ends, begin) + 1, bisect_left(self._line_ends, end) + 1


@cache
def _operators(kind: type[cst.CSTNode]) -> tuple[Callable[[cst.CSTNode], Iterator[cst.CSTNode]], ...]:
    """The operators for one kind of node; two that are meant for any node are asked for those that they change only."""
    narrow = {
        mutators.operator_swap_op: (
            cst.BinaryOperation | cst.UnaryOperation | cst.BooleanOperation | cst.ComparisonTarget | cst.AugAssign
        ),
        mutators.operator_keywords: cst.Is | cst.IsNot | cst.In | cst.NotIn | cst.Break | cst.Continue,
    }
    operators = mutators.mutation_operators
    return tuple(one for kinds, one in operators if issubclass(kind, narrow.get(one, kinds)))


def _left_alone(node: cst.CSTNode) -> bool:
    if isinstance(node, cst.Annotation | cst.Decorator | cst.Import | cst.ImportFrom):
        return True
    if isinstance(node, cst.Subscript):
        return isinstance(node.value, cst.Name) and node.value.value in ("Literal", "Callable")
    if isinstance(node, cst.Call):
        return isinstance(node.func, cst.Name) and node.func.value in TYPES_ONLY
    if isinstance(node, cst.If):
        return isinstance(node.test, cst.Name) and node.test.value == "TYPE_CHECKING"
    names = [one.decorator.value for one in getattr(node, "decorators", ()) if isinstance(one.decorator, cst.Name)]
    return "compiled" in names
