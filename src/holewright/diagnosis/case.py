"""Cases that were cleared up, and how they shift the shop's own expectations."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Protocol

from holewright.diagnosis.causes import OTHER, causes
from holewright.diagnosis.symptoms import links, symptoms
from holewright.errors import InputError

OTHER_SHARE = 0.05
"""Of the cases of any symptom, how many have a cause that isn't in its list. [-] Own judgement."""

LOOSE_SHARE = 0.2
"""Of what is seen with a cause, how much no list ties to it. [-] Own judgement."""

LIST_COUNTS_AS = 12.0
"""How many cases of a symptom the list weighs against the shop's own. [-] Own judgement."""


@dataclass(frozen=True)
class Case:
    """A fault that was cleared up.

    Parameters
    ----------
    seen : tuple of str
        Codes of the symptoms, the one complained of first.
    cause : str
        Key of the cause that it turned out to be.
    job : str
        Name of the job.
    note : str
        Free text.
    """

    seen: tuple[str, ...]
    cause: str
    job: str = ""
    note: str = ""

    def __post_init__(self) -> None:
        if not self.seen:
            raise InputError("seen", "nothing", "must name at least one symptom")
        for code in self.seen:
            if code not in symptoms():
                raise InputError("seen", code, "must be the code of a symptom, T01 to T24")
        find_cause(self.cause)


class CaseBook(Protocol):
    """Where cases are kept."""

    def cases(self) -> Sequence[Case]:
        """Return all cases, in the order they were kept."""

    def keep(self, case: Case) -> None:
        """Keep a case."""


def find_cause(written: str) -> str:
    """Return the key of the cause that a person names.

    Raises
    ------
    InputError
        If there is none of that key or name.
    """
    wanted = written.strip().lower()
    for key, cause in causes().items():
        if wanted in (key, cause.name.lower()):
            return key
    raise InputError("cause", written, "must be one of " + ", ".join(causes()))


@dataclass(frozen=True)
class Priors:
    """What is expected before anything is known of the case.

    Parameters
    ----------
    weights : mapping of (str, str) to float
        (Symptom, cause) -> of the cases of that symptom, the share put down to that cause. They
        add up to 1 for each symptom. [-]
    cases : int
        How many cases of the shop's own are in it. [-]
    """

    weights: Mapping[tuple[str, str], float]
    cases: int = 0

    def of_causes(self) -> dict[str, float]:
        """Return the share of each cause among all cases, whatever is seen. [-]"""
        asked = _asked()
        shares = dict.fromkeys(causes(), 0.0)
        for (symptom, cause), weight in self.weights.items():
            shares[cause] += asked[symptom] * weight
        return shares

    def of_symptom(self, symptom: str) -> dict[str, float]:
        """Return how likely that symptom is what is seen with each cause. [-]

        Mostly as its list has it; a part is left for what no list ties to the cause.
        """
        asked, of_causes = _asked()[symptom], self.of_causes()
        return {
            cause: (1 - LOOSE_SHARE) * asked * self.weights.get((symptom, cause), 0.0) / share
            + LOOSE_SHARE * asked
            for cause, share in of_causes.items()
        }


@cache
def _asked() -> Mapping[str, float]:
    total = sum(s.asked for s in symptoms().values())
    return {code: s.asked / total for code, s in symptoms().items()}


@cache
def list_priors() -> Priors:
    """Return what the lists of the trade expect, in our weights."""
    totals: dict[str, float] = {}
    for link in links():
        totals[link.symptom] = totals.get(link.symptom, 0.0) + link.weight
    weights = {
        (link.symptom, link.cause): (1 - OTHER_SHARE) * link.weight / totals[link.symptom]
        for link in links()
    }
    return Priors(weights | {(symptom, OTHER): OTHER_SHARE for symptom in totals})


def priors_from_cases(cases: Iterable[Case], *, list_counts_as: float = LIST_COUNTS_AS) -> Priors:
    r"""Return what is expected once the shop's own cases are heard.

    .. math:: w'_{s,c} = \frac{\alpha w_{s,c} + n_{s,c}}{\alpha + n_s}

    Parameters
    ----------
    cases : iterable of Case
        Cases that were cleared up. A case counts for its first symptom in full, and for each
        further one by half.
    list_counts_as : float
        How many cases the list of a symptom weighs, α, more than 0. [-]

    Returns
    -------
    Priors
        Without cases, those of the lists.

    Notes
    -----
    The mean of a Dirichlet posterior: the lists are the prior, cases are counts.
    """
    start = list_priors()
    counts: dict[tuple[str, str], float] = {}
    heard = 0
    for case in cases:
        heard += 1
        for place, symptom in enumerate(case.seen):
            key = (symptom, case.cause)
            counts[key] = counts.get(key, 0.0) + (1.0 if place == 0 else 0.5)
    total: dict[str, float] = {}
    for (symptom, _), count in counts.items():
        total[symptom] = total.get(symptom, 0.0) + count
    weights = {
        key: (list_counts_as * start.weights.get(key, 0.0) + counts.get(key, 0.0))
        / (list_counts_as + total.get(key[0], 0.0))
        for key in {**start.weights, **counts}
    }
    return Priors(weights, heard)
