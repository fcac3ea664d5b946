"""What the shop's own jobs do to the next forecast."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from holewright.callout.callout import Limits
from holewright.errors import OutOfRangeError
from holewright.sizing.forecast import Forecast
from holewright.sizing.history import Deviation, Kin, hear
from holewright.sizing.learning import HISTORY, SETUP_SD, Outcome, learn
from holewright.uncertainty import SizeDistribution, Tag, Term

LIMITS = Limits(8.000, 8.015)
UM = 1e-3


def term(name, mean, sd, varies=0.0, tag=Tag.DEFAULT):
    return Term(name, mean * UM, sd * UM, tag, "handbook", "", varies * UM)


def handbook(DC=8.0095, fluid=(-2.0, 2.0), recovery=(-2.0, 1.5), runout=(3.0, 1.0)):
    """Return the forecast of a reamed hole as the handbook has it."""
    size = SizeDistribution(
        (
            Term("reamer", DC, 0.8 * UM, Tag.MEASURED, "micrometer"),
            term("fluid", *fluid, 0.3 * fluid[1]),
            term("spring-back", *recovery, 0.3 * recovery[1]),
            term("runout", *runout),
            term("wear", -0.5, 0.6, 0.3),
            term("settings", 0.5, 0.7, 0.35),
            term("scatter", 0.0, 2.5, 2.5),
        )
    )
    return Forecast(size, LIMITS)


KIN = {
    Kin.MATERIAL: "16MnCr5",
    Kin.COOLANT: "soluble",
    Kin.TOOL_KIND: "coated carbide",
    Kin.MACHINE: "mill 3",
}


def outcome(name, off, kin=None, sd=0.0015, u_mean=0.0004, forecast=None):
    size = (forecast or handbook()).size
    return Outcome(
        name, {**KIN, **(kin or {})}, size, size.mean + off * UM, u_mean, sd=sd, u_log_sd=0.12
    )


def one_kin(value=0.0, u=0.0, name="16MnCr5", spread=2.0, own=0.0):
    return Deviation("job", {Kin.MATERIAL: name}, {Kin.MATERIAL: spread}, own, value, u)


def test_jobs_of_one_kind_are_weighed_as_the_handbook_formula_has_it():
    # Handbook, sizing model: (prior/sd0² + n mean/sd_m²)/(1/sd0² + n/sd_m²). Prior 10, sd0 2 by
    # the handbook; three jobs 3, 4 and 3.5 above it, each known to 1.
    found = hear(one_kin(), 10.0, [one_kin(d, 1.0) for d in (3.0, 4.0, 3.5)])
    sd0 = 2.0 * found.handbook
    by_hand = 10 + (3 * 3.5) / (1 / sd0**2 + 3)
    assert found.mean == pytest.approx(by_hand, rel=1e-9)
    assert found.sd == pytest.approx((1 / sd0**2 + 3) ** -0.5, rel=1e-9)
    assert found.jobs == 3


def test_without_history_the_handbook_stands():
    found = hear(one_kin(), 10.0, [])
    assert (found.mean, found.sd, found.data) == (10.0, 2.0, None)
    learned = learn(handbook(), KIN, [])
    assert learned.forecast == learned.prior


def test_a_job_that_shares_nothing_moves_nothing_but_may_widen_the_handbook():
    strange = [one_kin(9.0, 0.3, name=f"alloy {i}") for i in range(6)]
    found = hear(one_kin(), 10.0, strange)
    assert found.mean == 10.0
    assert found.jobs == 0
    assert found.handbook > 1.3  # six materials 4.5 spreads off: the handbook is too sure of itself


def test_a_job_that_agrees_with_the_handbook_makes_it_surer():
    calm = [one_kin(0.1 * (-1) ** i, 0.3, name=f"alloy {i}") for i in range(8)]
    assert hear(one_kin(), 0.0, calm).handbook < 0.9


def test_two_jobs_do_not_overthrow_the_handbook():
    found = hear(one_kin(), 0.0, [one_kin(12.0, 0.3, name="a"), one_kin(-11.0, 0.3, name="b")])
    assert found.handbook < 3


def test_what_the_data_say_alone_turns_prior_into_posterior():
    found = hear(one_kin(), 10.0, [one_kin(3.0, 1.0)])
    value, u = found.data
    precision = 1 / found.prior_sd**2 + 1 / u**2
    assert found.mean == pytest.approx(
        (found.prior_mean / found.prior_sd**2 + value / u**2) / precision, rel=1e-12
    )
    assert found.sd == pytest.approx(precision**-0.5, rel=1e-12)


def test_a_part_of_its_own_stays_uncertain_however_many_jobs_came_before():
    many = [one_kin(3.0 + 0.5 * (-1) ** i, 0.2, own=1.0) for i in range(80)]
    assert hear(one_kin(own=1.0), 0.0, many).sd > 0.4


def test_nonsense_is_refused():
    with pytest.raises(OutOfRangeError, match="0 or more"):
        hear(one_kin(spread=-1.0), 0.0, [])


def test_the_corrected_forecast_moves_by_what_came_and_is_surer():
    past = [outcome(f"job {i}", off) for i, off in enumerate((-3.1, -2.6, -3.4, -2.8))]
    learned = learn(handbook(), KIN, past, drift=(-1e-6, 0.8e-6))
    shift = learned.forecast.mean - learned.prior.mean
    assert -3.2 * UM < shift < -2.0 * UM
    assert learned.forecast.sd < learned.prior.sd
    assert learned.forecast.size.sd_between_holes < learned.prior.size.sd_between_holes
    history = next(t for t in learned.forecast.size.terms if t.name == HISTORY)
    assert history.mean == pytest.approx(shift)
    assert history.tag is Tag.COMPUTED
    assert "4 earlier jobs of this shop" in history.source


def test_scatter_is_learned_as_a_factor():
    past = [outcome(f"job {i}", 0.0, sd=0.0013) for i in range(6)]
    learned = learn(handbook(), KIN, past)
    ratio = math.exp(learned.scatter.mean - learned.scatter.prior_mean)
    wanted = 0.0013 / handbook().size.sd_between_holes
    assert wanted < ratio < math.sqrt(wanted)


def test_drift_is_learned_from_tools_that_were_followed():
    followed = [
        replace(
            outcome(f"job {i}", 0.0),
            drift=-4e-6,
            u_drift=0.5e-6,
            drift_forecast=-1e-6,
            u_drift_forecast=0.8e-6,
        )
        for i in range(4)
    ]
    learned = learn(handbook(), KIN, followed, drift=(-1e-6, 0.8e-6))
    assert -4e-6 < learned.drift.mean < -2e-6
    assert learned.drift.jobs == 4


def test_a_reamer_known_by_its_label_alone_teaches_less():
    rough = Term("reamer", 8.0095, 4 * UM, Tag.STANDARD, "label")
    sizes = handbook().size.terms[1:]
    unknown = Forecast(SizeDistribution((rough, *sizes)), LIMITS)
    by_label = learn(handbook(), KIN, [outcome("a", -3.0, forecast=unknown)])
    measured = learn(handbook(), KIN, [outcome("a", -3.0)])
    assert abs(by_label.offset.mean - by_label.offset.prior_mean) < abs(
        measured.offset.mean - measured.offset.prior_mean
    )


def test_each_kin_says_how_many_jobs_speak_for_it():
    past = [
        outcome("a", -3.0),
        outcome("b", -2.5, {Kin.MATERIAL: "6061-T6"}),
        outcome("c", 1.0, {Kin.MATERIAL: "6061-T6", Kin.COOLANT: "neat oil"}),
    ]
    shares = {share.kin: share for share in learn(handbook(), KIN, past).offset.shares}
    assert (shares[Kin.MATERIAL].jobs, shares[Kin.COOLANT].jobs) == (1, 2)
    assert (shares[Kin.TOOL_KIND].jobs, shares[Kin.MACHINE].jobs) == (3, 3)
    assert shares[Kin.COOLANT].mean < 0
    assert shares[Kin.COOLANT].sd < shares[Kin.COOLANT].prior_sd


def shop_with_a_truth(rng, jobs):
    """Return jobs of an invented shop whose materials, coolants … all have their own truth."""
    names = {
        Kin.MATERIAL: ["16MnCr5", "6061-T6", "GJL-250"],
        Kin.COOLANT: ["soluble", "neat oil"],
        Kin.TOOL_KIND: ["HSS", "coated carbide"],
        Kin.MACHINE: ["mill 3", "mill 7"],
    }
    prior = handbook()
    sd = {
        Kin.MATERIAL: 1.5 * math.sqrt(1 - 0.09),
        Kin.COOLANT: 2.0 * math.sqrt(1 - 0.09),
        Kin.TOOL_KIND: math.sqrt(0.6**2 - 0.3**2),
        Kin.MACHINE: 1.0,
    }
    own = math.hypot(SETUP_SD / UM, math.sqrt(0.7**2 - 0.35**2))
    truth = {k: {n: rng.normal(0, sd[k]) for n in names[k]} for k in Kin}
    made = []
    for i in range(jobs):
        kin = {k: str(rng.choice(names[k])) for k in Kin}
        off = sum(truth[k][kin[k]] for k in Kin) + rng.normal(0, own) + rng.normal(0, 0.8)
        mean = prior.mean + off * UM
        made.append((kin, mean, Outcome(f"job {i}", kin, prior.size, mean + rng.normal(0, 0.4) * UM,
                                        0.4 * UM, sd=0.002, u_log_sd=0.12)))  # fmt: skip
    return made


def test_twenty_jobs_make_the_next_forecast_nearer_and_narrower_and_no_less_true():
    """150 invented shops with 20 jobs each forecast their 21st: mean of its holes, 95 %."""
    rng = np.random.default_rng(12)
    misses, widths, covered = {"before": [], "after": []}, {"before": [], "after": []}, 0
    shops = 150
    for _ in range(shops):
        made = shop_with_a_truth(rng, 21)
        kin, came, _ = made[-1]
        learned = learn(handbook(), kin, [one for _, _, one in made[:-1]])
        for when, forecast in (("before", learned.prior), ("after", learned.forecast)):
            size = forecast.size
            sd = math.sqrt(size.sd**2 - size.sd_between_holes**2)
            misses[when].append(came - size.mean)
            widths[when].append(2 * 1.96 * sd)
        covered += abs(misses["after"][-1]) < widths["after"][-1] / 2
    rms = {when: float(np.sqrt(np.mean(np.square(m)))) for when, m in misses.items()}
    width = {when: float(np.mean(w)) for when, w in widths.items()}
    assert rms["after"] < 0.75 * rms["before"], rms
    assert width["after"] < 0.75 * width["before"], width
    # 95 % of 150 within three standard errors of a share, 5 %.
    assert abs(covered / shops - 0.95) < 0.055, covered / shops


@pytest.mark.slow
def test_learning_holds_also_where_the_handbook_is_twice_as_sure_as_it_should_be():
    """The same with every truth twice as far out: the factor on the handbook has to mend it."""
    rng = np.random.default_rng(13)
    covered = {"before": 0, "after": 0}
    shops = 300
    for _ in range(shops):
        made = shop_with_a_truth(rng, 21)
        prior = handbook()
        far = []
        for kin, mean, one in made:
            shift = mean - prior.mean
            far.append((kin, mean + shift, replace(one, mean=one.mean + shift)))
        kin, came, _ = far[-1]
        learned = learn(prior, kin, [one for _, _, one in far[:-1]])
        for when, forecast in (("before", learned.prior), ("after", learned.forecast)):
            size = forecast.size
            sd = math.sqrt(size.sd**2 - size.sd_between_holes**2)
            covered[when] += abs(came - size.mean) < 1.96 * sd
    assert covered["before"] / shops < 0.80, covered
    assert covered["after"] / shops > 0.86, covered
