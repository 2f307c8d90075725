"""The job file's JSON Schema, for editors that complete and check TOML."""

from typing import Any

from cncpanel.job.model import Job

DRAFT = "https://json-schema.org/draft/2020-12/schema"
_OURS_ONLY = {"title"}
_LIMITS = {"gt": "exclusiveMinimum", "ge": "minimum", "lt": "exclusiveMaximum", "le": "maximum"}  # pydantic's words
_NULL = {"type": "null"}
_EITHER = ({"type": "number"}, {"type": "integer"})
_WRITTEN = 'a number in the job\'s unit, a length such as "3/4 in" or "2.5 cm", or arithmetic over [values]'


def job_schema() -> dict[str, Any]:
    """The schema (draft 2020-12): what TOML may say, so without null; lengths as numbers or texts."""
    schema = _tidy(Job.model_json_schema())
    assert isinstance(schema, dict)
    return {"$schema": DRAFT, "title": "cncpanel job", **schema}


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
