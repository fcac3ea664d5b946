"""What is said of shares must never be more than what was shown."""

import pytest

from holewright.proof.wording import holes, named
from holewright.shares import share_as_asked, share_at_least


@pytest.mark.parametrize(
    ("share", "said"),
    [
        (0.0, "0.0 %"),
        (0.9049, "90.4 %"),
        (0.98999, "98.9 %"),
        (0.99, "99.0 %"),
        (0.9987, "99.8 %"),
        (0.99993, "99.99 %"),
        (0.9999999, "99.99999 %"),
        (1.0, "100 %"),
    ],
)
def test_a_share_is_rounded_down(share, said):
    assert share_at_least(share) == said
    assert float(said.split()[0]) / 100 <= share + 1e-12


def test_a_demand_is_repeated_as_it_was_made():
    assert share_as_asked(0.9973) == "99.73 %"
    assert share_as_asked(0.95) == "95 %"


def test_many_holes_are_named_by_the_first_six():
    assert named([str(i) for i in range(1, 21)]) == "holes 1, 2, 3, 4, 5, 6 and 14 more"
    assert holes(1) == "1 hole"
    assert holes(1200) == "1,200 holes"
