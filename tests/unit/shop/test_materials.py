"""Work materials: found by any name, with numbers that their sources print.

Check values: ``kienzle.csv`` (classic tables of specific cutting force, mostly from memory,
see its source column) and ``materials.csv`` (Callister, Table B.6, and memory).
"""

from __future__ import annotations

import csv
import math
from pathlib import Path

import pytest

from holewright.errors import AmbiguousError, InputError
from holewright.reference.tables import sources, table
from holewright.shop.material import ChipClass, KcSystem
from holewright.shop.materials import find_material, list_materials
from holewright.uncertainty import Tag

DATA = Path(__file__).parents[2] / "data"
FAMILIES = {
    "free-machining-steel",
    "plain-carbon-steel",
    "alloy-steel",
    "tool-steel",
    "cast-steel",
    "austenitic-stainless",
    "martensitic-stainless",
    "ph-stainless",
    "duplex-stainless",
    "grey-iron",
    "ductile-iron",
    "malleable-iron",
    "wrought-aluminium",
    "cast-aluminium",
    "magnesium",
    "brass",
    "bronze",
    "copper",
    "titanium",
    "nickel-alloy",
    "hardened-steel",
}
KIENZLE = list(csv.DictReader((DATA / "kienzle.csv").read_text("utf-8").splitlines()))
EXPANSION = list(csv.DictReader((DATA / "materials.csv").read_text("utf-8").splitlines()))

# How a row of the check table is called in ours, where it is not one of our names itself.
CALLED = {
    "E295 (St 50-2)": "E295",
    "E335 (St 60-2)": "E335",
    "E360 (St 70-2)": "E360",
    "18CrNi6 / 18CrNiMo7-6 class": "18CrNiMo7-6",
    "100Cr6 (annealed)": "100Cr6",
    "56NiCrMoV7 annealed": "56NiCrMoV7",
    "56NiCrMoV7 hardened and tempered": "56NiCrMoV7+QT",
    "X210CrW12 / X210Cr12 (annealed)": "X210CrW12",
    "GE240 (GS-45)": "GE240",
    "GE260 (GS-52)": "GE260",
    "Mn-/CrNi-alloyed steels 850-1000 MPa": "alloyed steel, 850-1000 MPa",
    "X2CrNiMoN22-5-3 duplex": "2205",
    "Mn austenitic steel (Hadfield)": "X120Mn12",
    "EN-GJMB/GJMW malleable": "malleable iron",
    "chilled cast iron 46-50 HRC": "chilled cast iron",
    "inoculated grey iron 360 MPa": "EN-GJL-350",
    "AlSi7-9 cast (<=10 % Si)": "AlSi7Mg",
    "AlSi12+ cast": "AlSi12",
    "CuZn39Pb3 / CuZn40Pb2 leaded brass": "CuZn39Pb3",
    "CuZn37 brass": "CuZn37",
    "CuSn7ZnPb gunmetal": "CuSn7ZnPb",
    "NiCr19NbMo (alloy 718) aged": "NiCr19NbMo",
}


@pytest.mark.parametrize("row", KIENZLE, ids=lambda row: row["material"])
def test_every_row_of_the_tables_of_cutting_force_is_there(row):
    name = CALLED.get(row["material"], row["material"].split(" / ")[0])
    name = name if "/" not in name else name.split("/")[0]
    found = find_material(name)
    assert (found.kc11.value, found.mc.value) == (float(row["kc11_N_mm2"]), float(row["mc"]))
    assert found.iso513 == row["iso513"]
    share = found.kc11.u / found.kc11.value
    printed = {"good": 0.08, "fair": 0.12, "weak": 0.20}[row["confidence"]]
    assert share == pytest.approx(printed)


@pytest.mark.parametrize(
    ("row", "name"),
    [
        ("plain carbon 1020", "1020"),
        ("plain carbon 1040/1045", "1045"),
        ("42CrMo4 / 4140", "4140"),
        ("34CrNiMo6 / 4340", "4340"),
        ("304 / X5CrNi18-10", "304"),
        ("316 / X5CrNiMo17-12-2", "316"),
        ("17-7PH", "17-7PH"),
        ("grey iron GJL (G1800-G4000)", "EN-GJL-250"),
        ("ductile 60-40-18 / GJS-400", "60-40-18"),
        ("ductile 80-55-06 / GJS-600", "80-55-06"),
        ("6061/6082", "6061"),
        ("7075", "7075"),
        ("2024", "2024"),
        ("A356 AlSi7Mg", "A356"),
        ("brass C36000", "C36000"),
        ("brass C26000", "C26000"),
        ("bronze C93200", "C93200"),
        ("copper C11000", "C11000"),
        ("magnesium AZ91D", "AZ91D"),
        ("Ti-6Al-4V", "Ti-6Al-4V"),
        ("alloy 625", "alloy 625"),
    ],
)
def test_expansion_and_stiffness_are_those_of_the_textbook(row, name):
    printed = next(r for r in EXPANSION if r["material"] == row)
    assert "Callister" in printed["source_alpha"]
    found = find_material(name)
    assert found.alpha.value == pytest.approx(float(printed["alpha_1e-6_per_K"]) * 1e-6)
    assert found.e_modulus.value == pytest.approx(float(printed["E_GPa"]) * 1e3)
    assert found.alpha.source == "callister-b6"


