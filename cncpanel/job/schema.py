"""The job file's JSON Schema, for editors that complete and check TOML."""

from typing import Any

from pydantic.json_schema import JsonSchemaMode

from cncpanel.job.model import Job

Node = dict[str, Any]

DRAFT = "https://json-schema.org/draft/2020-12/schema"
_OURS_ONLY = {"title"}
_LIMITS = {"gt": "exclusiveMinimum", "ge": "minimum", "lt": "exclusiveMaximum", "le": "maximum"}  # pydantic's words
_MODES: tuple[JsonSchemaMode, JsonSchemaMode] = ("validation", "serialization")
_NULL = {"type": "null"}
_EITHER = ({"type": "number"}, {"type": "integer"})
_WRITTEN = 'a number in the job\'s unit, a length such as "3/4 in" or "2.5 cm", or arithmetic over [values]'


def job_schema() -> dict[str, Any]:
    """The schema (draft 2020-12): what TOML may say, so without null; lengths as numbers or texts."""
    schema, read = (_tidy(Job.model_json_schema(mode=mode)) for mode in _MODES)
    assert isinstance(schema, dict)
    _limit(schema, read)
    return {"$schema": DRAFT, "title": "cncpanel job", **schema}


def _limit(schema: Node, read: Node) -> None:
    """The limits of numbers that may be texts too: pydantic tells them of what was read alone."""
    for name, table in schema.get("$defs", {}).items():
        _limit(table, read["$defs"][name])
    for name, node in schema.get("properties", {}).items():
        if node.get("anyOf", [])[:1] in ([one] for one in _EITHER):
            number = read["properties"][name]
            node |= {key: number[key] for key in _LIMITS.values() if key in number}


def _tidy(node: Any) -> Any:
    """Without nulls and words of no use; a description beside every number that may be written as a text."""
    if isinstance(node, list):
        return [_tidy(entry) for entry in node]
    if not isinstance(node, dict):
        return node
    tidy = {_said(key, value): _tidy_entry(key, value) for key, value in node.items() if not _is_dropped(key, value)}
    choices = tidy.get("anyOf", ())
    if len(choices) == 1:
        tidy = {**tidy.pop("anyOf")[0], **tidy}
    if len(choices) == 2 and choices[0] in _EITHER and choices[1] == {"type": "string"}:
        tidy.setdefault("description", _WRITTEN)
    return tidy


def _said(key: str, value: Any) -> str:
    """A limit of a number that may be a text too; a schema's words for it pass over texts."""
    return key if isinstance(value, dict) else _LIMITS.get(key, key)


def _is_dropped(key: str, value: Any) -> bool:
    return (key in _OURS_ONLY and not isinstance(value, dict)) or (key == "default" and value is None)


def _tidy_entry(key: str, value: Any) -> Any:
    if key == "anyOf":
        return [_tidy(choice) for choice in value if choice != _NULL]
    return _tidy(value)
