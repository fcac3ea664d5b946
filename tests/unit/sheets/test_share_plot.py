"""The share shown against the holes checked: where it stands, and when more holes don't help."""

from __future__ import annotations

import pytest
from picture_reader import SVG, labels, loads_nothing, outside, points, read, touching

from holewright.errors import OutOfRangeError
from holewright.sheets.share_plot import share_plot_svg

ASKED = {"inside": 0.99, "confidence": 0.95}


def curves(svg):
    return [points(e) for e in read(svg).iter(f"{SVG}path") if e.get("class") == "curve"]


@pytest.mark.parametrize(("good", "checked"), [(30, 30), (33, 50), (0, 1), (1, 1), (299, 299)])
def test_labels_stay_inside_and_touch_nothing(good, checked):
    svg = share_plot_svg(good, checked, **ASKED)
    assert outside(svg) == []
    assert touching(svg) == []
    assert loads_nothing(svg)


def test_the_number_that_would_show_it_is_marked():
    said = [label.words for label in labels(share_plot_svg(30, 30, **ASKED))]
    # 299 good holes show 99 % at 95 % (Clopper and Pearson).
    assert "299, all further ones good" in said
    assert "now: 30 checked, 90.4 % shown" in said
    assert "99 % asked for" in said


def test_with_open_holes_the_same_picture_levels_off_below_what_is_asked_for():
    svg = share_plot_svg(33, 50, **ASKED)
    _, same, good, wanted = curves(svg)
    assert all(a[1] >= b[1] for a, b in zip(same, good, strict=True))  # y runs down
    # It stays under 66 %, the share of holes shown inside, and far from what is asked for.
    assert min(y for _, y in same) > wanted[0][1] + 50


def test_with_all_good_there_is_no_other_picture():
    assert len(curves(share_plot_svg(30, 30, **ASKED))) == 3


@pytest.mark.parametrize(("good", "checked"), [(3, 2), (-1, 2), (0, 0)])
def test_counts_that_cannot_be_are_refused(good, checked):
    with pytest.raises(OutOfRangeError):
        share_plot_svg(good, checked, **ASKED)
