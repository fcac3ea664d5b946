"""Start values: looked up, or visibly stretched."""

from __future__ import annotations

import csv
from importlib import resources

import pytest

from holewright.cutting.start_values import (
    Confidence,
    StartValues,
    deep_hole_factors,
    drill_start,
    ream_start,
)
from holewright.errors import NoAnswerError
from holewright.reference.tables import table
from holewright.shop.drill import DrillKind
from holewright.shop.material import Material
from holewright.shop.reamer import ReamerKind
from holewright.uncertainty import Known, Tag


def material(family: str, iso513: str, hb: float) -> Material:
    def known(value: float) -> Known:
        return Known(value, Tag.DEFAULT, "test")

    return Material(
        name=family,
        aliases=(),
        iso513=iso513,
        kc11=known(2000.0),
        mc=known(0.2),
        hardness_hb=known(hb),
        alpha=known(11.5e-6),
        e_modulus=known(207e3),
        family=family,
    )


C45 = material("plain-carbon-steel", "P", 190.0)
STAINLESS = material("austenitic-stainless", "M", 180.0)
FAMILIES = [
    ("free-machining-steel", "P", 150.0),
    ("plain-carbon-steel", "P", 190.0),
    ("alloy-steel", "P", 280.0),
    ("tool-steel", "P", 220.0),
    ("cast-steel", "P", 160.0),
    ("austenitic-stainless", "M", 180.0),
    ("martensitic-stainless", "M", 200.0),
    ("ph-stainless", "M", 330.0),
    ("duplex-stainless", "M", 250.0),
    ("grey-iron", "K", 200.0),
    ("ductile-iron", "K", 200.0),
    ("malleable-iron", "K", 180.0),
    ("wrought-aluminium", "N", 95.0),
    ("cast-aluminium", "N", 80.0),
    ("magnesium", "N", 60.0),
    ("brass", "N", 100.0),
    ("bronze", "N", 100.0),
    ("copper", "N", 80.0),
    ("titanium", "S", 320.0),
    ("nickel-alloy", "S", 380.0),
]


def in_order(start: StartValues) -> bool:
    return 0 < start.vc_lo <= start.vc <= start.vc_hi and 0 < start.f_lo <= start.f <= start.f_hi


class TestOneRow:
    def test_hss_drill_in_annealed_1045_by_the_handbook(self) -> None:
        """175-225 HB: 70, 75 and 70 ft/min in three rows, geometric mean 71.6 = 21.8 m/min."""
        start = drill_start(C45, DrillKind.JOBBER_HSS, 8.0)
        assert start.vc == pytest.approx(21.8, abs=0.05)
        assert (start.f_lo, start.f_hi) == (0.10, 0.25)
        assert start.f == pytest.approx((0.10 * 0.25) ** 0.5)
        assert (start.confidence, start.tag) == (Confidence.HANDBOOK, Tag.DEFAULT)
        assert "1027-1052" in start.source
        assert "Machinery's Handbook" in start.source

    def test_feed_steps_with_the_diameter(self) -> None:
        feeds = [drill_start(C45, DrillKind.STUB_HSS, DC).f_hi for DC in (2.0, 5.0, 10.0, 20.0)]
        assert feeds == [0.076, 0.15, 0.25, 0.38]

    def test_carbide_drill_feeds_with_the_diameter_and_asks_for_coolant(self) -> None:
        start = drill_start(C45, DrillKind.CARBIDE, 10.0)
        assert (start.vc_lo, start.vc, start.vc_hi) == (80.0, pytest.approx(110.0), 150.0)
        assert (start.f_lo, start.f_hi) == pytest.approx((0.12, 0.30))
        assert start.confidence is Confidence.WEAK
        assert "coolant through the drill" in start.needs

    def test_the_fast_reaming_regime_names_what_it_needs(self) -> None:
        start = ream_start(C45, ReamerKind.COATED_CARBIDE, 8.0, 6)
        assert start.vc == pytest.approx(180.0)
        assert (start.f_lo, start.f_hi) == pytest.approx((0.48, 1.2))
        assert "runout of 5 µm or less" in start.needs


def test_three_reaming_regimes_lie_a_factor_ten_apart() -> None:
    alloy = material("alloy-steel", "P", 275.0)
    speeds = [ream_start(alloy, kind, 10.0, 6).vc for kind in ReamerKind]
    assert speeds == sorted(speeds)
    assert speeds[-1] / speeds[0] > 10


def test_slow_and_handbook_practice_of_hss_reaming_are_both_in_the_range() -> None:
    """European 8 to 12 m/min; handbook 45 to 50 ft/min, that is 13.7 to 15.2."""
    start = ream_start(C45, ReamerKind.HSS, 8.0, 6)
    assert start.vc_lo == 8.0
    assert start.vc_hi > 15.2
    assert 10 < start.vc < 14


