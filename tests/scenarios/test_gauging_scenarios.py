"""Readings to verdict, one invented job for every outcome, and the cold part (A13).

The numbers are invented; verdict, key numbers and caution are what practice expects (common
practice, no source, unless a test says otherwise).
"""

from __future__ import annotations

import csv
from datetime import date, timedelta
from pathlib import Path

import pytest
from typer.testing import CliRunner

from holewright.cli.main import app
from holewright.gauging.reading import Reading
from holewright.jobs.jobfile import read_job
from holewright.jobs.readingsfile import read_readings
from holewright.jobs.release import judge
from holewright.jobs.take_readings import estimate_size
from holewright.proof.verdict import Decision

TODAY = date(2026, 11, 25)

SHOP = """
[shop]
name = "invented tool room"
unit = "mm"
pins = "pins.csv"
[[bore_gauge]]
id = "bore gauge"
kind = "two-point"
u = "1 µm"
resolution = "1 µm"
"""

PINS = {
    # GO and NO-GO of 8 H7 that prove their limits, and those that prove a hole outside.
    "known": "8.000,8.0005,0.2 µm\n8.015,8.0145,0.2 µm\n7.998,7.9985,0.2 µm\n8.017,8.0165,0.2 µm\n",
    # As bought: a plus pin on the lower limit is a GO, a plus pin below the upper one is none.
    "class ZZ": "8.000,,\n8.010,,\n8.012,,\n",
}


@pytest.fixture
def shop(tmp_path):
    """Write a job of dowel holes 8 H7 with its tool room, and return its readings judged."""

    class Bench:
        def __init__(self) -> None:
            self.job_file = tmp_path / "job.toml"
            self.pins()
            (tmp_path / "shop.toml").write_text(SHOP, "utf-8")
            self.job()

        def pins(self, which: str = "known", due: str = "") -> None:
            head = "marked,calibrated,u,sense,grade,due\n"
            rows = "".join(
                f"{row},plus,{'' if row.split(',')[1] else 'ZZ'},{due}\n"
                for row in PINS[which].splitlines()
            )
            (tmp_path / "pins.csv").write_text(head + rows, "utf-8")

        def job(self, callout: str = "8 H7 x 22 through", material: str = "16MnCr5",
                more: str = "") -> None:  # fmt: skip
            self.job_file.write_text(
                f'[job]\nname = "invented"\ninvented = true\nunits = "mm"\n'
                f'[hole]\ncallout = "{callout}"\n[material]\nname = "{material}"\n'
                f'[shop]\nfile = "shop.toml"\n{more}',
                "utf-8",
            )

        def readings(self, *rows: tuple[str, ...]) -> Path:
            path = tmp_path / "r.csv"
            with path.open("w", encoding="utf-8", newline="") as file:
                writer = csv.writer(file)
                writer.writerow(("hole", "gauge", "result", "size", "part_temp", "gauge_temp"))
                writer.writerows(rows)
            return path

        def verdict(self, *rows: tuple[str, ...], lot: int | None = None, **options: object):
            job = read_job(self.job_file)
            readings = read_readings(self.readings(*rows), job.shop, part_c=job.part_c)
            return judge(job, estimate_size(job, readings, today=TODAY), lot=lot, **options)

        def said(self, *rows: tuple[str, ...], options: tuple[str, ...] = ()):
            arguments = ["verdict", str(self.job_file), "-r", str(self.readings(*rows)), *options]
            result = CliRunner().invoke(app, arguments)
            return result.exit_code, " ".join(result.stdout.split())

    return Bench()


def good(*holes: str) -> list[tuple[str, ...]]:
    """Return GO goes and NO-GO does not, hole by hole."""
    return [
        row for hole in holes for row in ((hole, "8.000", "goes"), (hole, "8.015", "does not go"))
    ]


def numbered(n: int) -> list[str]:
    return [f"h{i}" for i in range(n)]


def everything(verdict) -> str:
    return " ".join(
        (
            verdict.sentence,
            *map(str, verdict.because),
            *(s.text for s in verdict.next),
            *verdict.cautions,
        )
    )


class TestA13ColdPart:
    """Ø32 H7 in aluminium from a 5 °C store, steel pin at 20 °C, bore gauge reads +14 µm."""

    READS = ("1", "bore gauge", "", "32.014 mm", "5 C", "20 C")

    @pytest.fixture
    def cold(self, shop):
        shop.job("32 H7 x 40 through", "6061-T6")
        return shop

    def test_at_20_degrees_it_is_about_25_3_µm_over(self, cold):
        job = read_job(cold.job_file)
        readings = read_readings(cold.readings(self.READS), job.shop)
        (hole,) = estimate_size(job, readings).holes
        assert (hole.lower - 32) * 1000 == pytest.approx(25.3, abs=0.15)  # shrunk by 11.3

    def test_it_is_not_passed_but_soaked_and_measured_again(self, cold):
        verdict = cold.verdict(self.READS)
        assert verdict.decision is Decision.HOLD
        assert verdict.because[0].code == "temperature-gap"
        said = everything(verdict)
        assert "soak" in said
        assert "measure again" in said
        assert "Let part and gauges lie together" in verdict.next[0].text

    def test_not_even_where_all_holes_would_be_inside(self, cold):
        rows = [(f"{i}", "bore gauge", "", "32.000 mm", "5 C", "20 C") for i in range(400)]
        assert cold.verdict(*rows).decision is Decision.HOLD

    def test_nobody_can_have_it_passed_anyway(self, cold):
        code, said = cold.said(self.READS, options=("--pass-anyway", "1"))
        assert code == 1
        assert "refused" in said

    def test_the_same_reading_warm_would_hide_an_undersize(self, cold):
        """At 35 °C a hole that reads 32.005 is too small: the gauge alone would pass it."""
        job = read_job(cold.job_file)
        warm = [Reading("1", "bore gauge", size=32.005, part_c=35.0)]
        assert estimate_size(job, warm).bad == 1

    def test_soaked_the_same_hole_is_judged_by_its_size(self, cold):
        rows = [("1", "bore gauge", "", "32.0253 mm", "20 C", "20 C")]
        verdict = cold.verdict(*rows)
        assert "temperature-gap" not in [r.code for r in verdict.because]
        assert verdict.decision is Decision.HOLD  # on the limit: neither inside nor outside


