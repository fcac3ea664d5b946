"""Agreement of go/no-go checks, against statsmodels and Fleiss' own example.

`kappa.json`: Cohen's kappa with standard errors from statsmodels 0.15.0; the Fleiss table is the
ten parts, five answers and fourteen raters that are usually taught with the method, printed
.210 (value from memory). The standard errors are also checked live against statsmodels.
"""

import json
from pathlib import Path

import numpy as np
import pytest
from statsmodels.stats import inter_rater

from holewright.errors import NoAnswerError, OutOfRangeError
from holewright.gauging.agreement import (
    against_truth,
    agreement_warnings,
    cohen_kappa,
    fleiss_kappa,
)

DATA = json.loads((Path(__file__).parents[1] / "data" / "kappa.json").read_text("utf-8"))


def test_two_people():
    found = cohen_kappa(DATA["cohen_table"])
    assert found.kappa == pytest.approx(DATA["cohen"], rel=1e-12)
    assert found.se == pytest.approx(DATA["cohen_se"], rel=1e-12)
    assert found.se_chance == pytest.approx(DATA["cohen_se0"], rel=1e-12)
    assert found.interval == pytest.approx(DATA["cohen_ci"], rel=1e-12)


def test_go_no_go():
    found = cohen_kappa(DATA["gonogo_table"])
    assert found.kappa == pytest.approx(DATA["gonogo"]["kappa"], rel=1e-12)
    assert found.se == pytest.approx(DATA["gonogo"]["se"], rel=1e-12)
    assert found.interval == pytest.approx(DATA["gonogo"]["ci"], rel=1e-12)


def test_three_answers_that_are_not_symmetric():
    table = np.array([[30, 4, 1], [9, 25, 6], [2, 3, 20]])
    ours, theirs = cohen_kappa(table), inter_rater.cohens_kappa(table)
    assert ours.kappa == pytest.approx(theirs.kappa, rel=1e-12)
    assert ours.se == pytest.approx(theirs.std_kappa, rel=1e-12)
    assert ours.se_chance == pytest.approx(theirs.std_kappa0, rel=1e-12)


def test_fourteen_people():
    found = fleiss_kappa(DATA["fleiss_table"])
    assert found.kappa == pytest.approx(DATA["fleiss"], rel=1e-12)
    assert found.kappa == pytest.approx(DATA["fleiss_published"], abs=5e-4)
    assert found.agreed == pytest.approx(0.378, abs=5e-4)
    assert found.by_chance == pytest.approx(0.213, abs=5e-4)


def test_standard_error_of_fleiss_kappa_against_simulation():
    # Three people right 9 times in 10 on 60 parts, half of them bad.
    rng = np.random.default_rng(1971)
    kappas, errors = [], []
    for _ in range(500):
        truth = rng.random(60) < 0.5
        said = truth[:, None] ^ (rng.random((60, 3)) > 0.9)
        counts = np.stack([said.sum(axis=1), 3 - said.sum(axis=1)], axis=1)
        found = fleiss_kappa(counts)
        kappas.append(found.kappa)
        errors.append(found.se)
    # 500 simulations know a standard deviation to 3 %; three times that.
    assert np.mean(errors) == pytest.approx(np.std(kappas), rel=0.10)


def test_standard_error_of_chance_for_fleiss_against_simulation():
    rng = np.random.default_rng(1979)
    counts = rng.multinomial(5, [0.3, 0.7], size=(2000, 40))
    found = [fleiss_kappa(c) for c in counts]
    spread = np.std([f.kappa for f in found])
    assert np.mean([f.se_chance for f in found]) == pytest.approx(spread, rel=0.06)


def test_nearly_all_good_collapses_kappa_and_is_warned_of():
    table = [[1, 2], [2, 95]]  # 96 % agreement
    found = cohen_kappa(table)
    assert found.agreed == pytest.approx(0.96)
    assert found.kappa < 0.4
    assert [w.code for w in agreement_warnings(table)] == ["nearly-all-alike"]


def test_one_answer_for_all_parts_is_no_agreement_to_speak_of():
    with pytest.raises(NoAnswerError, match="near and beyond the limits"):
        cohen_kappa([[0, 0], [0, 50]])
    with pytest.raises(NoAnswerError, match="near and beyond the limits"):
        fleiss_kappa([[3, 0]] * 10)


def test_misses_and_false_alarms_of_the_go_no_go_table():
    found = against_truth(DATA["gonogo_table"])
    assert found.misses == pytest.approx(6 / 50)
    assert found.false_alarms == pytest.approx(3 / 100)
    assert found.false_alarms_upper == pytest.approx(0.07571079374983, rel=1e-10)  # binomial.json
    assert [w.code for w in found.warnings] == ["misses"]


def test_no_miss_in_twenty_bad_parts_is_not_yet_good():
    found = against_truth([[20, 0], [0, 40]])
    assert found.misses == 0
    assert [w.code for w in found.warnings] == ["misses-not-shown"]


def test_a_study_without_bad_parts_is_refused():
    with pytest.raises(OutOfRangeError, match="both kinds must be in the study"):
        against_truth([[0, 0], [1, 40]])
