"""What can be seen on a hole, a tool or a chip: the symptoms by code and by name."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache

from holewright.errors import InputError
from holewright.reference.tables import cite, table


@dataclass(frozen=True)
class Symptom:
    """One thing that is seen.

    Parameters
    ----------
    code : str
        ``T01`` to ``T24``.
    key : str
        The word to type, e.g. ``oversize``.
    name : str
        What it is.
    look : str
        How it shows.
    asked : float
        How often it is what people ask about, in per cent of all. [-] Own judgement.
    """

    code: str
    key: str
    name: str
    look: str
    asked: float


@cache
def symptoms() -> Mapping[str, Symptom]:
    """Return all symptoms by their code, in order."""
    rows = table("diagnosis_symptoms", ("symptom", "key", "name", "asked", "look"))
    return {
        row["symptom"]: Symptom(
            row["symptom"], row["key"], row["name"], row["look"], float(row["asked"])
        )
        for row in rows
    }


def find_symptom(written: str) -> Symptom:
    """Return the symptom that a person names by code or word.

    Parameters
    ----------
    written : str
        ``T01``, ``oversize``, ``bell mouth``.

    Returns
    -------
    Symptom
        The symptom.

    Raises
    ------
    InputError
        If there is none of that name; the message lists the words.
    """
    wanted = "-".join(written.strip().lower().replace("_", " ").replace("-", " ").split())
    for symptom in symptoms().values():
        if wanted in (symptom.code.lower(), symptom.key):
            return symptom
    raise InputError(
        "seen", written, "must be one of " + ", ".join(s.key for s in symptoms().values())
    )


@dataclass(frozen=True)
class Link:
    """A symptom and one of its causes.

    Parameters
    ----------
    symptom : str
        Code of the symptom.
    place : int
        Place in the list in which a shop goes through the causes.
    cause : str
        Key of the cause.
    weight : float
        Of a hundred cases of the symptom, how many are put down to the cause. [-] The order
        is that of the list; the numbers are our judgement.
    test : str
        The quick test that tells this cause apart.
    sources : tuple of str
        Who names the cause for this symptom.
    """

    symptom: str
    place: int
    cause: str
    weight: float
    test: str
    sources: tuple[str, ...]


@cache
def links() -> Sequence[Link]:
    """Return every symptom with each of its causes, in the order of the list."""
    columns = ("symptom", "place", "cause", "weight", "test", "also")
    return tuple(
        Link(
            row["symptom"],
            int(row["place"]),
            row["cause"],
            float(row["weight"]),
            row["test"],
            tuple(cite(key) for key in (row["source"], *row["also"].split())),
        )
        for row in table("diagnosis_links", columns)
    )


def links_of(symptom: str) -> tuple[Link, ...]:
    """Return the causes of one symptom, given by its code, in the order of the list."""
    return tuple(link for link in links() if link.symptom == symptom)
