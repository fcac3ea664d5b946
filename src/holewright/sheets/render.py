"""Fills the templates of the sheets; every text is escaped, only our own pictures are not."""

from __future__ import annotations

from functools import cache

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from holewright.sheets.header import INVENTED, SheetHeader, foot


@cache
def _environment() -> Environment:
    return Environment(
        loader=PackageLoader("holewright", "sheets/templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def picture(svg: str) -> Markup:
    """Return a picture of ours as it goes into a sheet, unescaped.

    It was built as an XML tree, so its labels are escaped already.
    """
    return Markup(svg)


def render(template: str, header: SheetHeader, **parts: object) -> str:
    """Return a sheet as one HTML file that loads nothing.

    Parameters
    ----------
    template : str
        File name in ``templates/``.
    header : SheetHeader
        Head and foot of the sheet.
    **parts : object
        What the template shows.
    """
    page = _environment().get_template(template)
    return page.render(header=header, foot=foot(header), invented_line=INVENTED, **parts)


def render_page(template: str, **parts: object) -> str:
    """Return a page without head and foot of a sheet, as one HTML file that loads nothing.

    Parameters
    ----------
    template : str
        File name in ``templates/``.
    **parts : object
        What the template shows.
    """
    return _environment().get_template(template).render(**parts)
