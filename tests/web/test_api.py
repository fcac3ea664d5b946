"""The JSON API: the same use cases as the pages, one shape of error, nothing written twice."""

from __future__ import annotations

import pytest

from holewright.jobs.documents import plan_document
from holewright.jobs.jobfile import read_job
from holewright.jobs.plan_hole import plan
from served_shop import BRAKELUND, JOB_A, JOB_B, JOB_D, PASSWORDS

V1 = "/api/v1"


def test_a_plan_is_the_same_document_as_on_the_command_line(still_client):
    job = read_job(BRAKELUND / "job_a.toml")
    said = still_client.get(f"{V1}/jobs/{JOB_A}/plan").json()
    assert said.pop("taken") is False
    wanted = plan_document(job, plan(job))
    assert said["operations"] == wanted["operations"]
    assert said["forecast"] == wanted["forecast"]
    assert (said["verdict"], said["sentence"]) == (wanted["verdict"], wanted["sentence"])


def test_limits_of_a_callout(still_client):
    said = still_client.get(f"{V1}/limits", params={"callout": "8 H7 x 22 through"}).json()
    # ISO 286-2: 8 H7 is 0 / +15 µm
    assert (said["lower_mm"], said["upper_mm"]) == (8.0, 8.015)


def test_a_job_is_made_changed_and_not_changed_behind_anybodys_back(shop_client):
    client = shop_client()
    fields = {"callout": "10 H7 x 20 through", "material": "42CrMo4", "part": "P-1"}
    made = client.post(f"{V1}/jobs", json={"fields": fields})
    assert made.status_code == 201
    job = made.json()
    assert (job["revision"], job["stage"]) == (1, "callout")
    url = f"{V1}/jobs/{job['id']}"
    change = {"fields": {**fields, "parts": "50"}, "base": 1, "why": "order came"}
    assert client.post(f"{url}/revisions", json=change).json()["revision"] == 2
    late = client.post(f"{url}/revisions", json={**change, "fields": fields})
    assert late.status_code == 409
    assert late.json()["type"] == "urn:holewright:problem:stale"
    assert client.get(url).json()["fields"]["parts"] == "50"


def test_a_route_is_taken_at_another_speed_and_feed_and_programmed(shop_client):
    client = shop_client()
    setting = {"v_c_m_min": 120.0, "f_mm_rev": 0.6}
    taken = client.post(f"{V1}/jobs/{JOB_A}/plan", json=setting)
    assert taken.status_code == 201
    ream = taken.json()["operations"][-1]
    assert (ream["v_c_m_min"], ream["f_mm_rev"]) == pytest.approx((120.0, 0.6))
    assert client.get(f"{V1}/jobs/{JOB_A}").json()["stage"] == "route"
    program = client.get(f"{V1}/jobs/{JOB_A}/program").json()
    assert f"S{ream['n_1_min']:.0f}" in program["text"]
    point = client.get(f"{V1}/jobs/{JOB_A}/window/point").json()
    assert point["v_c_m_min"] == pytest.approx(120.0)


def test_the_window_and_a_point_that_is_forbidden(still_client):
    window = still_client.get(f"{V1}/jobs/{JOB_A}/window").json()
    assert len(window["allowed"]) == len(window["v_c_m_min"])
    assert {"speed-high", "forecast-size"} <= {border["code"] for border in window["borders"]}
    said = still_client.get(f"{V1}/jobs/{JOB_A}/window/point", params={"v_c": 600, "f": 0.7}).json()
    assert "speed-high" in {reason["code"] for reason in said["broken"]}


def test_a_reading_that_is_sent_again_under_its_key_is_written_once(shop_client):
    client = shop_client()
    url = f"{V1}/jobs/{JOB_B}/readings"
    reading = {"hole": "1-1", "gauge": ".3127 X", "goes": True, "part_c": 20.0}
    headers = {"idempotency-key": "tablet-7-0001"}
    first = client.post(url, json=reading, headers=headers)
    again = client.post(url, json=reading, headers=headers)
    assert (first.status_code, again.status_code) == (201, 201)
    assert first.json()["id"] == again.json()["id"]
    other = client.post(url, json={**reading, "goes": False}, headers=headers)
    assert other.status_code == 422
    assert other.json()["field"] == "key"
    sheet = client.get(f"{V1}/jobs/{JOB_B}/gauge").json()
    assert len(sheet["holes"]["1-1"]["answers"]) == 1
    assert sheet["next_gauge"] == ".3130"
    back = {"idempotency-key": "tablet-7-0002"}
    for _ in range(2):  # taken back once, however often it is sent
        url_back = f"{url}/{first.json()['id']}/taken-back"
        assert client.post(url_back, headers=back).status_code == 201
    assert client.get(f"{V1}/jobs/{JOB_B}/gauge").json()["holes"] == {}


