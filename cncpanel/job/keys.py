"""Every key that a job file may have, table by table, as the schema knows them."""

from collections.abc import Iterator
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any

from cncpanel.errors import Place, Problem, ProblemsFound
from cncpanel.job.schema import job_schema

Node = dict[str, Any]
_LIMITS = {
    "exclusiveMinimum": "over {}",
    "minimum": "at least {}",
    "exclusiveMaximum": "under {}",
    "maximum": "at most {}",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Key:
    """One key: what it takes in words, what stands for it where it is left out, whether it may be."""

    name: str
    takes: str
    default: str
    needed: bool
    about: str


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyTable:
    """A table of the job file by its path: `panel.groove`; `many` where it is written `[[...]]`."""

    path: str
    many: bool
    about: str
    keys: tuple[Key, ...]

    @property
    def head(self) -> str:
        """As it stands in the file."""
        return f"[[{self.path}]]" if self.many else f"[{self.path}]"


def job_keys() -> tuple[KeyTable, ...]:
    """All tables in the order in which the job's own keys name them; a table of a form met before is not repeated."""
    schema = job_schema()
    return tuple(_tables(schema["properties"], schema["$defs"], "", set()))


def named_tables(name: str | None) -> tuple[KeyTable, ...]:
    """All of them, or those whose path is `name` or ends with it; raises ProblemsFound where there is none."""
    tables = job_keys()
    if name is None:
        return tables
    plain = name.strip("[] ")
    exact = [table for table in tables if table.path == plain]
    found = tuple(exact or (table for table in tables if table.path.endswith(f".{plain}")))
    if not found:
        paths = [table.path for table in tables]
        near = get_close_matches(plain, [*paths, *(path.rsplit(".", 1)[-1] for path in paths)], 3)
        allowed = f"perhaps {', '.join(near)}" if near else "cncpanel keys lists them"
        raise ProblemsFound([Problem(Place("TABLE"), f"no table {plain!r} in a job file", allowed)])
    return found


def _tables(properties: Node, defs: Node, path: str, met: set[str]) -> Iterator[KeyTable]:
    for name, node in properties.items():
        form, many = _form(node)
        if form is None or form in met:
            continue
        below = f"{path}.{name}" if path else name
        table = defs[form]
        needed = set(table.get("required", ()))
        keys = (_key(key, value, key in needed, defs) for key, value in table["properties"].items())
        met.add(form)
        yield KeyTable(path=below, many=many, about=table.get("description", ""), keys=tuple(keys))
        yield from _tables(table["properties"], defs, below, met)


def _form(node: Node) -> tuple[str | None, bool]:
    """The name of the table that a key holds, and whether it holds many."""
    if "$ref" in node:
        return node["$ref"].rsplit("/", 1)[-1], False
    if node.get("type") == "array":
        inside = node.get("items", {})
        found = next((_form(one)[0] for one in (inside, *inside.get("oneOf", ())) if "$ref" in one), None)
        return found, True
    return None, False


def _key(name: str, node: Node, needed: bool, defs: Node) -> Key:
    default = "" if needed or "default" not in node else _written(node["default"])
    about = "" if _is_length(node) else str(node.get("description", ""))
    return Key(name=name, takes=_takes(node, defs), default=default, needed=needed, about=about)


def _written(value: Any) -> str:
    match value:
        case bool():
            return str(value).lower()
        case str():
            return f'"{value}"' if value else ""
        case list() | tuple():
            return f"[{', '.join(map(_written, value))}]" if value else ""
        case dict():
            return ""
    return str(value)


def _is_length(node: Node) -> bool:
    """Whether its description is only the one that says how numbers may be written."""
    return str(node.get("description", "")).startswith("a number in the job's unit")


def _takes(node: Node, defs: Node) -> str:
    kinds = {"string": "text", "boolean": "true or false", "integer": "whole number", "number": "number"}
    if "$ref" in node:
        return "a table"
    if "enum" in node or "const" in node:
        return " | ".join(f'"{value}"' for value in node.get("enum", [node.get("const")]))
    if "anyOf" in node or "oneOf" in node:
        choices = node.get("anyOf") or node["oneOf"]
        if {choice.get("type") for choice in choices} <= {"number", "integer", "string"} and _numeric(choices):
            return _limited("number" if any(one.get("type") == "number" for one in choices) else "whole number", node)
        return " or ".join(dict.fromkeys(_takes(choice, defs) for choice in choices))
    if node.get("type") == "array":
        return _listed(node, defs)
    if node.get("type") == "object":
        return "names with numbers"
    return _limited(kinds.get(node.get("type", ""), "a value"), node)


def _numeric(choices: list[Node]) -> bool:
    return any(choice.get("type") in ("number", "integer") for choice in choices)


def _listed(node: Node, defs: Node) -> str:
    if "prefixItems" in node:
        return f"[{', '.join(_takes(item, defs) for item in node['prefixItems'])}]"
    inside = _takes(node.get("items", {}), defs)
    if "|" in inside:
        inside = f"({inside})"
    return "tables" if inside == "a table" else f"list of {inside}"


def _limited(kind: str, node: Node) -> str:
    limits = [words.format(node[key]) for key, words in _LIMITS.items() if key in node]
    return ", ".join([kind, *limits])
