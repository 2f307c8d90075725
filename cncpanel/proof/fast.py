"""The one door to numba, the optional extra `fast`: the same removal as compiled loops."""

from collections.abc import Callable
from importlib.util import find_spec
from typing import TYPE_CHECKING, ParamSpec, TypeVar, cast

if TYPE_CHECKING:
    from cncpanel.proof.compiled_removal import CompiledRemoval

P = ParamSpec("P")
R = TypeVar("R")


def is_there() -> bool:
    """Whether the extra is installed."""
    return find_spec("numba") is not None


def compiled(function: Callable[P, R]) -> Callable[P, R]:
    """The function compiled on its first call, kept on disk for the next run; no relaxed arithmetic."""
    from numba import njit  # 0.9 s: only for those who ask for it

    return cast(Callable[P, R], njit(cache=True, error_model="numpy")(function))


def loops() -> "CompiledRemoval":
    """The compiled removal; ImportError without the extra."""
    if not is_there():
        raise ImportError("compiled loops need the extra 'fast' (numba)")
    from cncpanel.proof.compiled_removal import CompiledRemoval

    return CompiledRemoval()
