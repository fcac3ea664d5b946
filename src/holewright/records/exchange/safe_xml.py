"""Reads XML that a stranger wrote: no document type, no entities, no endless nesting."""

from __future__ import annotations

from typing import NoReturn
from xml.etree.ElementTree import Element, TreeBuilder
from xml.parsers import expat

from holewright.errors import InputError, Where

DEEPEST = 100
"""Elements within elements that are let pass; inspection results need about ten."""
LARGEST = 50_000_000
"""Size of a file that is let pass. [byte]"""


def parse_xml(raw: bytes, source: str) -> Element:
    """Return the root element of an XML document.

    Parameters
    ----------
    raw : bytes
        The document.
    source : str
        Name of the file, for errors.

    Raises
    ------
    InputError
        If it isn't well formed, is too large or too deep, or holds a document type or
        entities of its own: a few lines of those can unfold to gigabytes, or name files of
        this machine.
    """
    if len(raw) > LARGEST:
        raise InputError("file", source, f"must have less than {LARGEST:,} bytes")
    parser = expat.ParserCreate(namespace_separator="}")
    builder = TreeBuilder()
    depth = 0

    def refuse(*_: object) -> NoReturn:
        where = Where(source, parser.CurrentLineNumber)
        raise InputError("document type", "<!DOCTYPE", "must not be there, nor entities", where)

    def start(name: str, attributes: dict[str, str]) -> None:
        nonlocal depth
        depth += 1
        if depth > DEEPEST:
            where = Where(source, parser.CurrentLineNumber)
            raise InputError("elements", "too deep", f"must nest up to {DEEPEST} deep", where)
        builder.start(_tag(name), {_tag(key): value for key, value in attributes.items()})

    def end(name: str) -> None:
        nonlocal depth
        depth -= 1
        builder.end(_tag(name))

    parser.StartDoctypeDeclHandler = refuse
    parser.EntityDeclHandler = refuse
    parser.ExternalEntityRefHandler = refuse
    parser.StartElementHandler = start
    parser.EndElementHandler = end
    parser.CharacterDataHandler = builder.data
    try:
        parser.Parse(raw, True)
    except expat.ExpatError as error:
        raise InputError(
            "file", source, f"must be XML: {error}", Where(source, error.lineno)
        ) from None
    return builder.close()


def _tag(name: str) -> str:
    """Return a name as ElementTree writes it: ``{namespace}name``."""
    return "{" + name if "}" in name else name