def test_all_groups_and_families_are_there_and_no_others():
    materials = list_materials()
    assert len(materials) >= 60
    assert all(m.kc_system is KcSystem.CLASSIC for m in materials)
    assert {m.iso513 for m in materials} == set("PMKNSH")
    assert {m.family for m in materials} == FAMILIES


def test_names_are_unique_and_every_alias_leads_home():
    materials = list_materials()
    assert len({m.name for m in materials}) == len(materials)
    for material in materials:
        for name in (material.name, *material.aliases):
            assert find_material(name).name == material.name, name


@pytest.mark.parametrize(
    ("en", "aisi"),
    [
        ("C45", "1045"),
        ("11SMnPb30", "12L14"),
        ("16MnCr5", "5115"),
        ("42CrMo4", "4140"),
        ("100Cr6", "52100"),
        ("X153CrMoV12", "D2"),
        ("X5CrNi18-10", "304"),
        ("X2CrNiMoN22-5-3", "S32205"),
        ("X5CrNiCuNb16-4", "17-4PH"),
        ("EN-GJL-250", "class 40"),
        ("EN-GJS-500-7", "65-45-12"),
        ("EN AW-6082", "6082-T6"),
        ("EN AC-AlSi7Mg", "A356"),
        ("CW614N", "C36000"),
        ("3.7164", "Ti-6Al-4V"),
        ("2.4668", "N07718"),
    ],
)
def test_european_and_american_names_lead_to_one_row_both_ways(en, aisi):
    assert find_material(en) == find_material(aisi)
    names = {find_material(en).name, *find_material(en).aliases}
    assert {en, aisi} <= names


def test_the_usual_hardness_lies_in_the_usual_range():
    for material in list_materials():
        low, high = material.hb_range
        assert low < high < 2 * low + 100, material.name
        assert low <= material.hardness_hb.value <= high, material.name
        assert material.hardness_hb.u == pytest.approx((high - low) / math.sqrt(12))


@pytest.mark.parametrize(
    ("name", "chips"),
    [
        ("304", ChipClass.LONG),
        ("6061", ChipClass.LONG),
        ("1020", ChipClass.LONG),
        ("4140", ChipClass.MEDIUM),
        ("12L14", ChipClass.SHORT),
        ("EN-GJL-250", ChipClass.SHORT),
        ("C36000", ChipClass.SHORT),
    ],
)
def test_chips_are_long_in_soft_and_tough_metal_and_short_in_iron_and_leaded_metal(name, chips):
    """Common practice, no source."""
    assert find_material(name).chips is chips


def test_a_built_up_edge_has_its_window_in_steel_and_none_in_iron_or_hard_steel():
    """10 to 40 m/min in steel, from memory."""
    assert find_material("C45").edge_window == (10, 40)
    assert find_material("GG25").edge_window is None
    assert find_material("4140", "50 HRC").edge_window is None


def test_every_cell_that_names_a_source_names_one_that_is_known():
    for row in table("materials", ("hb_source", "hb_range_source", "chips_source")):
        assert row["hb_source"] in sources()
        assert row["hb_range_source"] in sources()
        assert row["chips_source"] in sources()
        assert row["alpha_source"] in sources()


def test_a_borrowed_cutting_force_says_whose_it_is():
    lent = find_material("4340")
    assert lent.kc11.source == "own-judgement: that of 42CrMo4"
    assert lent.kc11.value == find_material("42CrMo4").kc11.value
    assert lent.kc11.u > find_material("42CrMo4").kc11.u


@pytest.mark.parametrize(
    ("written", "name"),
    [
        ("16mncr5", "16MnCr5"),
        ("16 Mn Cr 5", "16MnCr5"),
        ("1.7131", "16MnCr5"),
        ("4140", "42CrMo4"),
        ("AISI 4140", "42CrMo4"),
        ("4140 PH", "42CrMo4+QT"),
        ("4140PH", "42CrMo4+QT"),
        ("4140 pre-hard", "42CrMo4+QT"),
        ("1018 steel", "1018"),
        ("SS304", "X5CrNi18-10"),
        ("304 stainless", "X5CrNi18-10"),
        ("316L", "X6CrNiMoTi17-12-2"),
        ("17-4 ph", "X5CrNiCuNb16-4"),
        ("D2 tool steel", "X153CrMoV12"),
        ("gjl 250", "EN-GJL-250"),
        ("EN-GJL-250", "EN-GJL-250"),
        ("GG 25", "EN-GJL-250"),
        ("class 30", "EN-GJL-200"),
        ("gray iron class 30", "EN-GJL-200"),
        ("65-45-12", "EN-GJS-500-7"),
        ("6061-T6", "EN AW-6061"),
        ("6061 T6511", "EN AW-6061"),
        ("Al 7075", "EN AW-7075"),
        ("A356-T6", "EN AC-AlSi7Mg"),
        ("C360 brass", "CuZn39Pb3"),
        ("bronze C93200", "CuSn7ZnPb"),
        ("Ti6Al4V", "Ti-6Al-4V"),
        ("45 HRC hardened", "hardened steel 50-55 HRC"),
    ],
)
def test_a_material_is_found_as_shops_write_it(written, name):
    assert find_material(written).name == name