def test_readings_are_judged_a_verdict_kept_and_a_hold_refused_without_a_reason(shop_client):
    client = shop_client()
    empty = client.get(f"{V1}/jobs/{JOB_A}/verdict")
    assert (empty.status_code, empty.json()["type"]) == (422, "urn:holewright:problem:no-answer")
    for i in range(1, 5):
        for gauge, goes in (("8.00", True), ("8.01", False)):
            client.post(
                f"{V1}/jobs/{JOB_A}/readings",
                json={"hole": f"1-{i}", "gauge": gauge, "goes": goes},
            )
    said = client.get(f"{V1}/jobs/{JOB_A}/verdict", params={"lot": 1920}).json()
    assert said["verdict"] == "hold"
    assert client.get(f"{V1}/jobs/{JOB_A}/estimate").json()["good"] == 4
    kept = client.post(f"{V1}/jobs/{JOB_A}/verdict", json={"lot": 1920})
    assert kept.status_code == 201
    why = client.get(f"{V1}/jobs/{JOB_A}/why/inside-shown").json()
    # 4 good of 4: 0.05 ** (1 / 4) = 0.4729 at 95 %
    assert why["value"] == pytest.approx(0.05**0.25, abs=1e-4)
    refused = client.post(f"{V1}/jobs/{JOB_A}/stage", json={"to": "release", "lot": 1920})
    assert refused.status_code == 422
    assert refused.json()["detail"].startswith("It isn't released.")
    blank = client.post(f"{V1}/jobs/{JOB_A}/stage", json={"to": "hold", "why": " "})
    assert blank.json()["field"] == "why"
    held = client.post(f"{V1}/jobs/{JOB_A}/stage", json={"to": "hold", "why": "chips"})
    assert held.json()["stage"] == "on hold"
    refused = client.get(f"{V1}/jobs/{JOB_A}/program")
    assert refused.status_code >= 400
    assert "on hold" in refused.text
    wanted = client.get(f"{V1}/jobs/{JOB_A}/program", params={"despite_hold": True}).json()
    assert "ON HOLD" in wanted["text"].upper()
    page = client.get(f"/jobs/{JOB_A}/program").text
    assert "Write it nevertheless" in page
    assert "Blocks" in client.get(f"/jobs/{JOB_A}/program?despite_hold=true").text


READINGS = f"/jobs/{JOB_A}/readings"
PROBLEMS = [
    ("GET", "/jobs/77", None, 404, "input"),
    ("GET", "/jobs/x", None, 422, "shape"),
    ("GET", "/nowhere", None, 404, "http"),
    ("DELETE", f"/jobs/{JOB_A}", None, 405, "http"),
    ("GET", "/limits?callout=8+h7", None, 422, "ambiguous"),
    ("GET", "/limits?callout=nonsense", None, 422, "input"),
    ("GET", f"/jobs/{JOB_D}/window", None, 422, "no-answer"),
    ("GET", f"/jobs/{JOB_A}/why/nothing", None, 422, "input"),
    ("POST", "/jobs", {"fields": {"callout": "8 H7"}}, 422, "input"),
    ("POST", "/jobs", {"fields": {"callout": "8 H7", "colour": "red"}}, 422, "input"),
    ("POST", "/jobs", {"callout": "8 H7"}, 422, "shape"),
    ("POST", READINGS, {"hole": "1", "gauge": "8.00"}, 422, "input"),
    ("POST", READINGS, {"hole": "1", "gauge": "x", "goes": True}, 422, "input"),
    ("POST", READINGS, {"hole": "1", "gauge": "8.00", "goes": "yes"}, 422, "shape"),
    ("POST", READINGS, {"hole": "1", "gauge": "8.00", "size_mm": 8.0}, 422, "input"),
]  # fmt: skip


@pytest.mark.parametrize(("method", "path", "body", "status", "kind"), PROBLEMS)
def test_every_error_is_a_problem_of_one_shape(still_client, method, path, body, status, kind):
    token = still_client.get("/jobs/new").text.split('name="csrf" content="')[1][:64]
    headers = {"x-csrf-token": token}
    answer = still_client.request(method, V1 + path, json=body, headers=headers)
    assert answer.status_code == status
    assert answer.headers["content-type"] == "application/problem+json"
    said = answer.json()
    assert said["type"] == f"urn:holewright:problem:{kind}"
    assert said["status"] == status
    assert said["title"]
    assert said["detail"]
    if kind in ("input", "ambiguous"):
        assert {"field", "value", "accepted", "readings"} <= said.keys()


def test_the_description_names_every_request_and_loads_without_signing_in(shop_client):
    answer = shop_client(lan=True).get(f"{V1}/openapi.json")
    assert answer.status_code == 200
    said = answer.json()
    assert said["openapi"].startswith("3.")
    assert {"/jobs", "/jobs/{job_id}/readings", "/session", "/limits"} <= said["paths"].keys()
    for path, methods in said["paths"].items():
        for method, one in methods.items():
            assert one["description"], f"{method} {path} says nothing"


def test_signing_out_ends_a_token(shop_client):
    client = shop_client(lan=True)
    said = client.post(f"{V1}/session", json={"name": "cell", "password": PASSWORDS["reader"]})
    headers = {"authorization": f"Bearer {said.json()['token']}"}
    assert client.get(f"{V1}/jobs", headers=headers).status_code == 200
    assert client.delete(f"{V1}/session", headers=headers).status_code == 204
    assert client.get(f"{V1}/jobs", headers=headers).status_code == 401


def test_wrong_passwords_run_out_here_too(shop_client):
    client = shop_client(lan=True)
    wrong = {"name": "cell", "password": "not this one"}
    codes = [client.post(f"{V1}/session", json=wrong).status_code for _ in range(6)]
    assert codes == [403] * 5 + [429]
