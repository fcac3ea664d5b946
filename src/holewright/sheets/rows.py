"""Places bars with their labels on as few rows as they fit on without touching."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Item:
    """A bar and the words that belong to it; lengths in px or in characters.

    Parameters
    ----------
    start, end : float
        Ends of the bar, within the picture.
    label : str
        Its words.
    over : bool
        Whether the words may stand on the bar itself, a thin line, where it is long.
    """

    start: float
    end: float
    label: str
    over: bool = True


@dataclass(frozen=True)
class Placed:
    """Where an item goes.

    Parameters
    ----------
    row : int
        Row of the bar, counted from 0.
    lines : tuple of (int, float, str)
        Row, left edge and words of each line of its label.
    """

    row: int
    lines: tuple[tuple[int, float, str], ...]


def place(
    items: Sequence[Item], total: float, measure: Callable[[str], float], gap: float
) -> tuple[list[Placed], int]:
    """Return a place for each item, and the number of rows taken.

    A label goes to the right of its bar, else to its left, else on the right half of a bar
    that is long enough, else on rows of its own below, broken into lines. Items beside each
    other on a row keep a gap.

    Parameters
    ----------
    items : sequence of Item
        In the order in which they are read.
    total : float
        Width of the picture.
    measure : callable
        Width of a line of words.
    gap : float
        Room to keep between a bar and its label, and between two items.
    """
    taken: list[list[tuple[float, float]]] = []
    placed = []
    for item in items:
        width = measure(item.label)
        right, left = item.end + gap, item.start - gap - width
        if right + width <= total:
            span, label_x = (item.start, right + width), right
        elif left >= 0:
            span, label_x = (left, item.end), left
        elif item.over and (item.end - item.start) / 2 >= width + 2 * gap:
            span, label_x = (item.start, item.end), (item.start + 3 * item.end - 2 * width) / 4
        else:
            placed.append(_below(item, len(taken), total, measure))
            taken += [[(0, total)]] * (1 + len(placed[-1].lines))
            continue
        row = next((r for r, spans in enumerate(taken) if _free(spans, span, gap)), len(taken))
        if row == len(taken):
            taken.append([])
        taken[row].append(span)
        placed.append(Placed(row, ((row, label_x, item.label),)))
    return placed, len(taken)


def break_lines(words: str, total: float, measure: Callable[[str], float]) -> list[str]:
    """Return the words in lines of at most `total`; a word longer than that is cut up."""
    lines: list[str] = []
    line = ""
    for word in words.split(" "):
        candidate = f"{line} {word}" if line else word
        if measure(candidate) <= total:
            line = candidate
            continue
        if line:
            lines.append(line)
        line = word
        while measure(line) > total:
            cut = next(n for n in range(len(line) - 1, 0, -1) if measure(line[:n]) <= total)
            lines.append(line[:cut])
            line = line[cut:]
    return [*lines, line]


def _below(item: Item, row: int, total: float, measure: Callable[[str], float]) -> Placed:
    lines = break_lines(item.label, total, measure)
    middle = (item.start + item.end) / 2
    spots = []
    for i, words in enumerate(lines):
        width = measure(words)
        spots.append((row + 1 + i, min(max(0.0, middle - width / 2), total - width), words))
    return Placed(row, tuple(spots))


def _free(spans: list[tuple[float, float]], span: tuple[float, float], gap: float) -> bool:
    return all(span[1] + gap <= a or b + gap <= span[0] for a, b in spans)
