"""Constants of Kienzle's law against two printed tables of specific force by feed, refitted.

The constants shipped are from memory. Table A prints k_c at 45° for named materials, table B
prints it by feed with the strengths of the same steels; both were fitted anew. They are held
to each other in k_c1.1 (3 %, one row 5 %) and in the force itself at the chips of drilling and
reaming: 5 %, and 4 % at h = 0.2.
Both tables probably descend from the same data: numbers are confirmed, not physics.
"""

from __future__ import annotations

import numpy as np
import pytest

from holewright.cutting.force import specific_cutting_force
from holewright.reference.tables import table

THIN = np.array([0.08, 0.1, 0.2, 0.4])

FITS = [
    ("S235JR", 1811, 0.162),
    ("C60", 2127, 0.173),
    ("55NiCrMoV7", 1753, 0.247),
    ("55NiCrMoV7+QT", 1953, 0.233),
    ("GE240", 1610, 0.157),
    ("GE260", 1817, 0.152),
    ("EN-GJL-150", 922, 0.220),
    ("EN-GJL-250", 1186, 0.246),
    ("EN-GJL-250", 1139, 0.271),
    ("EN-GJL-350", 1267, 0.259),
    ("chilled cast iron", 2062, 0.190),
    ("X120Mn12", 3364, 0.216),
    ("E295", 1991, 0.257),
    ("E295", 1988, 0.263),
    ("E335", 2085, 0.173),
    ("E335", 2113, 0.161),
    ("E360", 2272, 0.297),
    ("C45", 2230, 0.136),
    ("16MnCr5", 2109, 0.262),
    ("16MnCr5", 2098, 0.264),
    ("34CrMo4", 2244, 0.210),
    ("42CrMo4", 2526, 0.250),
    ("42CrMo4", 2497, 0.261),
]


def shipped(name: str) -> tuple[float, float]:
    row = next(row for row in table("materials", ("name", "kc11", "mc")) if row["name"] == name)
    return float(row["kc11"]), float(row["mc"])


@pytest.mark.parametrize(("material", "kc11", "mc"), FITS)
def test_the_constant_itself_agrees_with_the_refitted_table(
    material: str, kc11: float, mc: float
) -> None:
    """3 %: the largest is cast iron of table A."""
    assert kc11 == pytest.approx(shipped(material)[0], rel=0.03)
    assert shipped(material)[1] == pytest.approx(mc, abs=0.02)


def test_rows_marked_good_are_those_that_a_printed_table_confirms() -> None:
    rows = table("materials", ("name", "confidence"))
    good = {row["name"] for row in rows if row["confidence"] == "good"}
    assert good == {name for name, _, _ in FITS}


@pytest.mark.parametrize(("material", "kc11", "mc"), FITS)
def test_specific_force_agrees_with_the_refitted_table(
    material: str, kc11: float, mc: float
) -> None:
    memory = specific_cutting_force(*shipped(material), THIN)
    refitted = specific_cutting_force(kc11, mc, THIN)
    assert memory == pytest.approx(refitted, rel=0.05)
    assert memory[2] == pytest.approx(refitted[2], rel=0.04)


def test_e360_in_table_b_is_the_outlier() -> None:
    """2379 / 0.241 there: ours lies 4 % above at h 0.2 and 10 % at 0.08; the exponent is unsure."""
    assert shipped("E360")[0] == pytest.approx(2379, rel=0.055)
    memory = specific_cutting_force(*shipped("E360"), THIN)
    table_b = specific_cutting_force(2379, 0.241, THIN)
    assert (memory / table_b).max() == pytest.approx(1.10, abs=0.02)
