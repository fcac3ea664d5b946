"""Reads a picture back: what stands where, and whether labels touch.

Label widths come from DejaVu Sans, a wide face, as a browser measured them (Chromium,
``measureText`` at 1000 px): an outside check on the room that the pictures reckon with.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from itertools import pairwise
from xml.etree import ElementTree as ET

SVG = "{http://www.w3.org/2000/svg}"

_WIDTHS = {
    **dict.fromkeys("0123456789$_?bdpquhnkgy", 0.636),
    **dict.fromkeys(" .,", 0.318),
    **dict.fromkeys(":;/\\|", 0.337),
    **dict.fromkeys("ijl'", 0.278),
    **dict.fromkeys("()[]", 0.390),
    **dict.fromkeys("+=<>~#×±≤≥≈", 0.838),
    **dict.fromkeys("mM@%W…—", 1.0),
    **dict.fromkeys("aeoøäµzvxcs{}", 0.636),
    **dict.fromkeys('-rft!"°`*^²', 0.531),
    "w": 0.818,
    "–": 0.5,
    "·": 0.318,
    "Ø": 0.787,
    "&": 0.780,
    **dict.fromkeys("ACDGHNOQRUVXYZBEFKLPST", 0.787),
    **dict.fromkeys("IJ", 0.295),
}


@dataclass(frozen=True)
class Label:
    """A label as it stands in the picture."""

    words: str
    x0: float
    y0: float
    x1: float
    y1: float


def read(svg: str) -> ET.Element:
    """Return the picture, which must be well-formed XML."""
    return ET.fromstring(svg)


def labels(svg: str) -> list[Label]:
    """Return every label with its box."""
    found = []
    for text in read(svg).iter(f"{SVG}text"):
        words, size = text.text or "", float(text.get("font-size", "12"))
        bold = 1.1 if text.get("font-weight") == "bold" else 1.0
        width = sum(_WIDTHS.get(c, 1.0) for c in words) * size * bold
        x, y = float(text.get("x", "0")), float(text.get("y", "0"))
        x0 = {"start": x, "middle": x - width / 2, "end": x - width}[
            text.get("text-anchor", "start")
        ]
        found.append(Label(words, x0, y - 0.76 * size, x0 + width, y + 0.2 * size))
    return found


def touching(svg: str) -> list[tuple[str, str]]:
    """Return the pairs of labels that overlap by more than a hair."""
    found = sorted(labels(svg), key=lambda label: label.x0)
    return [
        (a.words, b.words)
        for i, a in enumerate(found)
        for b in found[i + 1 :]
        if a.x0 < b.x1 - 0.5 and b.x0 < a.x1 - 0.5 and a.y0 < b.y1 - 0.5 and b.y0 < a.y1 - 0.5
    ]


def outside(svg: str) -> list[str]:
    """Return the labels that leave the picture."""
    root = read(svg)
    width, height = float(root.get("width", "0")), float(root.get("height", "0"))
    return [
        label.words
        for label in labels(svg)
        if label.x0 < -0.5 or label.x1 > width + 0.5 or label.y0 < -0.5 or label.y1 > height
    ]


def named(svg: str, name: str, tag: str = "line") -> ET.Element:
    """Return the only element with a class."""
    (found,) = [e for e in read(svg).iter(f"{SVG}{tag}") if e.get("class") == name]
    return found


def points(element: ET.Element) -> list[tuple[float, float]]:
    """Return the corners of a path."""
    numbers = [float(n) for n in re.findall(r"-?[\d.]+", element.get("d", ""))]
    return list(pairwise(numbers))[::2]


def loads_nothing(document: str) -> bool:
    """Return whether a document asks for nothing from elsewhere."""
    without_names = document.replace("http://www.w3.org/2000/svg", "")
    asks = r"https?://|//[a-z]|<script|<link|<img|<iframe|@import|src=|href=|url\((?!['\"]?#)"
    return re.search(asks, without_names, re.IGNORECASE) is None
