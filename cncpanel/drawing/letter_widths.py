"""How wide words are set: never more than what is told here, and for plain words little less.

Widths of Helvetica and Helvetica-Bold, the wider of both, in thousandths of the type size: Adobe's font metrics for the
14 standard fonts. A word with letters beyond those is set in another, wider font as a whole.
"""

from functools import lru_cache

CAPITAL = 720  # of the type size; how high capitals are reckoned
WIDTHS = {
    238: "'",
    278: " ,./I\\ijl",
    280: "|",
    333: "!()-:;[]`ft",
    389: "*r{}",
    474: '"',
    500: "z",
    556: "#$0123456789J_aceksvxy",
    584: "+<=>^~",
    611: "?FLTZbdghnopqu",
    667: "EPSVXY",
    722: "&ABCDHKNRU",
    778: "GOQw",
    833: "M",
    889: "%m",
    944: "W",
    1015: "@",
}
PLAIN = {letter: width for width, letters in WIDTHS.items() for letter in letters}
LATIN = 1000  # a letter beyond ASCII: an em at most
FOREIGN = 1225  # a letter beyond Latin; wider ones are not printed
BESIDE_FOREIGN = 1.45  # how much wider the other font's plain letters are at most


@lru_cache(maxsize=4096)
def unit_width(text: str) -> float:
    """The text's width where capitals are 1 high."""
    return sum(map(_word_width, text.split(" "))) / CAPITAL + (text.count(" ") * PLAIN[" "]) / CAPITAL


def text_width(text: str, size: float) -> float:
    """The width of words, bold or not, whose capitals are `size` high."""
    return size * unit_width(text)


def _word_width(word: str) -> float:
    plain = sum(PLAIN[letter] for letter in word if letter in PLAIN)
    others = [letter for letter in word if letter not in PLAIN]
    factor = BESIDE_FOREIGN if any(letter > "\xff" for letter in others) else 1.0
    return factor * plain + sum(LATIN if letter < "\u0180" else FOREIGN for letter in others)
