"""Two methods of drill forces against each other, and against a third.

Kienzle's law with the corrections for drilling with HSS (1.2 x 1.2), and the handbook's method
(Machinery's Handbook, 31st ed., pp. 1152-1153; work constants from memory) with a sharp drill.
Kienzle constants: classic German tables, from memory; steels rated good in kienzle.csv, whose
hardness is taken as Rm / 3.35.

The laws differ in shape: D² f^(1-m_c) against D^1.8 f^0.8. They can't agree everywhere; over drills
3 to 20 mm at usual feeds they shall agree on the mean within 10 % (found: torque 1.08, thrust
1.02) and everywhere from 0.62 to 1.40, two outliers named below apart. Kienzle lies low for
small drills and soft steel, high for large drills and strong steel.
"""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest
from scipy.stats import gmean

from holewright.cutting.correction import Substrate, hole_correction
from holewright.cutting.force import drilling_thrust, drilling_torque
from holewright.cutting.handbook_drilling import (
    SPLIT_POINT_CHISEL,
    handbook_thrust,
    handbook_torque,
    work_constant,
)

DATA = Path(__file__).parents[1] / "data"
DC = np.array([3.0, 5.0, 8.0, 12.0, 20.0])
FEED = np.array([0.06, 0.10, 0.15, 0.20, 0.30])
HSS = hole_correction(Substrate.HSS).value

# Thin chips cost these two more than the handbook knows: m_c 0.26 and 0.30 at 217 HB.
OUTLIERS = {"E360 (St 70-2)": 1.65, "42CrMo4": 1.65}


def steels() -> list[tuple[str, float, float, float]]:
    with (DATA / "kienzle.csv").open(encoding="utf-8") as file:
        rows = [
            row
            for row in csv.DictReader(file)
            if row["iso513"] == "P"
            and row["confidence"] == "good"
            and row["Rm_MPa"]
            and 400 <= float(row["Rm_MPa"]) <= 1000
            and not row["material"].startswith(("G", "5", "X"))
        ]
    return [
        (
            row["material"],
            float(row["kc11_N_mm2"]),
            float(row["mc"]),
            float(row["Rm_MPa"]) / 3.35,
        )
        for row in rows
    ]


def torque_ratios(kc11: float, mc: float, hb: float) -> np.ndarray:
    work = work_constant("plain-carbon-steel", hb)
    kienzle = drilling_torque(kc11, mc, DC, FEED, correction=HSS)
    return kienzle / handbook_torque(work.torque, DC, FEED)


def test_there_are_enough_steels_to_compare() -> None:
    assert len(steels()) >= 6


@pytest.mark.parametrize(("name", "kc11", "mc", "hb"), steels())
def test_torque_of_each_steel_stays_in_the_band(
    name: str, kc11: float, mc: float, hb: float
) -> None:
    ratio = torque_ratios(kc11, mc, hb)
    assert ratio.max() < OUTLIERS.get(name, 1.40)
    assert ratio.min() > 0.62


def test_the_methods_agree_on_the_mean_of_all_steels() -> None:
    torque = gmean(np.concatenate([torque_ratios(*steel[1:]) for steel in steels()]))
    thrust = gmean(
        np.concatenate(
            [
                drilling_thrust(kc11, mc, DC, FEED, correction=HSS)
                / handbook_thrust(work_constant("plain-carbon-steel", hb).thrust, DC, FEED)
                for _, kc11, mc, hb in steels()
            ]
        )
    )
    assert torque == pytest.approx(1.0, abs=0.10)
    assert thrust == pytest.approx(1.0, abs=0.10)


def test_three_methods_for_c45_spread_by_a_quarter_about_their_middle() -> None:
    """D 10, f 0.2: raw Kienzle 7.83, handbook 11.34, an empirical trade formula 8.88 N·m.

    The trade formula is M = K D² (0.630 + 16.84 f) / 100 with K 2.22 for low-carbon steel.
    """
    raw = drilling_torque(2220, 0.14, 10.0, 0.2) / 1000
    handbook = handbook_torque(24000, 10.0, 0.2) / 1000
    trade = 2.22 * 10**2 * (0.630 + 16.84 * 0.2) / 100
    assert (raw, handbook, trade) == pytest.approx((7.83, 11.34, 8.88), abs=0.01)
    middle = (raw + handbook) / 2
    assert np.array([raw, handbook, trade]) / middle == pytest.approx(1.0, abs=0.25)
    assert handbook / raw == pytest.approx(1.45, abs=0.005)


def test_aluminium_is_the_outlier_and_both_sides_of_it_are_from_memory() -> None:
    """One constant of 7000 for most alloys lies below the forces of AlSi by a third and more."""
    kienzle = drilling_torque(830, 0.23, DC, FEED, correction=HSS)
    ratio = kienzle / handbook_torque(work_constant("cast-aluminium", 90.0).torque, DC, FEED)
    assert (ratio > 1.2).all()


def test_factors_of_the_chisel_edge_are_those_of_the_printed_table() -> None:
    """Table 7, all twelve rows, from ratios to the common point at c/d 0.18."""
    with (DATA / "drilling-handbook-factors.csv").open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    assert len(rows) == 12
    for row in rows:
        chisel = float(row["c_over_d"])
        torque = handbook_torque(40, 1.0, 1.0, chisel=chisel)
        thrust = handbook_thrust(1.0, 1.0, 1.0, chisel=chisel)
        assert torque == pytest.approx(float(row["A_torque"]))
        assert thrust == pytest.approx(
            0.05 * float(row["B_thrust"]) + 0.007 * float(row["J_thrust"])
        )


def test_a_split_point_saves_thrust_and_hardly_any_torque() -> None:
    common, split = (
        handbook_thrust(24000, 10.0, 0.2),
        handbook_thrust(24000, 10.0, 0.2, chisel=SPLIT_POINT_CHISEL),
    )
    assert split / common < 0.75
    torque = handbook_torque(24000, 10.0, 0.2, chisel=SPLIT_POINT_CHISEL)
    assert torque / handbook_torque(24000, 10.0, 0.2) > 0.9