class TestStretched:
    def test_wrought_alloy_steel_borrows_from_cast_and_says_so(self) -> None:
        start = drill_start(material("alloy-steel", "P", 200.0), DrillKind.JOBBER_HSS, 8.0)
        assert "no row for alloy-steel: cast-alloy-steel taken" in start.source
        assert start.tag is Tag.ASSUMED
        assert start.confidence is Confidence.FAIR

    def test_harder_than_any_row_is_slowed_and_wider(self) -> None:
        """Rows end at 425 HB with 10.7, 7.6 and 4.6; at 475 HB times (425/475)² = 0.80."""
        at_edge = drill_start(material("plain-carbon-steel", "P", 420.0), DrillKind.STUB_HSS, 8.0)
        beyond = drill_start(material("plain-carbon-steel", "P", 475.0), DrillKind.STUB_HSS, 8.0)
        assert beyond.vc / at_edge.vc == pytest.approx((425 / 475) ** 2)
        assert beyond.vc_hi / beyond.vc_lo > at_edge.vc_hi / at_edge.vc_lo
        assert "no row at 475 HB" in beyond.source
        assert beyond.tag is Tag.ASSUMED

    def test_between_two_bands_the_harder_side_is_never_sped_up(self) -> None:
        """304 has rows to 185 and from 225 HB."""
        speeds = [
            drill_start(material("austenitic-stainless", "M", hb), DrillKind.STUB_HSS, 8.0).vc
            for hb in (180.0, 190.0, 220.0, 230.0)
        ]
        assert max(speeds) == speeds[0]

    def test_titanium_has_no_hss_drilling_row_so_reaming_is_scaled(self) -> None:
        start = drill_start(material("titanium", "S", 320.0), DrillKind.JOBBER_HSS, 8.0)
        assert start.vc == pytest.approx(5.0 / 0.65)
        assert "reaming speed divided by 0.65" in start.source
        assert "lower half of the feed band" in start.source
        assert start.confidence is Confidence.WEAK

    def test_a_small_coated_reamer_feeds_less_and_says_that_it_is_outside_the_band(self) -> None:
        small = ream_start(C45, ReamerKind.COATED_CARBIDE, 3.0, 4)
        usual = ream_start(C45, ReamerKind.COATED_CARBIDE, 6.0, 4)
        assert small.f == pytest.approx(usual.f / 2)
        assert "outside the rows' band" in small.source
        assert small.tag is Tag.ASSUMED

    @pytest.mark.parametrize("DC", [1.5, 3.0, 4.9])
    def test_a_small_hss_reamer_is_fed_by_the_turn_and_not_by_the_tooth(self, DC: float) -> None:
        """From-memory rows to 5 mm: 0.08 to 0.12 mm/rev in steel; four teeth at the handbook's
        0.1 mm each would be 0.4."""
        start = ream_start(STAINLESS, ReamerKind.HSS, DC, 4)
        assert (start.f_lo, start.f_hi) == (0.08, 0.12)

    def test_feed_of_stainless_is_taken_from_steel_visibly(self) -> None:
        assert "feed of steel taken" in ream_start(STAINLESS, ReamerKind.HSS, 8.0, 6).source


@pytest.mark.parametrize("kind", [DrillKind.JOBBER_HSS, DrillKind.CORE])
def test_hss_does_not_cut_hardened_steel(kind: DrillKind) -> None:
    with pytest.raises(NoAnswerError, match="hardened-steel"):
        drill_start(material("hardened-steel", "H", 520.0), kind, 8.0)


@pytest.mark.parametrize(("family", "iso513", "hb"), FAMILIES)
def test_every_family_has_start_values_for_every_tool(family: str, iso513: str, hb: float) -> None:
    work = material(family, iso513, hb)
    starts = [drill_start(work, kind, 8.0) for kind in DrillKind]
    starts += [ream_start(work, kind, 8.0, 6) for kind in ReamerKind]
    assert all(in_order(start) for start in starts)
    assert all(start.source for start in starts)


@pytest.mark.parametrize("kind", [DrillKind.CARBIDE, DrillKind.CARBIDE_FOUR_MARGIN])
def test_carbide_cuts_hardened_steel(kind: DrillKind) -> None:
    assert in_order(drill_start(material("hardened-steel", "H", 520.0), kind, 8.0))


def test_deep_holes_are_drilled_slower() -> None:
    speed, feed = deep_hole_factors([10.0, 30.0, 40.0, 50.0, 60.0, 90.0], 10.0)
    assert speed == pytest.approx([1.0, 0.9, 0.8, 0.7, 0.62, 0.62])
    assert feed == pytest.approx([1.0, 0.9, 0.9, 0.8, 0.8, 0.8])


class TestTable:
    def test_every_printed_speed_in_feet_is_the_metric_one(self) -> None:
        """Rounded to 0.1 m/min; 333 rows of the handbook's table."""
        rows = [r for r in table("speeds_feeds", ("fpm_printed", "vc")) if r["fpm_printed"]]
        assert len(rows) == 333
        for row in rows:
            assert float(row["vc"]) == pytest.approx(0.3048 * float(row["fpm_printed"]), abs=0.051)

    def test_hss_reams_at_two_thirds_of_drilling_speed_and_tips_at_four_and_a_half_times(
        self,
    ) -> None:
        """Medians over the handbook's 111 materials: 0.65 and 4.6."""
        speed: dict[tuple[str, str, str], dict[str, float]] = {}
        for row in table("speeds_feeds", ("material", "hb_lo", "hb_hi", "operation")):
            if row["source"] == "handbook-hole-speeds":
                key = (row["material"], row["hb_lo"], row["hb_hi"])
                name = f"{row['operation']} {row['substrate']}"
                speed.setdefault(key, {})[name] = float(row["vc"])
        assert len(speed) == 111
        drilled = sorted(s["ream HSS"] / s["drill HSS"] for s in speed.values())
        tipped = sorted(s["ream carbide-tipped"] / s["ream HSS"] for s in speed.values())
        assert drilled[55] == pytest.approx(0.65, abs=0.005)
        assert tipped[55] == pytest.approx(4.6, abs=0.05)

    def test_no_row_has_lost_a_column(self) -> None:
        text = (
            resources.files("holewright.reference").joinpath("speeds_feeds.csv").read_text("utf-8")
        )
        assert {len(row) for row in csv.reader(text.splitlines())} == {19}
