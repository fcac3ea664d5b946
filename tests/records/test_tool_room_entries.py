"""The tool room in the book: individuals, each as it was measured last."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from record_book_samples import NOON, signed

from holewright.jobs.keep_book import holes_cut, keep_tool_room, tool_room
from holewright.records.book import RecordBook
from holewright.records.memory import MemoryBook
from holewright.records.tool_entries import (
    HolesCutEntry,
    MeasurementEntry,
    Quantity,
    ToolEntry,
    ToolKind,
    ToolState,
)
from holewright.records.tool_room import tool_entry, tool_of
from holewright.shop.shop import Shop
from holewright.uncertainty import Known, Tag


@pytest.fixture
def small(job_a) -> Shop:
    """Return a tool room of a few individuals of each kind."""
    shop = job_a.shop
    return replace(
        shop, drills=shop.drills[:2], reamers=shop.reamers[:3], pins=shop.pins[:4], notes=()
    )


@pytest.fixture
def kept(small: Shop, bench) -> RecordBook:
    book = MemoryBook()
    keep_tool_room(book, small, bench=bench, by="Ada")
    return book


def tool(book: RecordBook, kind: ToolKind, name: str):
    (found,) = book.find(ToolEntry, kind=kind, name=name)
    return found


def measured(book: RecordBook, kind: ToolKind, name: str, value: float, **more) -> None:
    quantity = Quantity.RUNOUT if kind in (ToolKind.HOLDER, ToolKind.MACHINE) else Quantity.SIZE
    id = tool(book, kind, name).id
    book.append(
        MeasurementEntry(tool_id=id, quantity=quantity, value=value, u=0.0005, **signed(**more))
    )


def test_every_tool_comes_back_as_it_was_listed(kept, small, bench):
    found = tool_room(kept, name=small.name, bench=bench)
    for kind in ("machines", "holders", "drills", "reamers", "pins", "bore_gauges"):
        for listed, back in zip(getattr(small, kind), getattr(found, kind), strict=True):
            assert back == listed or Tag.MEASURED in _tags(back)


def _tags(thing) -> set[Tag]:
    return {value.tag for value in vars(thing).values() if isinstance(value, Known)}


def test_the_last_calibration_of_a_pin_counts_and_the_others_stay(kept, small, bench):
    pin = small.pins[0]
    for value, certificate in ((pin.marked + 0.001, "C-1"), (pin.marked + 0.0008, "C-2")):
        measured(kept, ToolKind.PIN, pin.id, value, certificate=certificate)
    found = next(p for p in tool_room(kept, name="x", bench=bench).pins if p.id == pin.id)
    assert found.calibrated == Known(pin.marked + 0.0008, Tag.MEASURED, "C-2", 0.0005)
    history = kept.find(MeasurementEntry, tool_id=tool(kept, ToolKind.PIN, pin.id).id)
    assert [saved.entry.certificate for saved in history] == ["C-1", "C-2"]


def test_a_reamer_a_holder_and_a_machine_take_what_was_measured(kept, small, bench):
    reamer, holder, machine = small.reamers[0], small.holders[0], small.machines[0]
    measured(kept, ToolKind.REAMER, reamer.id, 8.0085)
    measured(kept, ToolKind.HOLDER, holder.id, 0.004)
    measured(kept, ToolKind.MACHINE, machine.id, 0.002)
    found = tool_room(kept, name="x", bench=bench)
    assert found.reamers[0].DC.value == 8.0085
    assert found.holders[0].tir.value == 0.004
    assert found.machines[0].spindle_tir.value == 0.002


def test_an_overdue_calibration_is_named(kept, small, bench):
    pin = small.pins[0]
    due = NOON.date() - timedelta(days=1)
    measured(kept, ToolKind.PIN, pin.id, pin.marked, due=due)
    assert tool_room(kept, name="x", bench=bench).notes == (
        f"pin {pin.id}: was to be measured by {due}",
    )
    measured(kept, ToolKind.PIN, pin.id, pin.marked, due=date(2026, 3, 31))
    assert tool_room(kept, name="x", bench=bench).notes == ()


def test_a_broken_reamer_is_left_out(kept, small, bench):
    saved = tool(kept, ToolKind.REAMER, small.reamers[0].id)
    kept.change(saved, replace(saved.entry, state=ToolState.BROKEN))
    found = tool_room(kept, name="x", bench=bench)
    assert [r.id for r in found.reamers] == [r.id for r in small.reamers[1:]]


def test_holes_cut_add_up(kept, small):
    saved = tool(kept, ToolKind.REAMER, small.reamers[0].id)
    for holes in (480, 12):
        kept.append(HolesCutEntry(tool_id=saved.id, holes=holes, **signed()))
    assert holes_cut(kept, saved) == 492


def test_a_reamer_that_is_measured_anew_in_the_shop_file_gets_a_new_measurement(kept, small, bench):
    reamer = replace(small.reamers[0], DC=Known(8.0071, Tag.MEASURED, "shop file", 0.001))
    changed = replace(small, reamers=(reamer, *small.reamers[1:]))
    done = keep_tool_room(kept, changed, bench=bench, by="Bo")
    assert (done.new, done.changed, done.measured) == (0, 1, 1)
    saved = tool(kept, ToolKind.REAMER, reamer.id)
    assert tool_of(saved.entry) == reamer
    assert saved.version == 2
    assert kept.find(MeasurementEntry, tool_id=saved.id)[-1].entry.value == 8.0071


def test_a_tool_has_the_same_key_in_every_book(small):
    pin = small.pins[0]
    keys = {tool_entry(pin, at=NOON, by=by).key for by in ("Ada", "Bo")}
    assert len(keys) == 1
    assert all(len(key) == 64 for key in keys)
