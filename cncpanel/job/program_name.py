"""What is left of a job's own words in a program: letters A-Z, digits, - _ and space."""

import re
import unicodedata

LONGEST = 40  # characters; a control's display shows about as many
_OTHERS = re.compile(r"[^A-Z0-9\-_ ]+")
_LETTERS = str.maketrans({"ß": "SS", "Æ": "AE", "Ø": "O", "Œ": "OE", "Ł": "L", "Đ": "D", "Ð": "D", "Þ": "TH"})


def program_name(text: str) -> str:
    """`text` in capitals without accents, what is not A-Z 0-9 - _ made single spaces; may be empty."""
    plain = unicodedata.normalize("NFKD", text.upper().translate(_LETTERS))
    ascii_only = "".join(c for c in plain if not unicodedata.combining(c))
    return " ".join(_OTHERS.sub(" ", ascii_only).split())[:LONGEST].strip()
