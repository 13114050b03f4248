"""Letters three lines high, for what must be read from two metres: the part in hand, a countdown."""

from __future__ import annotations

from runner.screen.rows import Row

_FONT = {
    "0": "7 5 5 5 7", "A": "2 5 7 5 5", "B": "6 5 6 5 6", "C": "3 4 4 4 3", "D": "6 5 5 5 6", "E": "7 4 6 4 7",
    "F": "7 4 6 4 4", "G": "3 4 5 5 3", "H": "5 5 7 5 5", "I": "7 2 2 2 7", "J": "1 1 1 5 2", "K": "5 5 6 5 5",
    "L": "4 4 4 4 7", "M": "5 7 7 5 5", "N": "6 5 5 5 5", "O": "2 5 5 5 2", "P": "6 5 6 4 4", "Q": "2 5 5 6 3",
    "R": "6 5 6 5 5", "S": "3 4 2 1 6", "T": "7 2 2 2 2", "U": "5 5 5 5 7", "V": "5 5 5 5 2", "W": "5 5 7 7 5",
    "X": "5 5 2 5 5", "Y": "5 5 2 2 2", "Z": "7 1 2 4 7", "1": "2 6 2 2 7", "2": "6 1 2 4 7", "3": "7 1 3 1 7",
    "4": "5 5 7 1 1", "5": "7 4 6 1 6", "6": "3 4 7 5 7", "7": "7 1 1 2 2", "8": "7 5 7 5 7", "9": "7 5 7 1 6",
    "/": "1 1 2 4 4", "-": "0 0 7 0 0", ".": "0 0 0 0 2", "_": "0 0 0 0 7", "+": "0 2 7 2 0", ":": "0 2 0 2 0", " ": "0 0 0 0 0",
}  # fmt: skip
# Each letter is five rows of three dots, a row as the sum of 4, 2 and 1.
_NARROW = ".:"
"""Signs that are one dot wide."""
_HALVES = {(0, 0): " ", (1, 0): "▀", (0, 1): "▄", (1, 1): "█"}


def big(text: str, style: str = "part") -> list[Row]:
    """The text in three lines of half blocks, four columns a letter; a letter without a shape shows as a bar."""
    dots: list[list[int]] = [[] for _ in range(6)]
    for letter in text.upper():
        rows = [int(one) for one in _FONT.get(letter, "7 7 7 7 7").split()]
        for at, bits in enumerate([*rows, 0]):
            dots[at] += [bits >> 2 & 1, bits >> 1 & 1, bits & 1, 0]
    lines = []
    for at in range(0, 6, 2):
        pairs = zip(dots[at], dots[at + 1], strict=True)
        lines.append([("".join(_HALVES[pair] for pair in pairs), style)])
    return lines


def big_width(text: str) -> int:
    return 4 * len(text)


def huge(text: str, scale: int, style: str = "part") -> list[Row]:
    """Figures whose every dot is `scale` lines high and twice as many columns wide, five dots high; a point takes one dot."""
    shapes = [([int(one) for one in _FONT[letter].split()], letter) for letter in text]
    lines: list[Row] = []
    for at in range(5):
        dots = "".join(_dots(rows[at], letter) for rows, letter in shapes)
        line = "".join(("█" if dot == "1" else " ") * 2 * scale for dot in dots).rstrip()
        lines += [[(line, style)]] * scale
    return lines


def _dots(bits: int, letter: str) -> str:
    return f"{bits >> 1 & 1}0" if letter in _NARROW else f"{bits:03b}0"


def huge_scale(text: str, width: int, height: int) -> int:
    """The largest scale at which the figures fit, at least 1."""
    columns = sum(2 if letter in _NARROW else 4 for letter in text) - 1
    return max(1, min(height // 5, width // (2 * columns)))
