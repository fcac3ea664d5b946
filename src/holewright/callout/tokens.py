"""Splits a callout as people type it into numbers, words and signs."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from enum import Enum

from holewright.errors import InputError
from holewright.units import read_number

LONGEST_TEXT = 200
"""Characters of a callout; more is no callout."""

_LONGEST_NUMBER = 27
"""Characters of a number; with more, sums would not be exact in decimals of 28 digits."""

# One character each, so that places in the text stay where they are.
_SAME_MEANING = str.maketrans(
    {
        **dict.fromkeys("−–—‒‑", "-"),
        **dict.fromkeys("″”“", '"'),
        **dict.fromkeys("⌀∅øΦφϕ", "Ø"),
        **dict.fromkeys("\t\r\n\u00a0\u2007\u2009\u202f", " "),
        "×": "x",
        "⁄": "/",
        "μ": "µ",
        "…": "~",
    }
)
_VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
_SHOP_FRACTION = r"[0-9]+/(?:128|64|32|16|8|4|2)(?![0-9.,])"
_TOKEN = re.compile(
    rf"""
      (?P<space>\ +)
    | (?P<plus_minus>±|\+\ */?\ *-|-\ */\ *\+|(?i:plus(?:\ +or\ +|\ */\ *|\ +)minus)\b)
    | (?P<range>\.{{2,3}}|~)
    | (?P<number>
        (?<![A-Za-z0-9.,])[0-9]+(?:\ +|-){_SHOP_FRACTION}
      | {_SHOP_FRACTION}
      | [0-9]*\ ?[{"".join(_VULGAR)}]
      | [0-9]+,[0-9]+ | [0-9]*\.[0-9]+ | [0-9]+(?:\.(?![.0-9]))?)
    | (?P<diameter>Ø)
    | (?P<depth>↧)
    | (?P<envelope>Ⓔ|\(\ *E\ *\))
    | (?P<word>"|[A-Za-zµ]+(?:\.(?![.0-9]))?)
    | (?P<sign>[-+/();:=]|,(?![0-9]))
    """,
    re.VERBOSE,
)
_SIGNS = {"plus": "+", "minus": "-"}
_NUMBER_WORDS = frozenset(
    "zero nothing half one two three four five six seven eight nine ten".split()  # noqa: SIM905
)


class Kind(Enum):
    """What a token is."""

    NUMBER = "number"
    WORD = "word"
    SIGN = "sign"


@dataclass(frozen=True)
class Token:
    """One number, word or sign.

    Parameters
    ----------
    kind : Kind
        What it is.
    text : str
        A number as it was typed, a word in its typed case without a full stop, or a sign:
        one of ``+ - ± / ~ ( ) , ; : =`` or the symbols ``Ø ↧ Ⓔ``.
    start, end : int
        Its place in the text.
    value : Decimal
        Value of a number; 0 for others.
    """

    kind: Kind
    text: str
    start: int
    end: int
    value: Decimal = Decimal(0)

    @property
    def word(self) -> str:
        """The word in lower case; empty for numbers and signs."""
        return self.text.lower() if self.kind is Kind.WORD else ""

    def is_sign(self, signs: str) -> bool:
        """Whether this is one of the signs."""
        return self.kind is Kind.SIGN and self.text != "" and self.text in signs


def split(text: str) -> list[Token]:
    """Return the tokens of a callout.

    Raises
    ------
    InputError
        If the text is empty, too long, or has something in it that no callout has.
    """
    if not text.strip():
        raise InputError("callout", repr(text), "must say a size and its limits, such as 10 H7")
    if len(text) > LONGEST_TEXT:
        raise InputError(
            "callout", f"{text[:40]}…", f"must be one callout of at most {LONGEST_TEXT} characters"
        )
    plain = text.translate(_SAME_MEANING)
    tokens: list[Token] = []
    place = 0
    while place < len(plain):
        match = _TOKEN.match(plain, place)
        if match is None:
            raise _not_understood(text, place)
        if match.lastgroup != "space":
            tokens.append(_token(text, match, tokens))
        place = match.end()
    return tokens


def _token(text: str, match: re.Match[str], before: list[Token]) -> Token:
    start, end = match.span()
    piece = match[0]
    match match.lastgroup:
        case "number":
            return _number(text, piece, start, end, before)
        case "plus_minus":
            return Token(Kind.SIGN, "±", start, end)
        case "range":
            return Token(Kind.SIGN, "~", start, end)
        case "envelope":
            return Token(Kind.SIGN, "Ⓔ", start, end)
        case "word":
            piece = "in" if piece == '"' else piece.rstrip(".")
            word = piece.lower()
            if word in _SIGNS:
                return Token(Kind.SIGN, _SIGNS[word], start, end)
            if word in _NUMBER_WORDS:
                return Token(Kind.NUMBER, word, start, end, read_number(word))
            return Token(Kind.WORD, piece, start, end)
        case _:
            return Token(Kind.SIGN, piece, start, end)


def _number(text: str, piece: str, start: int, end: int, before: list[Token]) -> Token:
    touching = bool(before) and before[-1].kind is Kind.NUMBER and before[-1].end == start
    if touching or len(piece) > _LONGEST_NUMBER:
        whole = text[before[-1].start : end] if touching else piece
        raise InputError(
            "callout",
            text,
            f"{whole} is not a number that can be read; write it as 10.015 or .2505",
        )
    for sign, fraction in _VULGAR.items():
        piece = piece.replace(sign, f" {fraction}")
    if "/" in piece:
        piece = piece.replace("-", " ").strip()
        numerator, denominator = piece.split()[-1].split("/")
        if not 0 < int(numerator) < int(denominator):
            raise InputError(
                "callout", text, f"{piece} is no fraction of an inch; write it in decimals"
            )
    piece = piece.rstrip(".")
    return Token(Kind.NUMBER, piece, start, end, read_number(piece, "callout"))


def _not_understood(text: str, place: int) -> InputError:
    if text[place] == ",":
        return InputError("callout", text, "a decimal comma needs a figure before it, as in 0,25")
    return InputError(
        "callout",
        text,
        f"{text[place]!r} is not understood here; write a callout such as 10 H7, "
        ".2500 +.0005/-0, 6.00-6.012 or 12 ±0.01",
    )
