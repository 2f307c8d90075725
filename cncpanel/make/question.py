"""What the person who runs `prove` asks, as given."""

from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """Programs in the order in which they are run, and what is known of the machine's table. None: not known.

    `tools` is a file's path, or the name of a shipped machine whose rack is fitted.
    """

    programs: tuple[Path, ...]
    machine: str
    stock: str | None = None
    tools: str | None = None
    origin: str | None = None
    holding: Path | None = None
    job: Path | None = None
    sheet: int | None = None
