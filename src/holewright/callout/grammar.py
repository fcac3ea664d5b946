"""Reads the parts of a callout from its tokens.

callout   = [count "x"] ["Ø"] nominal tolerance { depth | floor | ending | unit | "(E)" }
tolerance = class ["/" shaft] ["(" deviations or limits ")"]
          | "±" number | signed number [signed number] | ("-" | "/" | "to") number
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import NoReturn

from holewright.callout.callout import HoleKind
from holewright.callout.limits import GRADES, LETTERS
from holewright.callout.parts import Number, Parts, Tolerance
from holewright.callout.tokens import Kind, Token, split
from holewright.errors import AmbiguousError, InputError
from holewright.units import Unit

_UNITS = {
    **dict.fromkeys(("mm", "millimetre", "millimetres", "millimeter", "millimeters"), Unit.MM),
    **dict.fromkeys(("in", "inch", "inches"), Unit.INCH),
}
_STEPS = {
    **dict.fromkeys(("thou", "thous"), (Unit.INCH, Decimal("0.001"))),
    **dict.fromkeys(("tenth", "tenths"), (Unit.INCH, Decimal("0.0001"))),
    **dict.fromkeys(("µm", "um", "micron", "microns"), (Unit.MM, Decimal("0.001"))),
}
"""Words for a small step: the unit they belong to, and their size in it."""

_DIAMETER = {"dia", "diam", "diameter"}
_DEPTH = {"deep", "dp", "depth"}
_THROUGH = {"through", "thru", "thro"}
_FLOOR = {"floor"}
_FILLING = {"hole", "holes", "ream", "reamed", "bore", "bored", "the", "of", "at", "to", "all"}


def read_parts(text: str) -> Parts:
    """Return the parts of a callout.

    Raises
    ------
    AmbiguousError
        If the tolerance class is that of a shaft.
    InputError
        If the text is no callout; the message names what isn't understood.
    """
    return _Reader(text).read()


class _Reader:
    def __init__(self, text: str) -> None:
        self.text = text
        self.tokens = split(text)
        self.place = 0

    def refuse(self, accepted: str) -> NoReturn:
        raise InputError("callout", self.text, accepted)

    def peek(self, ahead: int = 0) -> Token:
        if self.place + ahead < len(self.tokens):
            return self.tokens[self.place + ahead]
        return Token(Kind.SIGN, "", len(self.text), len(self.text))

    def take(self) -> Token:
        token = self.peek()
        self.place += 1
        return token

    def take_sign(self, signs: str) -> bool:
        found = self.peek().is_sign(signs)
        self.place += found
        return found

    def take_word(self, words: set[str]) -> bool:
        found = self.peek().word in words
        self.place += found
        return found

    def at_number(self) -> bool:
        return self.peek().kind is Kind.NUMBER

    def number(self, what: str) -> Number:
        if not self.at_number():
            found = self.peek().text or "nothing"
            self.refuse(f"{what} must be a number, but {found} stands there")
        token = self.take()
        after_a = self.peek().word == "a" and self.peek(1).word in _STEPS
        self.place += after_a
        word = self.peek().word
        if word in _UNITS:
            self.take()
            return Number(token.text, token.value, _UNITS[word])
        if word in _STEPS:
            self.take()
            unit, step = _STEPS[word]
            return Number(token.text, token.value * step, unit, word)
        return Number(token.text, token.value)

    def read(self) -> Parts:
        self.skip_filling()
        self.take_word({"a"})
        count = self.count()
        self.skip_diameter()
        nominal = self.number("the nominal size")
        self.skip_diameter()
        parts = Parts(nominal, self.tolerance(nominal), count=count)
        if parts.tolerance.hole_class:
            parts.check_from, parts.check = self.check()
        parts.size_end = self.tokens[self.place - 1].end
        while self.peek().text:
            self.rest(parts)
        return parts

    def skip_filling(self) -> None:
        while self.take_word(_FILLING) or self.take_sign(",;:"):
            pass

    def skip_diameter(self) -> None:
        while self.take_sign("Ø") or self.take_word(_DIAMETER | {"hole", "bore"}):
            pass

    def count(self) -> int | None:
        """Take ``4x`` in front of a callout, but leave the ``8 x`` of a size and its depth."""
        first, cross, after = self.peek(), self.peek(1), self.peek(2)
        if not (first.kind is Kind.NUMBER and first.text.isdigit() and cross.word == "x"):
            return None
        if after.kind is Kind.NUMBER:
            ahead = 4 if self.peek(3).word in _UNITS else 3
            ahead += self.peek(ahead).word in _DIAMETER or self.peek(ahead).is_sign("Ø")
            if not self.starts_tolerance(ahead):
                return None
        elif not (after.is_sign("Ø") or after.word in _DIAMETER):
            return None
        self.place += 2
        if not 1 <= first.value <= 9999:
            self.refuse("a count of holes must be 1 to 9999")
        return int(first.value)

    def starts_tolerance(self, ahead: int) -> bool:
        token, after = self.peek(ahead), self.peek(ahead + 1)
        return token.is_sign("+-±/~") or self.is_class(token, after)

    @staticmethod
    def is_class(letters: Token, grade: Token) -> bool:
        known = letters.word.upper() in LETTERS or (
            len(letters.word) == 1 and letters.text.isupper()
        )
        return known and letters.word != "x" and grade.kind is Kind.NUMBER

    def is_class_x(self) -> bool:
        """Whether ``X7`` is the class X: tight together, in capitals, and nothing else can be."""
        letter, grade = self.peek(), self.peek(1)
        return (
            letter.text == "X"
            and grade.text in GRADES
            and letter.end == grade.start
            and not any(token.is_sign("+-±~") for token in self.tokens[self.place :])
        )

    def tolerance(self, nominal: Number) -> Tolerance:
        if self.is_class(self.peek(), self.peek(1)) or self.is_class_x():
            return self.hole_class()
        written = self.written_limits(nominal)
        if written is None:
            found = f", not {self.peek().text}" if self.peek().text else ""
            self.refuse(
                f"must say the limits behind {nominal.text}{found}: a class such as H7, "
                "+.0005/-0, ±0.01, or a second limit"
            )
        return written

    def hole_class(self) -> Tolerance:
        letters, grade = self.take(), self.take()
        if letters.text[0].islower():
            upper = letters.text.upper() + grade.text
            readings = self.text[: letters.start] + upper + self.text[grade.end :]
            raise AmbiguousError(
                "callout",
                self.text,
                f"{letters.text}{grade.text} is the class of a shaft, since its letter is small; "
                f"write {upper} if that is the class of the hole",
                readings=(readings.strip(),),
            )
        shaft = ""
        if self.peek().is_sign("/") and self.peek(1).word and self.peek(1).text.islower():
            self.take()
            shaft = self.take().text + (self.take().text if self.at_number() else "")
        return Tolerance(hole_class=letters.text + grade.text, shaft_class=shaft)

    def check(self) -> tuple[Number | None, Tolerance | None]:
        """Take limits written behind a class, as in ``10 H7 (+0.015/0)``."""
        bracketed = self.peek().is_sign("(")
        if not bracketed and not self.starts_tolerance(0):
            return None, None
        self.take_sign("(")
        first = self.number("the first limit") if self.at_number() else None
        written = self.written_limits(first)
        if written is None or (first is None) != (written.other_limit is None):
            self.refuse("behind a class only its deviations or limits may stand, or a depth")
        if bracketed and not self.take_sign(")"):
            self.refuse("the bracket behind the class must be closed")
        return first, written

    def written_limits(self, nominal: Number | None) -> Tolerance | None:
        if self.take_sign("±"):
            number = self.number("the tolerance behind ±")
            return Tolerance(deviations=((1, number), (-1, number)))
        if self.peek().is_sign("+-"):
            sign = -1 if self.take().text == "-" else 1
            number = self.number("the deviation")
            second = self.second_deviation()
            if nominal is not None and sign < 0 and not second and self.is_limit(number, nominal):
                return Tolerance(other_limit=number)
            return Tolerance(deviations=_share_unit(((sign, number), *second)))
        joined = self.peek().is_sign("/~") or self.peek().word == "to"
        if joined and self.peek(1).kind is Kind.NUMBER:
            self.take()
            return Tolerance(other_limit=self.number("the second limit"))
        return None

    def second_deviation(self) -> tuple[tuple[int, Number], ...]:
        ahead = int(self.peek().is_sign("/,"))
        token, after = self.peek(ahead), self.peek(ahead + 1)
        if token.is_sign("+-") and after.kind is Kind.NUMBER:
            self.place += ahead + 1
            return (((-1 if token.text == "-" else 1), self.number("the second deviation")),)
        # Only zero needs no sign.
        if token.kind is Kind.NUMBER and token.value == 0:
            self.place += ahead
            return ((1, self.number("the second deviation")),)
        if self.peek().is_sign("/"):
            self.refuse("the second deviation needs its sign, as in +.0005/-.0002")
        return ()

    @staticmethod
    def is_limit(number: Number, nominal: Number) -> bool:
        """Tell ``6.00-6.012`` from ``6.00 -0.012``: a deviation is never half the size."""
        return not number.step and not number.text.isalpha() and number.value > nominal.value / 2

    def rest(self, parts: Parts) -> None:
        token = self.peek()
        if self.take_sign("Ⓔ"):
            parts.envelope = True
        elif self.take_sign("↧") or self.take_word(_DEPTH):
            self.set_depth(parts, deep=True)
        elif self.take_word({"x"}):
            self.cross(parts)
        elif self.at_number():
            self.labelled(parts, self.number("the depth"), needs_label=True)
        elif self.take_word(_THROUGH):
            self.set_kind(parts, HoleKind.THROUGH)
        elif self.take_word({"blind"}):
            self.set_kind(parts, HoleKind.BLIND)
        elif self.take_word(_FLOOR):
            self.skip_filling()
            self.take_sign("=")
            self.set_floor(parts, self.number("the floor"))
        elif token.word in _UNITS:
            self.take()
            parts.units.append(_UNITS[token.word])
        elif not (self.take_word(_FILLING) or self.take_sign(",;:()")):
            self.refuse(
                f"{token.text} is not understood here; behind the limits may stand x 22, through, "
                "blind, x .75 deep, floor .94, a unit and (E)"
            )

    def cross(self, parts: Parts) -> None:
        """Take what stands behind ``x``: a depth, whose label may follow it."""
        while self.take_sign("↧") or self.take_word(_DEPTH | {"the"}):
            parts.says_deep = True
        self.labelled(parts, self.number("the depth behind x"), needs_label=False)

    def labelled(self, parts: Parts, number: Number, needs_label: bool) -> None:
        """Give a number its meaning by the word behind it, unless that has its own number."""
        here = self.place
        while self.take_word(_FILLING):
            pass
        belongs_here = self.peek(1).kind is not Kind.NUMBER
        if belongs_here and self.take_word(_FLOOR):
            self.set_floor(parts, number)
        elif belongs_here and self.take_word(_DEPTH):
            self.set_depth(parts, number, deep=True)
        elif not needs_label or self.peek().word in _THROUGH | {"blind"}:
            self.place = here
            self.set_depth(parts, number)
        else:
            self.refuse(f"{number.text} is not understood here; write x {number.text} for a depth")

    def set_depth(self, parts: Parts, number: Number | None = None, deep: bool = False) -> None:
        if number is None:
            self.skip_filling()
            self.take_sign("=")
            number = self.number("the depth")
        if parts.depth is not None:
            self.refuse("must say one depth only")
        parts.depth = number
        parts.says_deep = parts.says_deep or deep

    def set_floor(self, parts: Parts, number: Number) -> None:
        if parts.floor is not None:
            self.refuse("must say one floor only")
        parts.floor = number

    def set_kind(self, parts: Parts, kind: HoleKind) -> None:
        if parts.kind not in (None, kind):
            self.refuse("must say either through or blind")
        parts.kind = kind


def _share_unit(deviations: tuple[tuple[int, Number], ...]) -> tuple[tuple[int, Number], ...]:
    """Give the unit of one deviation to the other, as meant in ``+5/-3 tenths``.

    A unit behind the second holds for both. One behind the first holds for the second only if
    that is a whole number, so that ``+5 tenths -.0003`` keeps its meaning.
    """
    if len(deviations) < 2:
        return deviations
    (sign, first), (second_sign, second) = deviations
    if first.unit is None and second.unit is not None:
        first = _with_unit_of(first, second)
    elif second.is_bare_whole and second.unit is None and first.unit is not None:
        second = _with_unit_of(second, first)
    return (sign, first), (second_sign, second)


def _with_unit_of(number: Number, other: Number) -> Number:
    step = _STEPS[other.step][1] if other.step else Decimal(1)
    return replace(number, value=number.value * step, unit=other.unit, step=other.step)