@pytest.mark.parametrize(
    ("written", "near"),
    [("4141", "4142"), ("16MnCr55", "16MnCr5"), ("EN-GJL-240", "EN-GJL"), ("steel", "mild steel")],
)
def test_an_unknown_material_is_refused_with_the_nearest(written, near):
    with pytest.raises(InputError, match="must be a known work material; nearest are") as caught:
        find_material(written)
    assert near in str(caught.value)


@pytest.mark.parametrize("written", ["brass 4140", "cast 316", "stainless", "aluminium", ""])
def test_a_name_that_contradicts_itself_or_names_no_alloy_is_not_guessed(written):
    with pytest.raises(InputError):
        find_material(written)


class TestHardness:
    """A stated hardness, and one that nobody stated."""

    def test_nobody_stated_it(self):
        found = find_material("16MnCr5")
        assert (found.hardness_hb.value, found.hardness_hb.tag) == (170, Tag.ASSUMED)
        assert "hardness taken as annealed" in found.notes

    def test_a_certificate_states_it(self):
        found = find_material("16MnCr5", "200 HB")
        assert (found.hardness_hb.value, found.hardness_hb.tag) == (200, Tag.STANDARD)
        assert found.hardness_hb.source == "job file"
        assert found.hardness_hb.u < find_material("16MnCr5").hardness_hb.u
        assert "hardness taken as annealed" not in found.notes

    def test_it_may_stand_behind_the_name(self):
        beside = find_material("4140 PH", "28-32 HRC")
        assert find_material("4140 PH 28-32 HRC") == beside

    def test_it_may_not_stand_twice(self):
        with pytest.raises(InputError, match="must be given once"):
            find_material("4140 30 HRC", "31 HRC")

    def test_a_range_is_anywhere_in_it(self):
        """28 to 32 HRC is 271 to 301 HB: half of 30 HB, over the root of 3, and 2 % of 286."""
        hb = find_material("4140", "28-32 HRC").hardness_hb
        assert hb.value == 286
        assert hb.u == pytest.approx(math.hypot(30 / math.sqrt(12), 0.02 * 286))

    @pytest.mark.parametrize("name", ["304", "6061", "EN-GJL-250", "brass", "Ti64", "2205"])
    @pytest.mark.parametrize("hardness", ["30 HRC", "300 HV", "900 MPa"])
    def test_conversion_is_refused_where_it_does_not_hold(self, name, hardness):
        with pytest.raises(InputError, match=r"must be in HB for .* does not hold for"):
            find_material(name, hardness)

    def test_brinell_needs_no_conversion(self):
        assert find_material("6061", "100 HB").hardness_hb.value == 100

    def test_a_bare_number_is_asked_about(self):
        with pytest.raises(AmbiguousError) as caught:
            find_material("4140", "200")
        assert "200 HB" in caught.value.readings

    def test_far_from_the_hardness_of_the_row_cutting_force_is_less_sure(self):
        assert find_material("4140", "340 HB").kc11.u > find_material("4140", "220 HB").kc11.u
        assert find_material("4140", "340 HB").kc11.value == find_material("4140").kc11.value

    def test_a_hardness_that_the_material_never_has_is_remarked_on(self):
        assert "is harder than 16MnCr5 usually is, 140 to 207 HB" in " ".join(
            find_material("16MnCr5", "30 HRC").notes
        )
        assert not find_material("16MnCr5", "170 HB").notes[1:]

    def test_from_45_hrc_a_steel_is_group_h_and_keeps_its_family(self):
        soft, hard = find_material("4140", "44 HRC"), find_material("4140", "46 HRC")
        assert (soft.iso513, hard.iso513) == ("P", "H")
        assert soft.family == hard.family == "alloy-steel"
        assert "puts 42CrMo4 into group H" in hard.notes[-1]

    def test_cutting_force_of_hard_steel_goes_through_the_rows_of_the_table(self):
        """3600 at 518 HB and 4600 at 654 HB (58 to 62 HRC), a power law between."""
        assert find_material("D2", "60 HRC").kc11.value == pytest.approx(4600)
        assert find_material("D2", "518 HB").kc11.value == pytest.approx(3600)
        between = find_material("D2", "57 HRC").kc11
        assert 3600 < between.value < 4600
        assert between.tag is Tag.COMPUTED

    def test_it_does_not_jump_where_the_group_changes(self):
        soft, hard = (find_material("4140", f"{hrc} HRC").kc11 for hrc in (44, 45))
        assert abs(hard.value - soft.value) < 2 * soft.u
