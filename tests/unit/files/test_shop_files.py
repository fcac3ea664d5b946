"""What a shop file says of the tool room. A label is never a measurement."""

from __future__ import annotations

import math
from datetime import date
from pathlib import Path

import pytest

from holewright.errors import InputError
from holewright.jobs.shopfile import read_shop
from holewright.jobs.tool_rows import reamer_by_label
from holewright.shop.holder import HolderKind
from holewright.shop.pin import Sense
from holewright.shop.reamer import Helix, ReamerKind
from holewright.uncertainty import Tag
from holewright.units import Unit

EXAMPLES = Path(__file__).parents[3] / "examples" / "brakelund"


def shop(tmp_path: Path, text: str, **files: str):
    for name, content in files.items():
        (tmp_path / f"{name}.csv").write_text(content, "utf-8")
    path = tmp_path / "shop.toml"
    path.write_text(text, "utf-8")
    return read_shop(path)


@pytest.fixture(scope="module")
def brakelund():
    return read_shop(EXAMPLES / "shop.toml")


class TestReamers:
    """Label and measured size."""

    def test_a_measured_reamer_is_measured(self, brakelund):
        first = next(r for r in brakelund.reamers if r.id == "R 8-1")
        assert first.label == "8 H7"
        assert (first.DC.value, first.DC.tag, first.DC.u) == (8.008, Tag.MEASURED, 0.001)

    def test_a_label_gives_the_make_band_of_iso_522_equally_likely(self):
        """10 H7: 10.006 to 10.012, the published table of DIN 1420."""
        by_label = reamer_by_label("10 H7", None)
        assert by_label.value == pytest.approx(10.009)
        assert by_label.u == pytest.approx(0.006 / math.sqrt(12))
        assert by_label.tag is Tag.DEFAULT

    def test_an_inch_label_is_less_sure_than_its_own_tolerance(self):
        """ANSI B94.2, from memory: +.0001 to +.0005 over 1/4 in; restatements disagree."""
        by_label = reamer_by_label(".3125", Unit.INCH)
        assert by_label.value == pytest.approx((0.3125 + 0.0003) * 25.4)
        assert by_label.u > 0.0004 * 25.4 / math.sqrt(12)
        assert by_label.tag is Tag.DEFAULT
        small = reamer_by_label(".2500 in", None)
        assert small.value == pytest.approx((0.25 + 0.00025) * 25.4)

    def test_the_same_reamer_is_surer_once_measured(self, tmp_path):
        text = '[shop]\nunit = "mm"\n[[reamer]]\nlabel = "8 H7"\nkind = "HSS"\n'
        bare = shop(tmp_path, text).reamers[0]
        measured = shop(tmp_path, text + "measured = 8.009\n").reamers[0]
        assert measured.DC.value == pytest.approx(bare.DC.value)
        assert measured.DC.u < bare.DC.u

    def test_a_label_that_says_nothing_will_do_if_somebody_measured(self, tmp_path):
        text = '[[reamer]]\nlabel = "reground, Joe"\nkind = "HSS"\nmeasured = "7.982 mm"\n'
        assert shop(tmp_path, text).reamers[0].DC.value == 7.982

    def test_what_is_left_out_is_typical_of_the_kind(self, brakelund):
        carbide = next(r for r in brakelund.reamers if r.id == "R 8-C")
        assert carbide.kind is ReamerKind.COATED_CARBIDE
        assert (carbide.ZEFP, carbide.helix) == (6, Helix.LEFT)
        assert carbide.life_holes.tag is Tag.ASSUMED
        assert carbide.LU < carbide.OAL

    def test_a_length_in_a_row_may_have_its_own_unit(self, brakelund):
        assert next(r for r in brakelund.reamers if r.id == "R 12-C").LU == 75


