"""Turns the tree of a sheet into typst: the same sheet, set for paper."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

from holewright.sheets.markup_tree import Element

Child = Element | str

_INLINE = {"span", "strong", "b", "em", "i", "br", "a", "code", "sub", "sup", "small"}


def quoted(text: str) -> str:
    """Return text as a typst string in content: nothing in it can become markup."""
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return f'#"{escaped}"'


class TypstText:
    """Writes one sheet.

    Parameters
    ----------
    root : Element
        The sheet as a tree.
    """

    def __init__(self, root: Element) -> None:
        self._blank_row = False
        body = root.first("body")
        self.text = self._blocks(body.children if body else root.children)

    def _blocks(self, children: Sequence[Child]) -> str:
        """Return children as blocks; runs of inline content become paragraphs."""
        out: list[str] = []
        run: list[Child] = []
        for child in children:
            if isinstance(child, str) or child.tag in _INLINE:
                run.append(child)
                continue
            out.append(self._paragraph(run))
            run = []
            out.append(self._block(child))
        out.append(self._paragraph(run))
        return "\n".join(part for part in out if part)

    def _paragraph(self, run: Sequence[Child]) -> str:
        if not any(isinstance(c, Element) or c.strip() for c in run):
            return ""
        return self._inline(run) + "\n"

    def _inline(self, children: Sequence[Child]) -> str:
        return "".join(self._inline_one(child) for child in children)

    def _inline_one(self, child: Child) -> str:
        if isinstance(child, str):
            folded = re.sub(r"[ \t\r\n\f]+", " ", child)
            return quoted(folded) if folded else ""
        inner = self._inline(child.children)
        classes = child.classes
        if child.tag == "br":
            return "#linebreak()"
        if "blank" in classes:
            return "#blank"
        if "box" in classes:
            return "#tick"
        if "cell" in classes:
            return "#box(width: 1fr, height: 1.9em, stroke: 0.6pt) "
        if "second" in classes:
            return f"#linebreak()#text(fill: soft)[{inner}]"
        if "kind" in classes:
            return f"#text(fill: accent, weight: 700, tracking: 0.06em)[#upper[{inner}]]"
        if "soft" in classes:
            return f"#text(fill: soft)[{inner}]"
        if child.tag in {"strong", "b"}:
            return f"#strong[{inner}]"
        if child.tag in {"em", "i"}:
            return f"#emph[{inner}]"
        return inner

    def _block(self, element: Element) -> str:
        writers: dict[str, Callable[[Element], str]] = {
            "h1": lambda e: f"#text(size: 15pt, weight: 700)[{self._inline(e.children)}]\n",
            "h2": self._heading,
            "h3": lambda e: f"#strong[{self._inline(e.children)}]\n",
            "p": self._p,
            "ul": self._list,
            "ol": self._list,
            "dl": self._fields,
            "table": self._table,
            "svg": self._picture,
            "header": self._top,
            "section": self._section,
            "div": self._div,
            "style": lambda e: "",
            "script": lambda e: "",
        }
        write = writers.get(element.tag)
        return write(element) if write else self._blocks(element.children)

    def _heading(self, element: Element) -> str:
        before = "#pagebreak(weak: true)\n" if "annex" in element.classes else ""
        return f"{before}#head[{self._inline(element.children)}]\n"

    def _p(self, element: Element) -> str:
        classes = element.classes
        if "foot" in classes:
            return ""
        inner = self._inline(element.children)
        if "cells" in classes:
            cells = len(element.elements("span"))
            return f"#grid(columns: (1fr,) * {cells}, gutter: 6pt, ..(cell,) * {cells})\n"
        if "callout" in classes:
            return f"#text(size: 15pt, weight: 700)[{inner}]\n"
        if "word" in classes:
            return f"#word({'true' if 'yes' in classes else 'false'})[{inner}]\n"
        if "sentence" in classes:
            return f"#text(size: 10pt, weight: 600)[{inner}]\n"
        if "invented" in classes:
            return f'#box(stroke: (dash: "dashed"), inset: 3pt)[#strong[{inner}]]\n'
        if "soft" in classes:
            return f"#text(fill: soft)[{inner}]\n"
        return inner + "\n"

    def _list(self, element: Element) -> str:
        items = [self._inline(item.children).strip() for item in element.elements("li")]
        if not items:
            return ""
        if "ticks" in element.classes:
            return "\n".join(f"{item}\n" for item in items)
        name = "enum" if element.tag == "ol" else "list"
        listed = f"#{name}({', '.join(f'[{item}]' for item in items)})\n"
        if "columns" in element.classes:
            half = (len(items) + 1) // 2
            left, right = items[:half], items[half:]
            columns = [
                f"list({', '.join(f'[{item}]' for item in part)})" for part in (left, right) if part
            ]
            return f"#grid(columns: (1fr, 1fr), gutter: 12pt, {', '.join(columns)})\n"
        return listed

    def _fields(self, element: Element) -> str:
        cells = []
        for row in element.elements("div"):
            name, value = row.first("dt"), row.first("dd")
            wide = 2 if "two" in row.classes else 1
            left = self._inline(name.children).strip() if name else ""
            right = self._inline(value.children).strip() if value else ""
            cells.append(f"grid.cell(colspan: {wide}, entry[{left}][{right}])")
        return (
            "#grid(columns: (1fr,) * 4, column-gutter: 10pt, row-gutter: 1pt, "
            f"{', '.join(cells)})\n"
        )

    def _table(self, element: Element) -> str:
        if element.attributes.get("role") == "presentation":
            return "\n".join(
                self._blocks(cell.children)
                for cell in element.below()
                if cell.tag == "td" and cell in self._own_cells(element)
            )
        head = element.first("thead")
        rows = [row for row in element.below() if row.tag == "tr"]
        heads = [row for row in head.elements("tr")] if head else []
        count = max((self._span(row) for row in rows), default=1)
        columns = self._columns(element, count)
        header = ", ".join(self._cell(c) for row in heads for c in row.elements())
        cells = []
        for row in rows:
            if row in heads:
                continue
            self._blank_row = "blank" in row.classes
            cells += [self._cell(c) for c in row.elements()]
        header_text = f"table.header({header}), " if header else ""
        body = ", ".join(cells)
        return f"#table(columns: {columns}, {header_text}{body})\n"

    def _own_cells(self, table: Element) -> list[Element]:
        return [
            cell
            for part in table.elements()
            if part.tag == "tbody"
            for row in part.elements("tr")
            for cell in row.elements("td")
        ]

    @staticmethod
    def _span(row: Element) -> int:
        return sum(int(cell.attributes.get("colspan", "1")) for cell in row.elements())

    def _columns(self, element: Element, count: int) -> str:
        group = element.first("colgroup")
        widths = []
        for column in group.elements("col") if group else []:
            match = re.search(r"width:\s*([\d.]+)%", column.attributes.get("style", ""))
            widths.append(f"{match[1]}%" if match else "1fr")
        if len(widths) != count:
            return f"(auto,) * {count}" if count > 1 else "(1fr,)"
        return f"({', '.join(widths)},)"

    def _cell(self, cell: Element) -> str:
        inner = self._inline(cell.children).strip()
        classes = cell.classes
        if cell.tag == "th":
            inner = f"#text(fill: soft, weight: 600)[{inner}]"
        if "key" in classes:
            inner = f"#strong[{inner}]"
        options = []
        if "num" in classes:
            options.append("align: right")
        if span := cell.attributes.get("colspan"):
            options.append(f"colspan: {int(span)}")
        if "write" in classes:
            inner += "#v(11pt)" if self._blank_row else ""
            options.append("stroke: (x: 0.4pt + faint, bottom: 0.4pt + faint)")
        return f"table.cell({', '.join(options)})[{inner}]" if options else f"[{inner}]"

    def _picture(self, element: Element) -> str:
        # Our pictures name a list of sans fonts for the screen; on paper they take the sheet's.
        source = re.sub(r'font-family="[^"]*"', 'font-family="Source Sans Pro"', element.source)
        if "xmlns=" not in source.split(">", 1)[0]:
            source = source.replace("<svg", '<svg xmlns="http://www.w3.org/2000/svg"', 1)
        image = f'image(bytes({quoted(source)[1:]}), format: "svg", width: 100%)'
        return f"#block(breakable: false, {image})\n"

    def _top(self, element: Element) -> str:
        parts = [self._blocks([child]) for child in element.elements()]
        if len(parts) == 1:
            return parts[0]
        return f"#grid(columns: (1fr, auto), gutter: 8pt, {', '.join(f'[{p}]' for p in parts)})\n"

    def _section(self, element: Element) -> str:
        classes = element.classes
        if "ask" in classes or "verdict" in classes:
            parts = ", ".join(f"[{self._blocks([c])}]" for c in element.elements())
            grid = f"grid(columns: (auto, 1fr), gutter: 10pt, align: horizon, {parts})"
            box = "width: 100%, stroke: 1pt, inset: 5pt" if "ask" in classes else "width: 100%"
            return f"#block({box}, breakable: false, {grid})\n"
        inner = self._blocks(element.children)
        if "safety" in classes:
            return f"#block(width: 100%, stroke: 1pt, inset: 6pt, breakable: false)[{inner}]\n"
        if "whole" in classes:
            return f"#block(breakable: false)[{inner}]\n"
        return inner

    def _div(self, element: Element) -> str:
        classes = element.classes
        if "halves" in classes or "drawings" in classes:
            widths = "(3fr, 1fr)" if "drawings" in classes else "(1fr, 1fr)"
            parts = ", ".join(f"[{self._blocks([c])}]" for c in element.elements())
            return f"#block(breakable: false, grid(columns: {widths}, gutter: 14pt, {parts}))\n"
        if "sign" in classes:
            cells = ", ".join(
                f"signature[{self._inline(c.children).strip()}]" for c in element.elements()
            )
            return f"#grid(columns: (1fr,) * 3, gutter: 12pt, {cells})\n"
        if "sketch" in classes:
            return '#rect(width: 100%, height: 70pt, stroke: (dash: "dashed"))\n'
        inner = self._blocks(element.children)
        if "cols" in classes:
            columns = 3 if "three" in classes else 2
            return f"#columns({columns}, gutter: 12pt)[{inner}]\n"
        return inner
