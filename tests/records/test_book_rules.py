"""What every record book holds to: in memory, in SQLite and in PostgreSQL alike."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import pytest
from record_book_samples import NOON, Begun, begin, signed

from holewright.errors import InputError, StaleError
from holewright.gauging.reading import Reading
from holewright.records.entries import (
    EstimateEntry,
    JobEntry,
    NoteEntry,
    PlateEntry,
    ReadingEntry,
    RevisionEntry,
    RunEntry,
    Stage,
)
from holewright.records.in_force import in_force
from holewright.records.tool_entries import (
    HolesCutEntry,
    MeasurementEntry,
    Quantity,
    ToolChangeEntry,
    ToolEntry,
    ToolKind,
    ToolState,
)


def test_what_was_written_is_read_back_equal(begun: Begun):
    assert begun.book.get(JobEntry, begun.job.id) == begun.job
    assert begun.book.find(JobEntry, name="Carriage plate") == (begun.job,)
    assert begun.book.find(RevisionEntry, job_id=begun.job.id) == (begun.revision,)
    saved = begun.book.append(begun.reading("A1", cut=17))
    assert begun.book.get(ReadingEntry, saved.id) == saved
    assert saved.entry.cut == 17


def test_entries_come_back_in_the_order_in_which_they_were_written(begun: Begun):
    for hole in ("C", "A", "B"):
        begun.book.append(begun.reading(hole))
    found = begun.book.find(ReadingEntry, run_id=begun.run.id)
    assert [saved.entry.reading.hole for saved in found] == ["C", "A", "B"]


def test_the_last_of_many_is_found_without_the_others(begun: Begun):
    assert begun.book.last(ReadingEntry, run_id=begun.run.id) is None
    saved = [begun.book.append(begun.reading(hole)) for hole in ("C", "A", "B")]
    assert begun.book.last(ReadingEntry, run_id=begun.run.id) == saved[-1]
    with begun.book.together() as writer:
        assert writer.last(ReadingEntry, run_id=begun.run.id) == saved[-1]


def test_the_last_entry_is_found_alone(begun: Begun):
    assert begun.book.last(ReadingEntry, run_id=begun.run.id) is None
    for hole in ("C", "A"):
        begun.book.append(begun.reading(hole))
    assert begun.book.last(ReadingEntry, run_id=begun.run.id).entry.reading.hole == "A"


def test_a_plate_without_bottom_is_refused(begun: Begun):
    payload: dict[str, object] = {}
    for _ in range(100_000):
        payload = {"in": payload}
    with pytest.raises(InputError, match="must not nest that deep"):
        begun.book.append(
            PlateEntry(revision_id=begun.revision.id, name="2", payload=payload, **signed())
        )


def test_what_is_not_there_is_said(begun: Begun):
    with pytest.raises(InputError, match="id = 99: must be that of an entry in jobs"):
        begun.book.get(JobEntry, 99)
    assert begun.book.find(JobEntry, name="another") == ()
    with pytest.raises(TypeError, match="no field colour"):
        begun.book.find(JobEntry, colour="red")


def test_a_request_that_is_sent_again_writes_nothing_twice(begun: Begun):
    first = begun.book.append(begun.reading("A1", key="tablet-7-0001"))
    later = NOON + timedelta(minutes=1)
    again = begun.book.append(begun.reading("A1", key="tablet-7-0001", at=later))
    assert again == first
    assert len(begun.book.find(ReadingEntry)) == 1


def test_one_key_can_not_stand_for_two_readings(begun: Begun):
    begun.book.append(begun.reading("A1", key="tablet-7-0001"))
    with pytest.raises(InputError, match="is the key of another entry in readings"):
        begun.book.append(begun.reading("A2", key="tablet-7-0001"))
    assert len(begun.book.find(ReadingEntry)) == 1


def test_a_retry_of_the_first_request_does_not_undo_a_later_change(begun: Begun):
    plate = PlateEntry(
        revision_id=begun.revision.id, name="2", payload={"rows": 5}, key="p", **signed()
    )
    saved = begun.book.append(plate)
    changed = begun.book.change(saved, replace(plate, payload={"rows": 6}))
    assert begun.book.append(plate) == changed


def test_two_tablets_on_one_plate_do_not_overwrite_each_other(begun: Begun):
    plate = begun.book.append(
        PlateEntry(revision_id=begun.revision.id, name="2", payload={"A1": ""}, **signed())
    )
    begun.book.change(plate, replace(plate.entry, payload={"A1": "tight curl"}))
    with pytest.raises(StaleError, match=r"somebody else saved version 2 .* open it anew"):
        begun.book.change(plate, replace(plate.entry, payload={"A1": "nest"}))
    now = begun.book.get(PlateEntry, plate.id)
    assert now.entry.payload == {"A1": "tight curl"}
    assert now.version == 2


def test_a_job_moves_on_by_versions(begun: Begun):
    moved = begun.book.change(begun.job, replace(begun.job.entry, stage=Stage.ON_TRIAL))
    moved = begun.book.change(moved, replace(moved.entry, stage=Stage.RELEASED))
    assert begun.book.get(JobEntry, begun.job.id) == moved
    assert (moved.version, moved.entry.stage) == (3, Stage.RELEASED)


def test_a_reading_is_written_once_and_stays(begun: Begun):
    saved = begun.book.append(begun.reading())
    with pytest.raises(InputError, match="is written once and stays"):
        begun.book.change(saved, begun.reading("A2", key=saved.entry.key))


def test_a_change_keeps_the_key(begun: Begun):
    with pytest.raises(InputError, match="must stay when an entry is changed"):
        begun.book.change(begun.job, replace(begun.job.entry, key="other"))


def test_together_is_all_or_nothing(begun: Begun):
    def write_both(second: ReadingEntry) -> None:
        with begun.book.together() as writer:
            writer.append(begun.reading("A1"))
            assert len(writer.find(ReadingEntry)) == 1
            writer.append(second)

    with pytest.raises(InputError):
        write_both(begun.reading("A2", run_id=99))
    assert begun.book.find(ReadingEntry) == ()
    write_both(begun.reading("A2"))
    assert len(begun.book.find(ReadingEntry)) == 2


def test_an_entry_can_not_refer_to_what_is_not_there(begun: Begun):
    with pytest.raises(InputError, match="run_id = 99: must be the id of an entry in runs"):
        begun.book.append(begun.reading(run_id=99))


def test_a_name_is_the_only_one(begun: Begun):
    with pytest.raises(InputError, match="name = Carriage plate: must be the only one in jobs"):
        begun.book.append(JobEntry(name="Carriage plate", **signed()))
    second = begun.book.append(JobEntry(name="Sensor body", **signed()))
    with pytest.raises(InputError, match="must be the only one"):
        begun.book.change(second, replace(second.entry, name="Carriage plate"))


def test_a_revision_number_is_taken_once(begun: Begun):
    with pytest.raises(InputError, match="job_id and number = 1, 1: must be the only one"):
        begun.book.append(replace(begun.revision.entry, key="another"))


def test_readings_of_one_job_are_not_put_into_the_run_of_another(begun: Begun):
    other = begin(begun.book, "Sensor body")
    with pytest.raises(InputError, match="must be a run of the same revision"):
        begun.book.append(begun.reading(run_id=other.run.id))
    with pytest.raises(InputError, match="must be a run of the same job"):
        begun.book.append(NoteEntry(job_id=begun.job.id, text="x", run_id=other.run.id, **signed()))


class TestCorrection:
    """A correction is a new row that points to the one it corrects, with who, when and why."""

    def correct(self, begun: Begun, wrong: int, reading: Reading | None, **more: object) -> None:
        fields = {"corrects_id": wrong, "why": "pins mixed up", "by": "Bo", "reading": reading}
        begun.book.append(begun.reading(**(fields | more)))

    def holding(self, begun: Begun) -> list[tuple[str, str, bool | None]]:
        found = in_force(begun.book.find(ReadingEntry, run_id=begun.run.id))
        return [(s.entry.reading.hole, s.entry.reading.gauge, s.entry.reading.goes) for s in found]

    def test_both_stay_in_the_book_and_the_right_one_holds_in_its_place(self, begun: Begun):
        wrong = begun.book.append(begun.reading("A1"))
        begun.book.append(begun.reading("A2"))
        self.correct(begun, wrong.id, Reading("A1", "8.00", goes=True))
        assert len(begun.book.find(ReadingEntry)) == 3
        assert self.holding(begun) == [("A1", "8.00", True), ("A2", "8.01", True)]

    def test_a_correction_can_be_corrected_in_turn(self, begun: Begun):
        wrong = begun.book.append(begun.reading("A1"))
        self.correct(begun, wrong.id, Reading("A1", "8.00", goes=True))
        self.correct(begun, wrong.id + 1, Reading("A3", "8.00", goes=False))
        assert self.holding(begun) == [("A3", "8.00", False)]

    def test_a_reading_can_be_taken_back(self, begun: Begun):
        wrong = begun.book.append(begun.reading("A1"))
        self.correct(begun, wrong.id, None)
        assert self.holding(begun) == []
        assert len(begun.book.find(ReadingEntry)) == 2

    def test_no_reading_is_corrected_twice(self, begun: Begun):
        wrong = begun.book.append(begun.reading("A1"))
        self.correct(begun, wrong.id, Reading("A1", "8.00", goes=True))
        with pytest.raises(InputError, match="was corrected already, by Bo: correct reading 2"):
            self.correct(begun, wrong.id, Reading("A1", "8.02", goes=True))

    def test_it_says_why(self, begun: Begun):
        wrong = begun.book.append(begun.reading("A1"))
        with pytest.raises(InputError, match="must say why the reading was wrong"):
            self.correct(begun, wrong.id, Reading("A1", "8.00", goes=True), why=" ")
        with pytest.raises(InputError, match="belongs to a correction"):
            begun.book.append(begun.reading("A1", why="because"))

    def test_it_stays_in_the_run_of_the_reading(self, begun: Begun):
        wrong = begun.book.append(begun.reading("A1"))
        with pytest.raises(InputError, match="must be that of the corrected reading"):
            self.correct(begun, wrong.id, Reading("A1", "8.00", goes=True), run_id=None)

    def test_nothing_is_taken_back_that_was_not_there(self, begun: Begun):
        with pytest.raises(InputError, match="must be there, unless it takes back another"):
            begun.book.append(begun.reading(reading=None))


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"by": "  "}, "by = '  ': must not be blank"),
        ({"key": "k" * 65}, "up to 64 characters"),
        ({"at": datetime(2025, 3, 31)}, "time with its time zone"),
        ({"reading": Reading("", "8.01", goes=True)}, "hole = '': must not be blank"),
        ({"reading": Reading("A1", "BG", size=float("nan"))}, "size = nan: must be a number"),
        ({"reading": Reading("A\0", "8.01", goes=True)}, "without zero bytes"),
        ({"reading": Reading("\ud800", "8.01", goes=True)}, "must be text"),
        ({"cut": 0}, "cut = 0: must be 1 or more"),
        ({"cut": 2**31}, "must be up to 2147483647"),
    ],
)
def test_what_no_database_should_hold_is_refused(begun: Begun, change, said):
    with pytest.raises(InputError, match=said):
        begun.book.append(begun.reading(**change))
    assert begun.book.find(ReadingEntry) == ()


def test_an_estimate_names_readings_of_its_own_job_each_once(begun: Begun, an_estimate):
    mine = begun.book.append(begun.reading("A1"))
    other = begin(begun.book, "Sensor body")
    theirs = begun.book.append(other.reading("A1"))

    def entry(*ids: int) -> EstimateEntry:
        return EstimateEntry(
            revision_id=begun.revision.id, reading_ids=ids, estimate=an_estimate, **signed()
        )

    for ids, said in (
        ((), "each once"),
        ((mine.id, mine.id), "each once"),
        ((mine.id, theirs.id), "must be a reading of the same job"),
    ):
        with pytest.raises(InputError, match=said):
            begun.book.append(entry(*ids))
    saved = begun.book.append(entry(mine.id))
    assert begun.book.get(EstimateEntry, saved.id) == saved


class TestToolRoom:
    """Each tool is an individual, with its measurements and the holes it has cut."""

    def tool(self, begun: Begun, kind: ToolKind = ToolKind.REAMER, name: str = "R-8-1") -> int:
        return begun.book.append(
            ToolEntry(kind=kind, name=name, document={"id": name}, **signed())
        ).id

    def test_measurements_are_a_history(self, begun: Begun):
        reamer = self.tool(begun)
        for value in (8.011, 8.008):
            begun.book.append(
                MeasurementEntry(
                    tool_id=reamer, quantity=Quantity.SIZE, value=value, u=0.001, **signed()
                )
            )
        found = begun.book.find(MeasurementEntry, tool_id=reamer)
        assert [saved.entry.value for saved in found] == [8.011, 8.008]

    def test_holes_cut_are_entries_that_add_up(self, begun: Begun):
        reamer = self.tool(begun)
        for holes in (120, 60):
            begun.book.append(HolesCutEntry(tool_id=reamer, holes=holes, **signed()))
        found = begun.book.find(HolesCutEntry, tool_id=reamer)
        assert sum(saved.entry.holes for saved in found) == 180
        with pytest.raises(InputError, match="holes = 0: must be 1 or more"):
            begun.book.append(HolesCutEntry(tool_id=reamer, holes=0, **signed()))

    def test_a_pin_has_a_size_and_a_holder_a_runout(self, begun: Begun):
        pin, holder = self.tool(begun, ToolKind.PIN, "8.01"), self.tool(begun, ToolKind.HOLDER, "H")
        for tool, quantity in ((pin, Quantity.RUNOUT), (holder, Quantity.SIZE)):
            with pytest.raises(InputError, match="is not measured of a"):
                begun.book.append(
                    MeasurementEntry(tool_id=tool, quantity=quantity, value=1, u=0, **signed())
                )

    @pytest.mark.parametrize(
        ("value", "u", "said"),
        [(0.0, 0.001, "must be more than 0"), (8.0, -1.0, "u = -1.0: must be 0 or more")],
    )
    def test_a_size_is_more_than_nothing(self, begun: Begun, value, u, said):
        with pytest.raises(InputError, match=said):
            begun.book.append(
                MeasurementEntry(
                    tool_id=self.tool(begun), quantity=Quantity.SIZE, value=value, u=u, **signed()
                )
            )

    def test_a_run_names_each_tool_in_its_own_place(self, begun: Begun):
        reamer = self.tool(begun)
        with pytest.raises(InputError, match="machine_id = R-8-1: must be a machine, not a reamer"):
            begun.book.append(
                RunEntry(revision_id=begun.revision.id, name="2", machine_id=reamer, **signed())
            )

    def test_a_run_does_not_end_before_it_began(self, begun: Begun):
        with pytest.raises(InputError, match="must not be before the run began"):
            begun.book.change(
                begun.run, replace(begun.run.entry, ended=NOON - timedelta(seconds=1))
            )

    def test_a_tool_that_broke_is_changed_and_the_change_is_written_down(self, begun: Begun):
        old, new = self.tool(begun), self.tool(begun, name="R-8-2")
        change = begun.book.append(
            ToolChangeEntry(
                run_id=begun.run.id, out_id=old, in_id=new, holes=412, why="broken", **signed()
            )
        )
        saved = begun.book.get(ToolEntry, old)
        begun.book.change(saved, replace(saved.entry, state=ToolState.BROKEN))
        assert begun.book.find(ToolChangeEntry, out_id=old) == (change,)
        assert begun.book.get(ToolEntry, old).entry.state is ToolState.BROKEN