class TestDrills:
    """Index names and labels."""

    @pytest.mark.parametrize(
        ("label", "nominal"),
        [
            ("7.8 mm", 7.8),
            ("#7", 0.2010 * 25.4),
            ("No. 7", 0.2010 * 25.4),
            ("F", 0.2570 * 25.4),
            ("letter F", 0.2570 * 25.4),
            ("5/16", 7.9375),
            ('5/16"', 7.9375),
            (".295 in", 0.295 * 25.4),
        ],
    )
    def test_a_drill_is_called_as_the_index_calls_it(self, tmp_path, label, nominal):
        text = f"[[drill]]\nlabel = '{label}'\nkind = \"jobber\"\n"
        (drill,) = shop(tmp_path, text).drills
        assert drill.DC.value == pytest.approx(nominal, abs=0.02)
        assert drill.DC.value < nominal  # high-speed-steel drills are made below their label
        assert drill.DC.tag is Tag.DEFAULT

    def test_a_carbide_drill_lies_above_its_label(self, tmp_path):
        text = '[[drill]]\nlabel = "8 mm"\nkind = "solid carbide"\n'
        drill = shop(tmp_path, text).drills[0]
        assert drill.DC.value == pytest.approx(8.0135)  # m7 over 6 to 10: +6 to +21 µm
        assert drill.coolant_through

    def test_a_set_is_a_series_or_a_part_of_it(self, tmp_path):
        text = '[[drill_set]]\nseries = "letter"\nkind = "jobber HSS"\n'
        assert len(shop(tmp_path, text).drills) == 26
        part = text + 'first = "7.5 mm"\nlast = "8 mm"\nowned = false\n'
        found = shop(tmp_path, part).drills
        assert [drill.id for drill in found] == ["N jobber HSS"]
        assert not found[0].owned

    def test_a_drill_by_itself_stands_for_its_twin_in_a_set(self, tmp_path):
        text = (
            '[[drill_set]]\nseries = "letter"\nkind = "jobber HSS"\n'
            '[[drill]]\nid = "N jobber HSS"\nlabel = "N"\nkind = "jobber HSS"\n'
            'measured = ".3015 in"\n'
        )
        found = shop(tmp_path, text).drills
        assert len(found) == 26
        assert [d.DC.is_measured for d in found if d.id == "N jobber HSS"] == [True]


class TestPins:
    """Sets, gaps and certificates."""

    def test_a_gap_is_a_gap(self, brakelund):
        ids = {pin.id for pin in brakelund.pins}
        assert {"7.95", "7.97", ".3135", ".3145"} <= ids
        assert not {"7.96", "8.03", ".3110", ".3140"} & ids

    def test_a_calibrated_pin_stands_for_its_twin_in_the_set(self, brakelund):
        (pin,) = [pin for pin in brakelund.pins if pin.id == "8.01"]
        assert pin.calibrated is not None
        assert (pin.calibrated.value, pin.calibrated.u) == (8.0131, 0.0004)
        assert pin.calibrated.tag is Tag.MEASURED
        assert pin.grade == ""

    def test_a_certificate_may_give_its_expanded_uncertainty_and_its_day(self, tmp_path):
        rows = "marked,calibrated,expanded_u,k,due,wear\n"
        rows += "8.00,8.0022,0.8 µm,,2026-03-31,\n8.01,8.0131,1.2 µm,3,,1 µm\n"
        text = '[shop]\nunit = "mm"\npins = "pins.csv"\n'
        first, second = shop(tmp_path, text, pins=rows).pins
        # JCGM 100, 6.2.1: u = U / k, and k = 2 where the certificate doesn't say.
        assert (first.calibrated.u, first.due) == (pytest.approx(0.0004), date(2026, 3, 31))
        assert (second.calibrated.u, second.due) == (pytest.approx(0.0004), None)
        assert (first.wear, second.wear) == (0.0, 0.001)

    def test_a_date_may_be_a_date_of_toml(self, tmp_path):
        text = (
            '[[pin_set]]\nfirst = "8.00"\nlast = "8.02"\nstep = "0.01"\nunit = "mm"\n'
            'sense = "plus"\ngrade = "ZZ"\ndue = 2026-03-31\nwear = "0.5 µm"\n'
            '[[bore_gauge]]\nid = "three-point"\nkind = "three-point"\nunit = "mm"\n'
            'resolution = "1 µm"\nexpanded_u = "3 µm"\ndue = 2026-06-30\n'
        )
        found = shop(tmp_path, text)
        assert {(pin.due, pin.wear) for pin in found.pins} == {(date(2026, 3, 31), 0.0005)}
        assert found.bore_gauges[0].due == date(2026, 6, 30)
        assert found.bore_gauges[0].u.value == pytest.approx(0.0015)

    @pytest.mark.parametrize(
        ("row", "said"),
        [
            ("8.00,8.001,,3,,", "k = 3: needs expanded_u"),
            ("8.00,8.001,1 µm,7,,", "k = 7: must be the coverage factor"),
            ("8.00,,1 µm,2,,", "needs the calibrated size"),
            ("8.00,8.001,1 µm,2,soon,", "due = soon: must be a date"),
            ("8.00,8.001,1 µm,2,,0.5 mm", "wear = 0.5 mm"),
        ],
    )
    def test_a_certificate_that_cannot_be_is_refused_by_its_column(self, tmp_path, row, said):
        text = '[shop]\nunit = "mm"\npins = "pins.csv"\n'
        rows = f"marked,calibrated,expanded_u,k,due,wear\n{row}\n"
        with pytest.raises(InputError, match=said):
            shop(tmp_path, text, pins=rows)

    def test_inch_marks_are_exact(self, brakelund):
        (pin,) = [pin for pin in brakelund.pins if pin.id == ".3120"]
        assert pin.marked == 7.9248
        assert pin.sense is Sense.MINUS

    def test_a_plus_and_a_minus_pin_of_one_size_get_their_sense_as_names(self, tmp_path):
        text = "".join(
            f'[[pin_set]]\nfirst = "8.00"\nlast = "8.02"\nstep = "0.01"\nunit = "mm"\n'
            f'sense = "{sense}"\ngrade = "ZZ"\n'
            for sense in ("plus", "minus")
        )
        ids = [pin.id for pin in shop(tmp_path, text).pins]
        assert sorted(ids)[:2] == ["8.00 minus", "8.00 plus"]
        assert len(set(ids)) == 6

    def test_what_nobody_said_of_a_set_is_said_to_be_taken(self, tmp_path):
        text = '[[pin_set]]\nfirst = ".061"\nlast = ".250"\nstep = ".001"\nunit = "in"\n'
        found = shop(tmp_path, text)
        assert (found.pins[0].sense, found.pins[0].grade) == (Sense.MINUS, "ZZ")
        assert "pin set .061 to .250 in: sense not given, minus taken" in found.notes
        assert "pin set .061 to .250 in: grade not given, ZZ taken" in found.notes
        assert len(found.pins) == 190


