"""What the person who runs the command chose."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Choice:
    """Options that change what is made. `machine` stands in for the job's own."""

    machine: str | None = None
    allow_unmade: bool = False
