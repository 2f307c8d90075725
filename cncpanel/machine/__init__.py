"""What a machine is and can do, read from machines/*.toml; every limit is data."""

from cncpanel.machine.model import Machine
from cncpanel.machine.tool import Tool

__all__ = ["Machine", "Tool"]
