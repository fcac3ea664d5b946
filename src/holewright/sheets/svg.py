"""Draws SVG elements, and knows how much room a label takes.

Elements are built as an XML tree, never as text, so that a name with ``<`` in it stays a
name. Colours are one ink, its greys, and one accent that prints as a dark grey.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal
from xml.etree import ElementTree as ET

INK = "#1a1a1a"
SOFT = "#5a5a5a"
FAINT = "#c4c4c4"
PAPER = "#ffffff"
ACCENT = "#1d5b96"

FONT = "system-ui, 'Segoe UI', Roboto, 'Helvetica Neue', Arial, 'DejaVu Sans', sans-serif"
FONT_SIZE = 12.0
"""Of a label, in px at scale 1: 9 pt on paper."""

Anchor = Literal["start", "middle", "end"]

_NARROW = frozenset(" .,:;'|ijlI/\\·")
_SLIM = frozenset('frt()[]-!J"*°²^`')
_WIDE = frozenset("mwMW@%+=<>~×±≤≥≈#½")


@dataclass(frozen=True)
class Box:
    """A rectangle in px, y down."""

    x0: float
    y0: float
    x1: float
    y1: float

    def overlaps(self, other: Box) -> bool:
        """Return whether both share more than an edge."""
        return (
            self.x0 < other.x1 and other.x0 < self.x1 and self.y0 < other.y1 and other.y0 < self.y1
        )


def text_width(text: str, size: float = FONT_SIZE, bold: bool = False) -> float:
    """Return the room that a text takes, on the safe side. [px]

    The advance widths are those of DejaVu Sans, rounded up in five classes: it is among the
    widest of the faces in use, so that labels which are clear of each other here are clear
    in the others as well.

    Parameters
    ----------
    text : str
        One line.
    size : float
        Font size. [px]
    bold : bool
        Whether it is set in bold.
    """
    em = 0.0
    for char in text:
        if char in _NARROW:
            em += 0.34
        elif char in _SLIM:
            em += 0.5
        elif char in _WIDE:
            em += 1.0
        elif char.isascii():
            em += 0.79 if char.isupper() else 0.64
        else:
            em += 0.66 if char.islower() else 1.0
    return em * size * (1.12 if bold else 1.0)


def label_box(text: str, x: float, y: float, anchor: Anchor, size: float, bold: bool) -> Box:
    """Return the box of a label whose baseline is at `y`. [px]"""
    width = text_width(text, size, bold)
    x0 = {"start": x, "middle": x - width / 2, "end": x - width}[anchor]
    return Box(x0, y - 0.8 * size, x0 + width, y + 0.25 * size)


def printable(text: str) -> str:
    """Return the text on one line, without characters that XML doesn't allow."""
    return "".join(c if c.isprintable() else " " for c in text)


def picture(width: float, title: str) -> ET.Element:
    """Return an empty picture of a given width; :func:`render` sets its height. [px]"""
    root = ET.Element(
        "svg",
        {
            "xmlns": "http://www.w3.org/2000/svg",
            "role": "img",
            "width": number(width),
            "font-family": FONT,
            "font-size": number(FONT_SIZE),
            "fill": INK,
            "style": "font-variant-numeric: tabular-nums",
        },
    )
    ET.SubElement(root, "title").text = printable(title)
    return root


def render(root: ET.Element, height: float, description: str = "") -> str:
    """Return the picture as text, with its height in px and a description for a reader."""
    root.set("height", number(height))
    root.set("viewBox", f"0 0 {root.get('width')} {number(height)}")
    if description:
        desc = ET.Element("desc")
        desc.text = printable(description)
        root.insert(1, desc)
    return ET.tostring(root, encoding="unicode")


