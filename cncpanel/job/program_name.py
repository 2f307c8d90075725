"""What is left of a job's own words in a program: letters A-Z, digits, - _ and space."""

import re
import unicodedata

_LETTERS = str.maketrans({"Æ": "AE", "Ø": "O", "Œ": "OE", "Ł": "L", "Đ": "D", "Ð": "D", "Þ": "TH"})


def program_name(name: str) -> str:
    """In capitals, accents dropped, other characters a dash, never a leading MSG; empty where nothing is left."""
    bare = unicodedata.normalize("NFKD", name.upper().translate(_LETTERS)).encode("ascii", "ignore").decode()
    dashed = re.sub(r"[^A-Z0-9_ -]+", "-", re.sub(r"\s", " ", bare))
    plain = re.sub(r" +", " ", dashed).strip()
    if not re.search(r"[A-Z0-9]", plain):
        return ""
    return f"_{plain}" if plain.startswith("MSG") else plain
