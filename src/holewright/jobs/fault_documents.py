"""What fault finding says as plain JSON data; what its keys mean."""

from __future__ import annotations

from holewright.diagnosis.causes import causes
from holewright.diagnosis.evidence import From
from holewright.diagnosis.explain import signature_text, sources_of
from holewright.diagnosis.finding import Finding
from holewright.diagnosis.next_test import NextTest
from holewright.diagnosis.pattern import Trait
from holewright.diagnosis.quick_tests import quick_tests
from holewright.diagnosis.rank import RankedCause
from holewright.diagnosis.symptoms import symptoms
from holewright.jobs.documents import Document, job_head
from holewright.jobs.job import Job
from holewright.jobs.key_tables import JOB_HEAD, keys


def finding_document(job: Job, finding: Finding, sheet: str | None = None) -> Document:
    """Return a finding as JSON data.

    Parameters
    ----------
    job : Job
        The job.
    finding : Finding
        What was found.
    sheet : str, optional
        File of the printable test list, where one was written.
    """
    return job_head("finding", job) | {
        "sentence": finding.sentence,
        "act": finding.act,
        "seen": [
            {"code": code, "key": symptoms()[code].key, "name": symptoms()[code].name}
            for code in finding.seen
        ],
        "causes": [_cause_data(ranked, finding.seen) for ranked in finding.named],
        "pattern": {
            "holes": finding.pattern.holes,
            "traits": [
                {
                    "trait": str(feature.trait),
                    "value": feature.value,
                    "u": feature.u,
                    "unit": "ln" if feature.trait is Trait.SCATTER else "mm",
                }
                for feature in finding.pattern.features
            ],
        },
        "evidence": [
            {"from": str(piece.kind), "name": piece.name, "text": piece.text}
            for piece in finding.evidence
        ],
        "next": [_test_data(test) for test in finding.next],
        "conflicts": [
            {
                "about": conflict.about,
                "says": conflict.says,
                "source": conflict.source,
                "against": conflict.against,
                "against_source": conflict.against_source,
                "test": conflict.test,
            }
            for conflict in finding.conflicts
        ],
        "answers": [
            {
                "test": fact.test,
                "answer": quick_tests()[fact.test].answers[fact.answer].key,
                "text": fact.text,
            }
            for fact in finding.answers
        ],
        "tried": list(finding.tried),
        "cases": finding.cases,
        "cautions": list(finding.cautions),
        "sheet": sheet,
    }


def _cause_data(ranked: RankedCause, seen: tuple[str, ...]) -> Document:
    cause = causes()[ranked.cause]
    return {
        "cause": ranked.cause,
        "name": cause.name,
        "share": ranked.share,
        "share_by_what_is_seen": ranked.before,
        "signature": signature_text(ranked.cause),
        "how": cause.how,
        "remedy": cause.remedy,
        "sources": list(sources_of(ranked.cause, seen)),
        "weights": [
            {
                "from": str(weight.evidence.kind),
                "name": weight.evidence.name,
                "times": weight.times,
                "text": weight.evidence.text,
                "source": weight.evidence.source,
            }
            for weight in ranked.weights
            if weight.evidence.kind is not From.SEEN
        ],
    }


def _test_data(wanted: NextTest) -> Document:
    test = quick_tests()[wanted.test]
    return {
        "test": test.key,
        "kind": str(test.kind),
        "question": test.question,
        "how": test.how,
        "minutes": wanted.minutes,
        "bits": wanted.bits,
        "tells_apart": list(wanted.parts),
        "number": test.number,
        "answers": [
            {"key": answer.key, "words": answer.words, "meaning": answer.meaning}
            for answer in test.answers
        ],
        "safety": list(test.safety),
        "source": test.source,
    }


FINDING = (
    *JOB_HEAD,
    *keys("""
sentence | string |  | The answer in one sentence.
act | boolean |  | Whether the first cause is likely enough to be acted upon.
seen[] | object |  | What is seen.
seen[].code | string |  | Its code, T01 to T24.
seen[].key | string |  | Its word.
seen[].name | string |  | Its name.
causes[] | object |  | Causes worth naming, the likeliest first.
causes[].cause | string |  | Its key.
causes[].name | string |  | Its name.
causes[].share | number | share | Probability of it, one cause being at work.
causes[].share_by_what_is_seen | number | share | The same by what is seen alone.
causes[].signature | string |  | How its error goes.
causes[].how | string |  | How it comes about.
causes[].remedy | string |  | What to do.
causes[].sources[] | string |  | Who names it for what is seen.
causes[].weights[] | object |  | What speaks for and against it, the strongest first.
causes[].weights[].from | string |  | readings, job, answer or tried.
causes[].weights[].name | string |  | Trait or test.
causes[].weights[].times | number |  | How much likelier the finding is under it than otherwise.
causes[].weights[].text | string |  | What was found.
causes[].weights[].source | string |  | Who says what it means.
pattern | object |  | How the error goes, by the readings.
pattern.holes | number |  | Holes with a size.
pattern.traits[] | object |  | Traits that could be read.
pattern.traits[].trait | string |  | Which: offset, entry, exit, oval, lobes, drift, step, ….
pattern.traits[].value | number | see unit | Its value.
pattern.traits[].u | number | see unit | Its standard uncertainty.
pattern.traits[].unit | string |  | mm; ln for the logarithm of the scatter over the usual.
evidence[] | object |  | All that was heard.
evidence[].from | string |  | seen, readings, job, answer or tried.
evidence[].name | string |  | Code of the symptom, trait or test.
evidence[].text | string |  | What was found.
next[] | object |  | Tests worth making, the one that tells most for its time first.
next[].test | string |  | Its key, to answer it by.
next[].kind | string |  | quick fact, look or trial cut.
next[].question | string |  | What is to be found out.
next[].how | string |  | How.
next[].minutes | number | min | What it costs.
next[].bits | number | bit | How much it is expected to tell.
next[].tells_apart[] | string |  | Causes that it tells apart.
next[].number | string |  | Number that it reads: tir, reamer, conc, warm; empty for none.
next[].answers[] | object |  | Its answers.
next[].answers[].key | string |  | Key to type.
next[].answers[].words | string |  | The answer.
next[].answers[].meaning | string |  | What it means.
next[].safety[] | string |  | Safety lines that go with it.
next[].source | string |  | Who asks it.
conflicts[] | object |  | What the sources disagree about: to be tested, not believed.
conflicts[].about | string |  | The question.
conflicts[].says | string |  | One answer.
conflicts[].source | string |  | Who gives it.
conflicts[].against | string |  | The other.
conflicts[].against_source | string |  | Who gives it.
conflicts[].test | string |  | Test that settles it here.
answers[] | object |  | Tests answered, and what the readings said of themselves.
answers[].test | string |  | The test.
answers[].answer | string |  | Key of the answer.
answers[].text | string |  | The answer in words.
tried[] | string |  | Causes whose remedy was tried in vain.
cases | number |  | Cases of the shop's own in what was expected.
cautions[] | string |  | Safety and scope lines.
sheet | string or null |  | File of the printable test list; null where none was written.
"""),
)
