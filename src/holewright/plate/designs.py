"""Which settings to cut: all of them, a balanced fraction, or the best few.

Two-level fractions come from their published generators, the best few by exchange.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations, product

import numpy as np
from numpy.typing import ArrayLike, NDArray

from holewright.errors import InputError, OutOfRangeError
from holewright.plate.factors import Factor, Setting

Floats = NDArray[np.float64]

LETTERS = "ABCDEFG"

GENERATORS: Mapping[tuple[int, int], tuple[str, ...]] = {
    (3, 1): ("AB",),
    (4, 1): ("ABC",),
    (5, 1): ("ABCD",),
    (5, 2): ("AB", "AC"),
    (6, 1): ("ABCDE",),
    (6, 2): ("ABC", "BCD"),
    (6, 3): ("AB", "AC", "BC"),
    (7, 1): ("ABCDEF",),
    (7, 2): ("ABCD", "ABDE"),
    (7, 3): ("ABC", "BCD", "ACD"),
    (7, 4): ("AB", "AC", "BC", "ABC"),
}
"""(factors, halvings) -> what each further factor is the product of. NIST/SEMATECH e-Handbook
5.3.3.4.7, after Box, Hunter and Hunter (from memory; their resolution is checked by test)."""

_STARTS = 12
_SEED = 1


@dataclass(frozen=True)
class Fraction:
    """A balanced fraction of all settings of two-level factors.

    Parameters
    ----------
    settings : tuple of tuple
        The settings, in standard order of the first factors.
    resolution : int
        Letters of the shortest word: 3 mixes single factors with pairs, 4 pairs with pairs.
    aliases : tuple of (str, str)
        What can't be told apart, as far as single factors and pairs of them go.
    """

    settings: tuple[Setting, ...]
    resolution: int
    aliases: tuple[tuple[str, str], ...]


def full_factorial(factors: Sequence[Factor]) -> tuple[Setting, ...]:
    """Return every combination of levels, the first factor varying slowest.

    Parameters
    ----------
    factors : sequence of Factor
        At least one.
    """
    if not factors:
        raise InputError("factors", "none", "must be at least one")
    return tuple(product(*(factor.levels for factor in factors)))


def fractional_factorial(factors: Sequence[Factor], halvings: int) -> Fraction:
    """Return a fraction of the settings of two-level factors, halved so many times.

    Parameters
    ----------
    factors : sequence of Factor
        Three to seven, each with two levels.
    halvings : int
        1 for a half, 2 for a quarter … [-]

    Returns
    -------
    Fraction
        With its resolution and what it can't tell apart.

    Raises
    ------
    InputError
        If a factor hasn't two levels, or there is no published fraction of that size.
    """
    k = len(factors)
    for factor in factors:
        if len(factor.levels) != 2:
            raise InputError(
                f"levels of {factor.kind}", len(factor.levels), "must be two in a fraction"
            )
    if (k, halvings) not in GENERATORS:
        sizes = [f"2^{n - p} of {n} factors" for n, p in GENERATORS if n == k]
        raise InputError(
            "fraction",
            f"{k} factors halved {halvings} times",
            f"must be one of: {', '.join(sizes) or 'none with so many factors'}",
        )
    words = generator_words(k, halvings)
    signs = coded(k, halvings)
    settings = tuple(
        tuple(factor.levels[int(sign > 0)] for factor, sign in zip(factors, row, strict=True))
        for row in signs
    )
    defining = defining_words(words)
    names = dict(zip(LETTERS, (str(f.kind) for f in factors), strict=False))
    return Fraction(settings, min(len(w) for w in defining), _aliases(k, defining, names))


def coded(k: int, halvings: int = 0) -> Floats:
    """Return the settings of k two-level factors as -1 and 1, first factor varying fastest.

    Parameters
    ----------
    k : int
        Factors. [-]
    halvings : int
        0 for all settings. [-]

    Returns
    -------
    ndarray
        Shape (2 ** (k - halvings), k), in standard (Yates) order. [-]
    """
    base = k - halvings
    runs = np.arange(2**base)
    signs = np.empty((runs.size, k))
    for j in range(base):
        signs[:, j] = np.where(runs >> j & 1, 1.0, -1.0)
    for j, word in enumerate(GENERATORS.get((k, halvings), ()), start=base):
        signs[:, j] = np.prod(signs[:, [LETTERS.index(c) for c in word]], axis=1)
    return signs


def generator_words(k: int, halvings: int) -> tuple[str, ...]:
    """Return the generators as words that are the identity: ``D = ABC`` becomes ``ABCD``."""
    base = k - halvings
    return tuple(word + LETTERS[base + j] for j, word in enumerate(GENERATORS[(k, halvings)]))


def defining_words(words: Sequence[str]) -> tuple[str, ...]:
    """Return all words of the defining relation: the products of the generators."""
    found = set()
    for size in range(1, len(words) + 1):
        for chosen in combinations(words, size):
            letters: set[str] = set()
            for word in chosen:
                letters ^= set(word)
            found.add("".join(sorted(letters)))
    return tuple(sorted(found, key=lambda w: (len(w), w)))


def d_optimal(candidates: ArrayLike, n: int, *, repeats: bool = True) -> NDArray[np.intp]:
    r"""Return the rows of a model matrix that determine its coefficients best.

    The rows maximise :math:`|X' X|`: candidates are exchanged one for one, each time the pair
    that gains most, until none gains (Fedorov), from several starts.

    Parameters
    ----------
    candidates : array_like
        Model matrix of all settings that may be cut, shape (settings, coefficients).
    n : int
        Rows to choose, at least as many as coefficients. [-]
    repeats : bool
        Whether a setting may be chosen more than once.

    Returns
    -------
    ndarray
        Indices of the rows, ascending, shape (n,). [-]

    Raises
    ------
    OutOfRangeError
        If n is too small, or too large without repeats.
    InputError
        If even all candidates don't determine the coefficients.

    Notes
    -----
    Exchange finds a good design, not proven the best; the same arguments give the same one.

    References
    ----------
    .. [1] V. V. Fedorov, "Theory of Optimal Experiments", Academic Press 1972, chapter 3.
    """
    x = np.asarray(candidates, dtype=float)
    m, p = x.shape
    if not n >= p:
        raise OutOfRangeError("holes", n, f"at least {p}, one for each coefficient")
    if not repeats and n > m:
        raise OutOfRangeError("holes", n, f"at most the {m} settings, as none may be repeated")
    if np.linalg.matrix_rank(x) < p:
        raise InputError(
            "settings", m, "must vary so that every effect can be told apart; some can't be"
        )
    rng = np.random.default_rng(_SEED)
    best: tuple[float, NDArray[np.intp]] | None = None
    for _ in range(_STARTS):
        chosen = _start(x, n, repeats, rng)
        found = _exchange(x, chosen, repeats)
        if best is None or found[0] > best[0] + 1e-9:
            best = found
    assert best is not None
    return np.sort(best[1])


def d_efficiency(x: ArrayLike) -> float:
    r"""Return the D-efficiency of a model matrix whose columns lie between -1 and 1.

    .. math:: |X' X|^{1/p} / n

    Parameters
    ----------
    x : array_like
        Model matrix, shape (n, p). 1 for an orthogonal two-level design. [-]
    """
    x = np.asarray(x, dtype=float)
    sign, log = np.linalg.slogdet(x.T @ x)
    return math.exp(log / x.shape[1]) / x.shape[0] if sign > 0 else 0.0


def _aliases(
    k: int, defining: Sequence[str], names: Mapping[str, str]
) -> tuple[tuple[str, str], ...]:
    effects = [*LETTERS[:k], *("".join(pair) for pair in combinations(LETTERS[:k], 2))]
    said = []
    for effect in effects:
        for word in defining:
            other = "".join(sorted(set(effect) ^ set(word)))
            later = len(other) > len(effect) or (len(other) == len(effect) and other > effect)
            if 0 < len(other) <= 2 and later:
                said.append((_spelt(effect, names), _spelt(other, names)))
    return tuple(said)


def _spelt(effect: str, names: Mapping[str, str]) -> str:
    return " with ".join(names[letter] for letter in effect)


def _start(x: Floats, n: int, repeats: bool, rng: np.random.Generator) -> NDArray[np.intp]:
    """Return a start that determines all coefficients, built up by what each row adds."""
    p = x.shape[1]
    chosen: list[int] = []
    ridge = np.eye(p) * 1e-6
    for _ in range(n):
        information = x[chosen].T @ x[chosen] + ridge
        gain = np.einsum("ij,jk,ik->i", x, np.linalg.inv(information), x)
        gain = gain * rng.uniform(0.5, 1.0, len(x))
        if not repeats:
            gain[chosen] = -1.0
        chosen.append(int(np.argmax(gain)))
    return np.array(chosen, dtype=np.intp)


def _exchange(x: Floats, chosen: NDArray[np.intp], repeats: bool) -> tuple[float, NDArray[np.intp]]:
    """Return log determinant and rows once no exchange of one row for another gains."""
    chosen = chosen.copy()
    for _ in range(1000):
        inverse = np.linalg.inv(x[chosen].T @ x[chosen])
        cross = x[chosen] @ inverse @ x.T
        own = np.einsum("ij,jk,ik->i", x, inverse, x)
        # Fedorov's delta: gain of putting candidate j in the place of chosen row i.
        delta = own[None, :] - own[chosen][:, None] * (1 + own[None, :]) + cross**2
        if not repeats:
            delta[:, chosen] = -np.inf
        i, j = np.unravel_index(int(np.argmax(delta)), delta.shape)
        if delta[i, j] < 1e-9:
            break
        chosen[i] = j
    return float(np.linalg.slogdet(x[chosen].T @ x[chosen])[1]), chosen
