"""Sets a sheet as a PDF, with typst and a font that comes with the package."""

from __future__ import annotations

from datetime import datetime
from enum import StrEnum
from functools import cache
from importlib import resources

import typst

from holewright.sheets.markup_tree import read_tree
from holewright.sheets.typst_text import TypstText, quoted


class Paper(StrEnum):
    """Paper sizes, as typst names them."""

    A4 = "a4"
    LETTER = "us-letter"


_STYLE = """
#let soft = rgb("#5a5a5a")
#let faint = rgb("#c4c4c4")
#let accent = rgb("#1d5b96")
#set document(title: {title}, date: datetime(year: {year}, month: {month}, day: {day}))
#set page(
  paper: "{paper}",
  margin: (x: 11mm, top: 10mm, bottom: 15mm),
  footer: context [
    #block(width: 100%, stroke: (top: 0.5pt), inset: (top: 3pt), text(size: 7.5pt, fill: soft)[
      {foot} #h(1fr) page #counter(page).display() of #counter(page).final().first()
    ])
  ],
)
#set text(font: "Source Sans Pro", size: 9pt, number-width: "tabular", lang: "en")
#set par(leading: 0.45em, spacing: 0.55em)
#set table(
  stroke: (x, y) => (bottom: if y == 0 {{ 0.7pt }} else {{ 0.4pt + faint }}),
  inset: (x: 3pt, y: 2pt),
)
#set list(indent: 4pt, body-indent: 4pt, spacing: 0.4em)
#set enum(indent: 4pt, body-indent: 4pt, spacing: 0.4em)
#let blank = box(width: 34pt, height: 0.8em, stroke: (bottom: 0.6pt))
#let tick = box(width: 0.8em, height: 0.8em, stroke: 0.8pt) + h(4pt)
#let cell = box(width: 100%, height: 18pt, stroke: 0.6pt)
#let head(body) = block(above: 0.9em, below: 0.5em, width: 100%, breakable: false, sticky: true,
  stroke: (bottom: 1pt), inset: (bottom: 2pt), strong(body))
#let word(yes, body) = box(inset: (x: 7pt, y: 4pt), fill: if yes {{ black }}, stroke: 1pt,
  text(size: 12pt, weight: 700, fill: if yes {{ white }} else {{ black }}, upper(body)))
#let entry(name, value) = block(width: 100%, above: 0pt, below: 0pt,
  stroke: (bottom: 0.4pt + faint), inset: (y: 2.4pt),
  [#text(fill: soft, name) #h(3pt) #strong(value)])
#let signature(name) = block(width: 100%, height: 26pt, stroke: (bottom: 0.6pt),
  text(fill: soft, name))
"""


@cache
def _fonts() -> typst.Fonts:
    """Return the font installed beside holewright, and typst's own: the same on each machine."""
    folder = str(resources.files("font_source_sans_pro").joinpath("files"))
    return typst.Fonts(include_system_fonts=False, font_paths=[folder])


def sheet_pdf(html: str, *, foot: str, date: datetime, paper: Paper = Paper.A4) -> bytes:
    """Return a sheet as PDF.

    Parameters
    ----------
    html : str
        The sheet as :mod:`holewright.sheets` writes it.
    foot : str
        The line at the foot of every page.
    date : datetime
        Date of the document: the same sheet and date give the same bytes.
    paper : Paper
        A4 or Letter.

    Returns
    -------
    bytes
        The file.

    Notes
    -----
    One template serves screen and paper: the sheet is read back as a tree and set anew, so that
    both always say the same. Texts go over as strings; nothing in a job's name can become
    markup.
    """
    root = read_tree(html)
    title = root.first("title")
    text = TypstText(root)
    style = _STYLE.format(
        title=quoted(title.text() if title else "")[1:],
        year=date.year,
        month=date.month,
        day=date.day,
        paper=paper,
        foot=quoted(foot),
    )
    return typst.compile((style + text.text).encode(), format="pdf", font_paths=_fonts())
