"""A mutant's code put into the function that is already imported, so that nothing need be imported anew."""

import importlib
from pathlib import Path
from types import CodeType, FunctionType, ModuleType
from typing import Any

from mutant import Mutant

WRAPPERS = ("fget", "func", "__func__", "__wrapped__")  # of properties, cached ones, methods, caches


def put_in(mutant: Mutant, tree: Path) -> bool:
    """Give the running function the mutant's code; False where the change is not within a function's body."""
    if not mutant.body[1] or not mutant.body[0] <= mutant.first <= mutant.body[1]:
        return False
    name = mutant.file.removesuffix(".py").replace("/", ".")
    function = _function(importlib.import_module(name), mutant.where.split("."))
    if function is None:
        return False
    changed = compile(mutant.code(tree), str(tree / mutant.file), "exec", dont_inherit=True)
    code = _code(changed, function.__code__)
    if code is None or code.co_freevars != function.__code__.co_freevars:
        return False
    function.__code__ = code
    return True


def _function(module: ModuleType, names: list[str]) -> FunctionType | None:
    """The outermost function on the way to `names`, out of whatever wraps it."""
    found: Any = module
    for name in names:
        found = vars(found).get(name)
        while inner := next((vars_of for one in WRAPPERS if (vars_of := getattr(found, one, None))), None):
            found = inner
        if not isinstance(found, type):
            break
    return found if isinstance(found, FunctionType) else None


def _code(changed: CodeType, was: CodeType) -> CodeType | None:
    """The code of the same qualified name that begins on the same line."""
    for one in changed.co_consts:
        if isinstance(one, CodeType):
            if (one.co_qualname, one.co_firstlineno) == (was.co_qualname, was.co_firstlineno):
                return one
            if (inner := _code(one, was)) is not None:
                return inner
    return None
