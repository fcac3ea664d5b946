"""A file of readings that is written while holes are gauged: a line each, on disk at once.

A line counts as saved when the system has said that it is on the disk (fsync). A process that
is killed loses nothing that it showed as saved; a line that it was just writing may stand there
torn, and is then turned into a comment. What is taken back stays in the file as a comment, too.
"""

from __future__ import annotations

import csv
import io
import os
from pathlib import Path
from typing import Protocol

from holewright.errors import InputError
from holewright.gauging.reading import Reading
from holewright.jobs.csv_rows import read_header
from holewright.jobs.readingsfile import COLUMNS, collect_readings
from holewright.shop.shop import Shop
from holewright.units import Unit, write_exact

TAKEN_BACK = "# taken back: "
TORN = "# torn, not used: "
_SPREADSHEET = ("=", "+", "-", "@")
"""A cell that begins so would be run by a spreadsheet."""


class Log(Protocol):
    """Where readings go, one by one, while holes are gauged."""

    @property
    def where(self) -> str:
        """Where that is, for people."""

    def readings(self) -> tuple[Reading, ...]:
        """Return the readings that hold, in the order in which they were written."""

    def add(self, reading: Reading) -> None:
        """Write a reading down; once this returns, it is saved."""

    def take_back(self) -> Reading | None:
        """Take the last reading back, and return it; None where there is none."""


class ReadingsLog:
    """A CSV file of readings, open to be added to.

    Parameters
    ----------
    path : Path
        The file; made with its header if there is none. One that is there keeps its columns.
    shop : Shop
        Tool room that its gauges are of.
    unit : Unit
        Unit to write sizes in.
    part_c : float
        Temperature of the part where a row doesn't say: that of the job. [°C]

    Raises
    ------
    InputError
        If the file can't be read, a row of it can't be used, or its columns can't hold what
        is to be written.
    """

    def __init__(
        self, path: Path, shop: Shop, unit: Unit = Unit.MM, *, part_c: float = 20.0
    ) -> None:
        self._path, self._shop, self._unit, self._part_c = path, shop, unit, part_c
        self.mended = False
        """Whether a torn line was found and turned into a comment."""
        if not path.exists() or not path.read_bytes().strip():
            self._append(",".join(COLUMNS))
            _sync_folder(path)
        self._columns, self._separator = read_header(path, "readings", COLUMNS)
        for column in ("hole", "gauge", "result"):
            if column not in self._columns:
                raise InputError("column", column, f"must stand in the header of {path}")
        self._mend()
        self._rows()

    @property
    def where(self) -> str:
        """The file, for people."""
        return str(self._path)

    def readings(self) -> tuple[Reading, ...]:
        """Return the readings that hold, in the order in which they were written."""
        return self._rows()

    def add(self, reading: Reading) -> None:
        """Write a reading down; once this returns, it is saved.

        Parameters
        ----------
        reading : Reading
            What the gauge said.

        Raises
        ------
        InputError
            If the file has no column for a part of it.
        """
        if reading.hole.startswith(_SPREADSHEET):
            raise InputError("hole", reading.hole, "must not begin with = + - or @")
        cells = self._cells(reading)
        # What a file without these columns means.
        unsaid = {"part_temp": f"{self._part_c:g} C", "gauge_temp": "20 C"}
        for name, value in cells.items():
            if value not in ("", unsaid.get(name)) and name not in self._columns:
                raise InputError(
                    "column", name, f"must stand in the header of {self._path}, or begin a new file"
                )
        line = io.StringIO(newline="")
        writer = csv.writer(line, delimiter=self._separator, lineterminator="")
        writer.writerow([cells.get(name, "") for name in self._columns])
        self._append(line.getvalue())

    def take_back(self) -> Reading | None:
        """Take the last reading back, and return it; None where there is none.

        Its line stays as a comment.
        """
        readings = self._rows()
        if not readings:
            return None
        last = readings[-1]
        assert last.where is not None
        assert last.where.line is not None
        self._comment_out(self._start_of(last.where.line), TAKEN_BACK)
        return last

    def _start_of(self, line: int) -> int:
        """Return the byte at which a line begins, lines counted as the reader counts them."""
        raw = self._path.read_bytes()
        try:
            before = raw.decode("utf-8").splitlines(keepends=True)[: line - 1]
            return len("".join(before).encode())
        except UnicodeDecodeError:
            return sum(
                len(one) for one in raw.decode("cp1252", "replace").splitlines(True)[: line - 1]
            )

    def _rows(self) -> tuple[Reading, ...]:
        if not self._has_rows():
            return ()
        found, wrong = collect_readings(self._path, self._shop, part_c=self._part_c)
        if wrong:
            raise wrong[0]
        return tuple(reading for _, reading in found)

    def _has_rows(self) -> bool:
        text = self._path.read_text("utf-8-sig", errors="replace")
        lines = [line for line in text.splitlines() if line.strip() and line.strip()[0] != "#"]
        return len(lines) > 1

    def _cells(self, reading: Reading) -> dict[str, str]:
        result = "" if reading.goes is None else "goes" if reading.goes else "does not go"
        lengths = {
            name: "" if value is None else write_exact(value, self._unit, 0)
            for name, value in (("size", reading.size), ("depth", reading.depth))
        }
        return {
            "hole": reading.hole,
            "gauge": reading.gauge,
            "result": result,
            **lengths,
            "unit": str(self._unit) if any(lengths.values()) else "",
            "part_temp": f"{reading.part_c:g} C",
            "gauge_temp": f"{reading.gauge_c:g} C",
            "note": " ".join(reading.note.split()),
        }

    def _append(self, line: str) -> None:
        """Write one line at the end, and return when it is on the disk."""
        file = os.open(self._path, os.O_WRONLY | os.O_APPEND | os.O_CREAT, 0o644)
        try:
            _write_all(file, f"{line}\n".encode())
            os.fsync(file)
        finally:
            os.close(file)

    def _mend(self) -> None:
        """End a last line that has no end; one that can't be used becomes a comment."""
        raw = self._path.read_bytes()
        if raw.endswith(b"\n"):
            return
        start = raw.rfind(b"\n") + 1
        if self._has_rows() and not raw[start:].lstrip().startswith(b"#"):
            _, wrong = collect_readings(self._path, self._shop, part_c=self._part_c)
            lines = raw.count(b"\n") + 1
            if any(error.where is not None and error.where.line == lines for error in wrong):
                self._comment_out(start, TORN)
                self.mended = True
        if not self._path.read_bytes().endswith(b"\n"):
            self._append("")

    def _comment_out(self, start: int, sign: str) -> None:
        """Put a sign in front of the line that begins at a byte; the file only grows."""
        file = os.open(self._path, os.O_RDWR | getattr(os, "O_BINARY", 0))
        try:
            os.lseek(file, start, os.SEEK_SET)
            rest = os.read(file, os.fstat(file).st_size - start)
            os.lseek(file, start, os.SEEK_SET)
            _write_all(file, sign.encode() + rest)
            os.fsync(file)
        finally:
            os.close(file)


def _write_all(file: int, data: bytes) -> None:
    while data:
        data = data[os.write(file, data) :]


def _sync_folder(path: Path) -> None:
    """Have the name of a new file on the disk as well, where the system can."""
    if not hasattr(os, "O_DIRECTORY"):
        return
    folder = os.open(path.absolute().parent, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(folder)
    finally:
        os.close(folder)