class TestMachines:
    """A machine as its plate says it, in either system."""

    def test_in_metric(self, brakelund):
        mill = brakelund.machines[0]
        assert (mill.power, mill.torque, mill.thrust) == (15000, 95000, 8000)
        assert (mill.rapid, mill.feed_max) == (36000, 15000)
        assert mill.spindle_tir.tag is Tag.MEASURED

    def test_in_inches(self, tmp_path):
        text = (
            '[[machine]]\nid = "m"\nn_max = 6000\npower = "1/2 hp"\ntorque = "10 lbf·ft"\n'
            'thrust = "500 lbf"\nrapid = "400 in/min"\nspindle_tir_measured = ".0003 in"\n'
        )
        mill = shop(tmp_path, text).machines[0]
        assert mill.power == pytest.approx(372.85, abs=0.01)
        assert mill.torque == pytest.approx(10 * 4.4482216 * 304.8, rel=1e-6)
        assert mill.thrust == pytest.approx(2224.1, abs=0.1)
        assert mill.rapid == 10160
        assert mill.spindle_tir.value == pytest.approx(0.00762)


class TestHolders:
    """Runout, measured or typical."""

    def test_measured_and_typical_runout_are_told_apart(self, brakelund):
        hydraulic, collet, *_ = brakelund.holders
        assert (hydraulic.tir.value, hydraulic.tir.tag) == (0.003, Tag.MEASURED)
        assert (collet.kind, collet.tir.tag) == (HolderKind.COLLET, Tag.DEFAULT)
        assert collet.tir.value > hydraulic.tir.value
        assert collet.tir.u > hydraulic.tir.u


class TestLists:
    """CSV files, whatever program saved them."""

    ROWS = "id;label;kind;measured;unit\nR 1;8 H7;HSS;8,009;mm\n"

    @pytest.mark.parametrize(
        "raw",
        [
            ROWS.encode(),
            ROWS.encode("utf-8-sig"),
            ROWS.replace("\n", "\r\n").encode(),
            ROWS.replace(";", "\t").encode(),
            ROWS.replace(",", ".").replace(";", ",").encode(),
            ("# comment µ\n" + ROWS).encode("cp1252"),
            ROWS.replace("label", " Label ").replace("id;", "ID;").encode(),
            (ROWS + ";;;;\n\n").encode(),
        ],
    )
    def test_the_same_reamer_in_any_dress(self, tmp_path, raw):
        (tmp_path / "list.csv").write_bytes(raw)
        found = shop(tmp_path, '[shop]\nreamers = "list.csv"\n')
        assert [(r.id, r.DC.value) for r in found.reamers] == [("R 1", 8.009)]

    def test_a_shop_that_lists_nothing_gets_the_built_in_room_without_pins(self, tmp_path):
        found = shop(tmp_path, "")
        assert len(found.notes) == 4
        assert found.machines
        assert found.pins == ()

    def test_the_demo_says_that_it_is_invented(self, brakelund):
        assert "invented" in brakelund.name
        assert "this tool room is invented" in brakelund.notes

    def test_ids_are_unique_within_a_kind(self, brakelund):
        for kind in ("machines", "holders", "drills", "reamers", "pins", "bore_gauges"):
            ids = [thing.id.lower() for thing in getattr(brakelund, kind)]
            assert len(ids) == len(set(ids)) > 0
