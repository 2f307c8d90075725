"""JSON that the program wrote itself, and that somebody may have edited since."""

import json
from typing import Any


def json_value(text: str) -> Any:
    """What the text holds; raises ValueError where it is no JSON, or is nested deeper than Python goes."""
    try:
        return json.loads(text)
    except RecursionError:
        raise ValueError("nested too deep") from None
