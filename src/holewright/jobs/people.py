"""Who asks: a name, and a role that says what they may do."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from holewright.errors import NotAllowedError


class Role(StrEnum):
    """What somebody may do. Each may do all that those before it may."""

    READER = "reader"
    """Looks at everything, changes nothing."""
    GAUGER = "gauger"
    """Writes down what pins and gauges say, and takes it back."""
    PLANNER = "planner"
    """Makes and changes jobs and the tool room, takes routes, releases."""


_ORDER = tuple(Role)


@dataclass(frozen=True)
class Person:
    """Somebody who asks.

    Parameters
    ----------
    name : str
        The name that is written down with what they do.
    role : Role
        What they may do.
    """

    name: str
    role: Role

    def may(self, least: Role) -> bool:
        """Return whether they may do what a role may."""
        return _ORDER.index(self.role) >= _ORDER.index(least)


def need(person: Person, least: Role) -> None:
    """Raise an error unless somebody may do what a role may.

    Parameters
    ----------
    person : Person
        Who asks.
    least : Role
        The least role that may.

    Raises
    ------
    NotAllowedError
        If they may not.
    """
    if not person.may(least):
        raise NotAllowedError(
            f"{person.name} is signed in as {person.role}; this takes a {least}. Sign in with "
            f"the password of a {least}, or ask one."
        )
