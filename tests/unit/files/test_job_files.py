"""What a job file says, and what it leaves out."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from holewright.callout.callout import DrawingStandard, Entry, HoleKind, Modifier
from holewright.errors import InputError
from holewright.jobs.jobfile import read_job
from holewright.shop.coolant import Coolant, Fluid
from holewright.shop.generic import GENERIC_NAME
from holewright.units import Unit

EXAMPLES = Path(__file__).parents[3] / "examples" / "brakelund"
LEAST = '[hole]\ncallout = "8 H7 x 22 through"\n\n[material]\nname = "C45"\n'


def job(tmp_path: Path, text: str):
    path = tmp_path / "plate.toml"
    path.write_text(text, "utf-8")
    return read_job(path)


def with_pattern(tmp_path: Path, text: str):
    return job(tmp_path, f"{LEAST}\n[pattern]\n{text}\n").holes


def with_hole(tmp_path: Path, text: str):
    return job(tmp_path, LEAST.replace('through"\n', f'through"\n{text}\n')).callout


class TestTheLeast:
    """A callout and a material are enough; all else is said to be taken."""

    def test_every_default_is_said(self, tmp_path):
        found = job(tmp_path, LEAST)
        said = " | ".join(found.defaults)
        for key in ("hardness", "parts", "pattern", "shop file", "machine", "coolant"):
            assert f"{key}: not given" in said
        assert "inside: not given, 99 % of the holes asked for" in said
        assert "part_temperature: not given, 20 °C taken" in said
        assert GENERIC_NAME in said

    def test_a_material_by_another_name_is_said_with_what_it_is_taken_as(self, tmp_path):
        found = job(tmp_path, LEAST.replace("C45", "S275JR"))
        assert "material: S275JR taken as S235JR" in found.defaults
        assert not any("taken as" in said for said in job(tmp_path, LEAST).defaults)

    def test_the_defaults_are_what_they_are_said_to_be(self, tmp_path):
        found = job(tmp_path, LEAST)
        assert found.name == "plate"
        assert (found.parts, found.yearly, found.part_c) == (1, False, 20.0)
        assert found.holes == ((0.0, 0.0),)
        assert found.shop.name == GENERIC_NAME
        assert found.machine is found.shop.machines[0]
        assert found.coolant == found.machine.coolants[0]
        assert (found.unit, found.program_unit) == (Unit.MM, Unit.MM)
        assert (found.demands.inside, found.demands.confidence) == (0.99, 0.95)
        assert "default" in found.demands.source
        assert found.material.hardness_hb.value == 199

    def test_a_hole_without_a_depth_says_which_is_taken(self, tmp_path):
        found = job(tmp_path, LEAST.replace(" x 22 through", ""))
        assert "depth: not in the callout, twice the diameter taken" in found.defaults


class TestTheDemo:
    """The four jobs of Brakelund Works."""

    @pytest.mark.parametrize("letter", "abcd")
    def test_each_says_that_it_is_invented(self, letter):
        found = read_job(EXAMPLES / f"job_{letter}.toml")
        assert found.invented
        assert "nothing in it refers to a real company" in found.notes[0]
        assert "(invented)" in found.shop.name

    def test_job_a_is_480_plates_of_four_holes_a_year(self):
        found = read_job(EXAMPLES / "job_a.toml")
        assert (found.callout.limits.lower, found.callout.limits.upper) == (8.0, 8.015)
        assert (found.parts, found.yearly, len(found.holes)) == (480, True, 4)
        assert found.holes == ((0, 0), (60, 0), (60, 44), (0, 44))
        assert found.material.name == "16MnCr5"
        assert found.material.hardness_hb.source == "job file"
        assert found.coolant == Coolant(Fluid.SOLUBLE, True, 40, 8)
        assert found.machine.n_max == 12000

    def test_job_b_is_in_inches_and_blind(self):
        found = read_job(EXAMPLES / "job_b.toml")
        callout = found.callout
        assert (callout.unit, found.program_unit) == (Unit.INCH, Unit.INCH)
        assert callout.kind is HoleKind.BLIND
        assert callout.depth == pytest.approx(0.70 * 25.4)
        assert callout.floor == pytest.approx(0.94 * 25.4)
        assert callout.ra == pytest.approx(32 * 0.0254)
        assert callout.standard is DrawingStandard.ASME
        assert callout.envelope
        assert len(found.holes) == 6
        assert all(math.hypot(*hole) == pytest.approx(2.25 * 25.4 / 2) for hole in found.holes)
        assert found.part_c == pytest.approx((72 - 32) / 1.8)

    def test_job_c_is_crossed_and_has_a_place(self):
        callout = read_job(EXAMPLES / "job_c.toml").callout
        assert [(b.diameter, b.depth) for b in callout.cross_bores] == [(5, 20)]
        assert callout.position is not None
        assert callout.position.diameter == 0.1

    def test_job_d_starts_in_a_cored_face(self):
        callout = read_job(EXAMPLES / "job_d.toml").callout
        assert callout.entry is Entry.CORED
        assert callout.limits.upper == pytest.approx(32.016)


class TestPatterns:
    """Where the holes are."""

    def test_a_list(self, tmp_path):
        text = 'at = [[0, 0], [20.5, 0], ["1 in", "-.5 in"]]'
        assert with_pattern(tmp_path, text) == ((0, 0), (20.5, 0), (25.4, -12.7))

    def test_a_rectangle_in_its_own_unit(self, tmp_path):
        assert with_pattern(tmp_path, 'rectangle = "2 x 1 in"')[2] == (50.8, 25.4)

    def test_a_grid_goes_along_x_first(self, tmp_path):
        holes = with_pattern(tmp_path, 'grid = "3 x 2, 20 x 15"')
        assert holes == ((0, 0), (20, 0), (40, 0), (0, 15), (20, 15), (40, 15))

    def test_a_bolt_circle_starts_where_it_says(self, tmp_path):
        holes = with_pattern(tmp_path, 'bolt_circle = "4 on 50"\nstart_deg = 90')
        assert holes == ((0, 25), (-25, 0), (0, -25), (25, 0))

    def test_words_and_a_row_are_read_as_well(self, tmp_path):
        assert with_pattern(tmp_path, 'row = "2 at 12 along y"') == ((0, 0), (0, 12))
        assert len(with_pattern(tmp_path, 'words = "bolt circle 6 on 60 from 30 deg"')) == 6

    def test_an_origin_shifts_them(self, tmp_path):
        holes = with_pattern(tmp_path, 'rectangle = "60 x 44"\norigin = [10, -5]')
        assert holes[0] == (10, -5)

    def test_holes_may_touch_and_may_not_overlap(self, tmp_path):
        assert len(with_pattern(tmp_path, "at = [[0, 0], [8, 0]]")) == 2


class TestTheHole:
    """What stands beside the callout."""

    @pytest.mark.parametrize(
        ("written", "diameter", "modifier"),
        [
            ("0.10", 0.10, Modifier.NONE),
            ("Ø0.10", 0.10, Modifier.NONE),
            (".002 in (M)", 0.0508, Modifier.MMC),
            ("0.05 M", 0.05, Modifier.MMC),
            ("0.05 (L)", 0.05, Modifier.LMC),
            ("Ø 0.05 mm Ⓜ", 0.05, Modifier.MMC),
            ("0 (M)", 0.0, Modifier.MMC),
        ],
    )
    def test_a_position(self, tmp_path, written, diameter, modifier):
        position = with_hole(tmp_path, f'position = "{written}"').position
        assert position is not None
        assert position.diameter == pytest.approx(diameter)
        assert position.modifier is modifier

    def test_cross_bores_as_words_or_as_a_table(self, tmp_path):
        words = with_hole(tmp_path, 'cross_bores = ["5 at 12", "Ø3 mm at 18"]').cross_bores
        table = with_hole(tmp_path, "cross_bores = [{ diameter = 5, depth = 12 }]").cross_bores
        assert words[0] == table[0]
        assert words[1].diameter == 3

    def test_lengths_are_in_the_unit_of_the_print(self, tmp_path):
        text = LEAST.replace('"8 H7 x 22 through"', '".3125 +.0005/-0 x .70 through"\nwall = ".1"')
        assert job(tmp_path, text).callout.wall == pytest.approx(2.54)

    def test_the_title_block_decides_about_the_envelope(self, tmp_path):
        assert with_hole(tmp_path, 'standard = "asme"').envelope
        assert not with_hole(tmp_path, 'standard = "iso"').envelope

    def test_a_value_that_agrees_with_the_callout_may_be_said_twice(self, tmp_path):
        text = LEAST.replace('x 22 through"', 'x 16 blind floor 22"\nfloor = 22')
        assert job(tmp_path, text).callout.floor == 22


class TestTheShop:
    """Machine and coolant."""

    def test_a_machine_is_found_without_regard_to_case(self, tmp_path):
        found = job(tmp_path, LEAST + '\n[shop]\nmachine = "Benchtop Mill"\n')
        assert found.machine.id == "benchtop mill"
        assert found.coolant.fluid is Fluid.NEAT_OIL

    def test_through_coolant_without_pressure_gets_that_of_the_machine(self, tmp_path):
        found = job(tmp_path, LEAST + '\n[shop]\ncoolant = "soluble 6 %, through"\n')
        assert found.coolant == Coolant(Fluid.SOLUBLE, True, 40, 6)
        assert "coolant: no pressure given, 40 bar of the machine taken" in found.defaults

    def test_flood_may_be_asked_for_where_through_could_be_had(self, tmp_path):
        found = job(tmp_path, LEAST + '\n[shop]\ncoolant = "neat oil, flood"\n')
        assert found.coolant == Coolant(Fluid.NEAT_OIL)

    def test_the_shop_file_is_looked_for_beside_the_job(self, tmp_path):
        (tmp_path / "room.toml").write_text('[shop]\nname = "Ours"\nunit = "mm"\n', "utf-8")
        found = job(tmp_path, LEAST + '\n[shop]\nfile = "room.toml"\n')
        assert found.shop.name == "Ours"
        assert "reamers: the shop file lists none" in " ".join(found.defaults)


class TestGauging:
    """What hand and hole do to what pins say, and what is asked before a release."""

    def test_clearance_feel_and_form_are_lengths_in_the_unit_of_the_print(self, tmp_path):
        text = '[gauging]\nclearance = "0"\nfeel = "1 µm"\nform = 0.002\n'
        habits = job(tmp_path, f"{LEAST}\n{text}").habits
        assert (habits.clearance, habits.feel, habits.form) == (0.0, 0.001, 0.002)

    def test_without_them_there_is_no_clearance_no_feel_and_form_is_not_known(self, tmp_path):
        habits = job(tmp_path, LEAST).habits
        assert (habits.clearance, habits.feel, habits.form) == (0.0, 0.0, None)

    def test_the_guard_factor_is_that_of_iso_14253_1_unless_the_file_says(self, tmp_path):
        """ISO 14253-1:2017, k = 1.65 for 95 % (from memory)."""
        assert job(tmp_path, LEAST).demands.guard == 1.65
        assert job(tmp_path, f"{LEAST}\n[demands]\nguard = 2\n").demands.guard == 2.0

    @pytest.mark.parametrize(
        ("text", "said"),
        [
            ('[gauging]\nclearence = "1 µm"\n', "did you mean clearance"),
            ('[gauging]\nfeel = "-1 µm"\n', "feel = -1 µm"),
            ("[demands]\nguard = 9\n", "guard = 9: must be a factor"),
        ],
    )
    def test_what_cannot_be_is_refused_by_its_key(self, tmp_path, text, said):
        with pytest.raises(InputError, match=said):
            job(tmp_path, f"{LEAST}\n{text}")
