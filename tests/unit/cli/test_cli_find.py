"""``holewright find`` as it is typed: the walk, the script, the document, the sheet, the book."""

from __future__ import annotations

import pytest
from typer.testing import CliRunner

from holewright.cli.main import app


@pytest.fixture(autouse=True)
def own_book(monkeypatch, tmp_path):
    """Keep the tests out of the user's own record book."""
    monkeypatch.setenv("HOLEWRIGHT_BOOK", str(tmp_path / "book.db"))


def walk(keys: str, *arguments: object) -> str:
    result = CliRunner().invoke(app, ["find", *map(str, arguments)], input=keys)
    assert result.exit_code == 0, result.stdout + result.stderr
    return result.stdout


def test_answers_given_ahead_are_not_asked_for(holewright, job_a):
    answer = holewright("find", job_a, "--seen", "retract-marks", "--answers", "retract=b")
    assert answer.code == 0
    assert answer.out.startswith("LIKELY  marks from coming out")
    assert "Most likely: rapid out while turning" in answer.out
    assert "How does the program come out? at rapid, turning." in answer.out
    assert "to 1 for it" in answer.out
    assert " > " not in answer.out


def test_the_page_shows_conflicts_tests_with_safety_and_cautions(holewright, job_a):
    out = " ".join(holewright("find", job_a, "--seen", "oversize", "--answers", "").out.split())
    assert "NOT YET CLEAR" in out
    assert "Where the sources disagree" in out
    assert "Believe neither, test it" in out
    assert "! Spindle stopped, and seen to stand still" in out
    assert "Advice, not an order" in out


def test_a_walk_asks_takes_keys_says_why_and_undoes(job_a):
    out = walk("w\nb\nu\nb\nx\nq\n", job_a, "--seen", "oversize,bell-mouth")
    assert "Next: What mark does the entry show?" in out
    assert "By what is seen alone" in out
    after = [line for line in out.splitlines() if line.startswith("Most likely")]
    assert len(after) >= 2
    assert "Tried in vain" not in after[0]
    # After x the first cause falls, and another leads.
    assert out.index("Not yet clear", out.rindex(after[-1])) > 0


def test_a_key_that_is_no_answer_is_refused_and_asked_again(job_a):
    out = walk("zz\nq\n", job_a, "--seen", "oversize")
    assert "Not taken: answer to" in out
    assert "must be one of a (" in " ".join(out.split())


def test_without_input_it_prints_the_page_and_ends(job_a):
    assert "Caution" in walk("", job_a, "--seen", "chatter")


def test_what_is_seen_is_asked_for_with_the_list_of_words(job_a):
    out = walk("oversize\nq\n", job_a)
    assert "bell-mouth" in out
    assert "oversize over the full depth" in out


def test_skipped_tests_do_not_come_again(job_a):
    out = walk("s\ns\nq\n", job_a, "--seen", "retract-marks")
    asked = [line for line in out.splitlines() if line.startswith("Next:")]
    assert len(asked) == len(set(asked)) == 3


def test_readings_are_read_and_shown(holewright, job_b, readings_b):
    found = holewright("find", job_b, "-s", "oversize", "-r", readings_b, "--json")
    assert found.code == 0
    traits = {t["trait"] for t in found.document["pattern"]["traits"]}
    assert "offset" in traits
    assert found.document["pattern"]["holes"] > 5
    page = holewright("find", job_b, "-s", "oversize", "-r", readings_b, "-a", "")
    assert "What the readings show" in page.out
    assert "tenths" in page.out


def test_the_document_ranks_explains_and_asks(holewright, job_a):
    found = holewright("find", job_a, "--seen", "T08", "--answers", "retract=b", "--json").document
    assert found["document"] == "finding"
    assert found["causes"][0]["cause"] == "rapid-out"
    assert found["causes"][0]["weights"][0]["times"] > 3
    assert found["act"] is True
    assert found["answers"] == [
        {
            "test": "retract",
            "answer": "b",
            "text": "How does the program come out? at rapid, turning.",
        }
    ]
    shares = [cause["share"] for cause in found["causes"]]
    assert shares == sorted(shares, reverse=True)


def test_the_sheet_is_written_once_unless_forced(holewright, job_a, tmp_path):
    file = tmp_path / "out" / "tests.html"
    first = holewright("find", job_a, "-s", "chatter", "-a", "", "--sheet", file)
    assert first.code == 0
    assert "Chatter marks" in file.read_text("utf-8")
    again = holewright("find", job_a, "-s", "chatter", "-a", "", "--sheet", file)
    assert again.code == 2
    assert "is there already" in again.err
    assert (
        holewright("find", job_a, "-s", "chatter", "-a", "", "--sheet", file, "--force").code == 0
    )


def test_what_it_was_is_kept_and_heard_the_next_time(holewright, job_a, tmp_path):
    before = holewright("find", job_a, "-s", "oversize", "--json").document
    for _ in range(4):
        kept = holewright("find", job_a, "-s", "oversize", "--found", "gauge-wrong", "--by", "Ann")
        assert kept.code == 0
        assert "kept in the record book" in kept.out
    after = holewright("find", job_a, "-s", "oversize", "--json").document
    assert (before["cases"], after["cases"]) == (0, 4)

    def share(document):
        causes = {c["cause"]: c["share"] for c in document["causes"]}
        return causes.get("gauge-wrong", 0.0)

    assert share(after) > 2 * max(share(before), 0.02)


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--seen", "huge"), "seen = huge: must be one of oversize"),
        (("--seen", "oversize", "--answers", "loupe=z"), "answer to loupe = z"),
        (("--seen", "oversize", "--found", "gremlins"), "cause = gremlins"),
        (("--json",), "must name at least one symptom"),
    ],
)
def test_what_cannot_be_used_ends_with_code_2_and_one_line(holewright, job_a, arguments, said):
    answer = holewright("find", job_a, *arguments)
    assert answer.code == 2
    assert said in answer.err


def test_a_named_book_that_is_not_there_is_said(holewright, job_a, tmp_path):
    answer = holewright("find", job_a, "-s", "oversize", "-a", "", "--book", tmp_path / "no.db")
    assert answer.code == 2


def test_plain_writes_ascii(holewright, job_a):
    holewright("find", job_a, "-s", "oversize", "-a", "", "--plain").out.encode("ascii")


def test_a_job_that_is_not_reamed_is_asked_about_all_the_same(holewright, job_d):
    answer = holewright("find", job_d, "-s", "position", "-a", "")
    assert answer.code == 0
    assert "off position" in answer.out
