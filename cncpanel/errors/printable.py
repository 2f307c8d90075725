"""Texts that every paper, program and page can show."""


def printable(value: str) -> str:
    """The text as it is; raises ValueError where a character of it cannot be printed."""
    strange = next((place for place, letter in enumerate(value, 1) if not letter.isprintable()), None)
    if strange:
        code = f"character {strange}, U+{ord(value[strange - 1]):04X}, cannot be printed"
        raise ValueError(f"{code} (no line breaks, tabs, control or invisible characters)")
    return value
