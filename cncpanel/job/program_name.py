"""What is left of a job's own words in a program: letters A-Z, digits, - _ and space, and numbers as they are."""

import re
import unicodedata

_LETTERS = str.maketrans({"Æ": "AE", "Ø": "O", "Œ": "OE", "Ł": "L", "Đ": "D", "Ð": "D", "Þ": "TH"})
_FRACTION_SLASH = "\N{FRACTION SLASH}"  # what ½ is made of
_WORDS = re.compile(r"[^A-Z0-9_ -]+")
_WORDS_AND_NUMBERS = re.compile(r"(?:(?!\.[0-9]|(?<=[0-9])[,/][0-9])[^A-Z0-9_ -])+")


def program_name(name: str) -> str:
    """In capitals, accents dropped, other characters a dash, never a leading MSG; empty where nothing is left.

    Two names that are one here are one in a file's name too.
    """
    return _reduced(name, _WORDS)


def comment_name(name: str) -> str:
    """The same for an operator to read: `4.5`, `4,5`, `.25` and `1/4` stay the numbers that they are.

    A comment may hold any printable character but a parenthesis (NISTIR 6556 section 3.3.4).
    """
    return _reduced(name, _WORDS_AND_NUMBERS)


def _reduced(name: str, dashed: re.Pattern[str]) -> str:
    capitals = re.sub(r"(?<=\d)(?=[¼-¾⅐-⅞])", " ", name).upper().translate(_LETTERS)
    plain = unicodedata.normalize("NFKD", capitals).replace(_FRACTION_SLASH, "/")
    plain = plain.encode("ascii", "ignore").decode()
    plain = re.sub(r" +", " ", dashed.sub("-", re.sub(r"\s", " ", plain))).strip()
    if not re.search(r"[A-Z0-9]", plain):
        return ""
    return f"_{plain}" if plain.startswith("MSG") else plain
