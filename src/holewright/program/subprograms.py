"""Puts places that a program says more than once into subprograms."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from holewright.program.cycles import Blocks
from holewright.program.settings import ProgramSettings

_FIRST_NUMBER = 8001
"""Number of the first subprogram; a program's own number should not be among them. [-]"""
_LEAST_PLACES = 2


def with_subprograms(blocks: Blocks, settings: ProgramSettings) -> list[str]:
    """Return the blocks of a whole program, its end and its subprograms included.

    Parameters
    ----------
    blocks : list of str or tuple of str
        Blocks; a tuple holds the places of further holes under the cycle that is in force.
    settings : ProgramSettings
        Whether there are subprograms, and how the program ends.

    Notes
    -----
    The cycle stays in force in the subprogram, so that one list of places serves every tool.
    Some controls want each subprogram in a file of its own: cut the text at the O words.
    """
    lists = Counter(block for block in blocks if isinstance(block, tuple))
    shared = [
        places
        for places, times in lists.items()
        if settings.subprograms and times > 1 and len(places) >= _LEAST_PLACES
    ]
    numbers = {places: _FIRST_NUMBER + i for i, places in enumerate(shared)}
    main = list(_flat(blocks, numbers))
    subs = [line for places, number in numbers.items() for line in (f"O{number}", *places, "M99")]
    return [*main, settings.end, *subs]


def _flat(blocks: Blocks, numbers: dict[tuple[str, ...], int]) -> Iterable[str]:
    for block in blocks:
        if isinstance(block, str):
            yield block
        elif block in numbers:
            yield f"M98 P{numbers[block]}"
        else:
            yield from block
