"""What whirl may do to size."""

from __future__ import annotations

import numpy as np
import pytest

from holewright.sizing.lobing import lobe_amplitude_most, lobing_term


@pytest.mark.parametrize(
    ("growth", "most_um"), [(0.0, 0.0), (0.8, 0.0), (0.95, 5.0), (1.1, 10.0), (2.0, 10.0)]
)
def test_amplitude_is_none_while_whirl_dies_out_and_up_to_10_um_at_the_border(
    growth: float, most_um: float
) -> None:
    """0 below 0.8, 0 to 10 µm up to 1.1, beyond that more than anybody can say; own judgement."""
    assert 1000 * lobe_amplitude_most(growth) == pytest.approx(most_um)


def test_the_spread_is_that_of_an_amplitude_and_a_feeling_that_nobody_knows() -> None:
    """Amplitude even from 0 to 10 µm, times anything even from -2 to 2: by simulation."""
    rng = np.random.default_rng(5)
    drawn = rng.uniform(0, 10, 400_000) * rng.uniform(-2, 2, 400_000)
    term = lobing_term(1.1)
    assert 1000 * term.sd == pytest.approx(drawn.std(), rel=0.01)
    assert term.mean == 0


def test_a_quiet_reamer_adds_nothing() -> None:
    assert lobing_term([0.1, 0.79]).sd.tolist() == [0.0, 0.0]