def test_release(shop):
    verdict = shop.verdict(*good(*numbered(299)))
    assert verdict.decision is Decision.RELEASE
    assert verdict.sentence == "Release: at least 99.0 % of holes are inside, 95 % sure."
    assert verdict.next == ()
    assert "Stop the spindle" in everything(verdict)


def test_hold_too_few_says_how_many_more(shop):
    verdict = shop.verdict(*good(*numbered(30)))
    assert verdict.decision is Decision.HOLD
    assert verdict.because[0].code == "share-not-shown"
    assert verdict.next[0].holes == 269


def test_hold_the_pin_is_the_limit_says_calibrate_it(shop):
    """A plus ZZ pin marked 8.012 may be 8.0171: as NO-GO it proves nothing at 8.015."""
    shop.pins("class ZZ")
    rows = [
        row
        for hole in numbered(40)
        for row in (
            (hole, "8.000", "goes"),
            (hole, "8.010", "goes"),
            (hole, "8.012", "does not go"),
        )
    ]
    verdict = shop.verdict(*rows)
    assert verdict.decision is Decision.HOLD
    said = everything(verdict)
    assert "A hundred more holes would not help: the pin is the limit; calibrate it." in said
    # And it is true: ten times the holes with the same pins show nothing either.
    more = [(f"{k}-{hole}", gauge, result) for k in range(10) for hole, gauge, result in rows]
    assert shop.verdict(*more).decision is Decision.HOLD


def test_hold_contradiction_says_gauge_again(shop):
    rows = [*good(*numbered(400)), ("odd", "8.017", "goes"), ("odd", "8.000", "does not go")]
    verdict = shop.verdict(*rows)
    assert verdict.decision is Decision.HOLD
    assert verdict.because[0].code == "readings-contradict"
    assert "Gauge again" in verdict.next[0].text
    assert "hole odd" in everything(verdict).lower()


def test_reject_hole_sets_it_aside_and_looks_back(shop):
    rows = [*good(*numbered(400)), ("big", "8.000", "goes"), ("big", "8.017", "goes")]
    verdict = shop.verdict(*rows)
    assert verdict.decision is Decision.HOLD
    assert verdict.because[0].code == "holes-outside"
    assert "hole big" in verdict.next[0].text
    assert "every hole made since the last good check" in verdict.next[0].text


def test_cannot_tell_is_neither_passed_nor_thrown_away(shop):
    """GO 8.0005 does not go, 7.9985 goes: the hole may be on either side of 8.000."""
    rows = [*good(*numbered(50)), ("low", "8.000", "does not go"), ("low", "7.998", "goes")]
    verdict = shop.verdict(*rows)
    assert verdict.decision is Decision.HOLD
    assert "none-outside" in [r.code for r in verdict.because]
    assert "unsure-count-as-not-good" in [r.code for r in verdict.because]
    assert "Check hole low" in verdict.next[0].text


def test_an_expired_pin_holds_until_it_is_calibrated(shop):
    shop.pins(due=str(TODAY - timedelta(days=1)))
    verdict = shop.verdict(*good(*numbered(299)))
    assert verdict.decision is Decision.HOLD
    assert verdict.because[0].code == "calibration-overdue"
    assert "pin 8.000" in verdict.because[0].text
    assert "Have calibrated before the release: pin 8.000, pin 8.015" in everything(verdict)
    shop.pins(due=str(TODAY))
    assert shop.verdict(*good(*numbered(299))).decision is Decision.RELEASE


def test_an_expired_pin_is_said_among_what_limits_the_knowledge(shop):
    shop.pins(due=str(TODAY - timedelta(days=40)))
    job = read_job(shop.job_file)
    readings = read_readings(shop.readings(*good("1")), job.shop)
    first = estimate_size(job, readings, today=TODAY).limits_of_knowledge[0]
    assert first.code == "calibration-overdue"
    assert first.value == 40


def test_refuse_to_pass_a_failed_go(shop):
    """Refusal (j) of the shop's list: somebody asks to pass a failed GO."""
    rows = [
        *good(*numbered(400)),
        ("tight", "8.000", "does not go"),
        ("tight", "7.998", "does not go"),
    ]
    code, said = shop.said(*rows, options=("--pass-anyway", "tight"))
    assert code == 1
    assert said.startswith("HOLD")
    assert "Asked to pass hole tight although the gauge does not: refused." in said
    assert "concession in writing" in said
    unknown, _ = shop.said(*rows, options=("--pass-anyway", "nowhere"))
    assert unknown == 2


def test_demands_are_inputs(shop):
    rows = good(*numbered(60))
    assert shop.verdict(*rows).decision is Decision.HOLD
    shop.job(more='[demands]\ninside = "95 %"\nconfidence = "95 %"\n')
    assert shop.verdict(*rows).decision is Decision.RELEASE
    # A larger guard factor asks a bore gauge to keep farther from the limits.
    near = [(f"h{i}", "bore gauge", "", "8.0130 mm") for i in range(60)]
    assert shop.verdict(*near).decision is Decision.RELEASE
    shop.job(more='[demands]\ninside = "95 %"\nguard = 3\n')
    assert shop.verdict(*near).decision is Decision.HOLD