def number(value: float) -> str:
    """Return a coordinate, to a hundredth of a px."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def group(parent: ET.Element, name: str) -> ET.Element:
    """Return a new group with a class name, to find it again."""
    return ET.SubElement(parent, "g", {"class": name})


def line(
    parent: ET.Element,
    start: tuple[float, float],
    end: tuple[float, float],
    *,
    stroke: str = INK,
    width: float = 1.0,
    dash: str = "",
    name: str = "",
) -> None:
    """Draw a straight line. [px]"""
    attributes = {
        "x1": number(start[0]),
        "y1": number(start[1]),
        "x2": number(end[0]),
        "y2": number(end[1]),
        "stroke": stroke,
        "stroke-width": number(width),
    }
    _put(parent, "line", attributes | _optional(dash, name))


def rect(
    parent: ET.Element,
    box: Box,
    *,
    fill: str = "none",
    stroke: str = "none",
    width: float = 1.0,
    dash: str = "",
    name: str = "",
) -> None:
    """Draw a rectangle. [px]"""
    attributes = {
        "x": number(box.x0),
        "y": number(box.y0),
        "width": number(max(0.0, box.x1 - box.x0)),
        "height": number(max(0.0, box.y1 - box.y0)),
        "fill": fill,
        "stroke": stroke,
        "stroke-width": number(width),
    }
    _put(parent, "rect", attributes | _optional(dash, name))


def path(
    parent: ET.Element,
    points: list[tuple[float, float]],
    *,
    closed: bool = False,
    fill: str = "none",
    fill_opacity: float = 1.0,
    stroke: str = "none",
    width: float = 1.0,
    dash: str = "",
    name: str = "",
) -> None:
    """Draw straight lines through points. [px]"""
    steps = " L".join(f"{number(x)} {number(y)}" for x, y in points)
    attributes = {
        "d": f"M{steps}{' Z' if closed else ''}",
        "fill": fill,
        "stroke": stroke,
        "stroke-width": number(width),
        "stroke-linejoin": "round",
    }
    if fill_opacity < 1:
        attributes["fill-opacity"] = number(fill_opacity)
    _put(parent, "path", attributes | _optional(dash, name))


def circle(
    parent: ET.Element, x: float, y: float, r: float, *, fill: str, stroke: str = "none"
) -> None:
    """Draw a circle. [px]"""
    attributes = {"cx": number(x), "cy": number(y), "r": number(r), "fill": fill, "stroke": stroke}
    _put(parent, "circle", attributes)


def text(
    parent: ET.Element,
    words: str,
    x: float,
    y: float,
    *,
    anchor: Anchor = "start",
    size: float = FONT_SIZE,
    bold: bool = False,
    fill: str = INK,
    on_line: bool = False,
) -> Box:
    """Write a label with its baseline at `y`, and return its box. [px]

    A rim in the colour of the paper keeps it readable where it crosses a line; with
    `on_line` the line is interrupted for it altogether.
    """
    words = printable(words)
    box = label_box(words, x, y, anchor, size, bold)
    if on_line:
        rect(parent, Box(box.x0, box.y0, box.x1, y + 2), fill=PAPER)
    attributes = {
        "x": number(x),
        "y": number(y),
        "font-size": number(size),
        "fill": fill,
        "stroke": PAPER,
        "stroke-width": "3",
        "stroke-linejoin": "round",
        "paint-order": "stroke",
    }
    if anchor != "start":
        attributes["text-anchor"] = anchor
    if bold:
        attributes["font-weight"] = "bold"
    ET.SubElement(parent, "text", attributes).text = words
    return box


def arrowhead(
    parent: ET.Element,
    tip: tuple[float, float],
    towards: tuple[float, float],
    *,
    length: float = 8.0,
    fill: str = INK,
) -> None:
    """Draw a slim arrowhead whose tip is at `tip` and which points along `towards`. [px]"""
    size = math.hypot(*towards)
    ux, uy = towards[0] / size, towards[1] / size
    base = (tip[0] - ux * length, tip[1] - uy * length)
    half = length * 0.3
    wings = [
        tip,
        (base[0] - uy * half, base[1] + ux * half),
        (base[0] + uy * half, base[1] - ux * half),
    ]
    path(parent, wings, closed=True, fill=fill)


def hatch(root: ET.Element, name: str, *, spacing: float = 6.0, stroke: str = INK) -> str:
    """Return the fill of a hatching at 45°, defined once in the picture."""
    if not any(p.get("id") == name for p in root.iter("pattern")):
        defs = root.find("defs")
        if defs is None:
            defs = ET.Element("defs")
            root.insert(1, defs)
        pattern = ET.SubElement(
            defs,
            "pattern",
            {
                "id": name,
                "width": number(spacing),
                "height": number(spacing),
                "patternUnits": "userSpaceOnUse",
                "patternTransform": "rotate(45)",
            },
        )
        line(pattern, (0, 0), (0, spacing), stroke=stroke, width=1.4)
    return f"url(#{name})"


def _optional(dash: str, name: str) -> dict[str, str]:
    return {k: v for k, v in (("stroke-dasharray", dash), ("class", name)) if v}


def _put(parent: ET.Element, tag: str, attributes: dict[str, str]) -> None:
    ET.SubElement(parent, tag, attributes)
