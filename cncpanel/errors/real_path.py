"""Where a path leads once its links are followed."""

import os
from pathlib import Path


def real_path(path: Path) -> Path:
    """The absolute path without links; links that lead round in a ring stay, and whoever opens it is told.

    `Path.resolve` raises RuntimeError for such a ring up to Python 3.12.
    """
    return Path(os.path.realpath(path))
