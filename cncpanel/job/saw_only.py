"""Whether a job is for a saw alone: known before it is read, since it is then made another way."""

from pathlib import Path

from cncpanel.errors.toml import read_toml


def is_for_saw_only(path: Path) -> bool:
    """Whether the file names no machine but a saw; raises ProblemsFound where it cannot be read."""
    data = read_toml(path).data
    head = data.get("job")
    return "saw" in data and isinstance(head, dict) and "machine" not in head
