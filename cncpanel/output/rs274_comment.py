"""Comments that every control reads: ASCII capitals in one pair of brackets, none and no percent inside."""

import re
import textwrap
import unicodedata

MESSAGE = "MSG,"  # NISTIR 6556 section 3.3.4: such a comment is shown to the operator
BRACKETS = 2
_BEGINS = re.compile(  # what tells a line of its own to a reader, ours among them; a word and a comma, as MSG, does too
    r"(?:FIT|JOB|MACHINE|PART|RESTART|SET|SET-UP|SHEET|SPINDLE|STOCK|SWITCH|TOOL|UNITS|X0|Z0)\b|[A-Z]+,"
)


def comment_lines(text: str, longest: int, *, is_message: bool = False) -> tuple[str, ...]:
    """The text as comment lines of at most `longest` characters; only a Stop's lines are messages."""
    head = MESSAGE if is_message else ""
    room = longest - BRACKETS - len(head)
    plain = _plain(text)
    pieces = textwrap.wrap(plain, room, break_on_hyphens=False) or [""]
    if is_message:
        return tuple(f"({head}{_unlike_message(piece)[:room]})" for piece in pieces)
    first, *others = pieces
    return tuple(f"({piece[:room]})" for piece in (_unlike_message(first), *map(_unlike_beginning, others)))


def _plain(text: str) -> str:
    bare = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode().upper()
    return " ".join(re.sub(r"[^ -~]|[()%;]", " ", bare).split())


def _unlike_message(piece: str) -> str:
    """Where a split brings MSG to the front, it must not become a message."""
    return f"_{piece}" if re.match(r"\s*M\s*S\s*G", piece) else piece


def _unlike_beginning(piece: str) -> str:
    """Where a split brings a word of the job's to the front, it must not read as the head's or the operator's line."""
    return f"_{piece}" if _BEGINS.match(piece) else _unlike_message(piece)
