"""The API beyond the plan: life, plate, fault finding, the program read back, the tool room."""

from __future__ import annotations

import pytest

from served_shop import JOB_A

V1 = "/api/v1"


def test_a_plate_is_laid_out_and_says_what_its_order_costs(shop_client):
    client = shop_client()
    said = client.post(f"{V1}/jobs/{JOB_A}/plate", json={"see": "3 µm"})
    assert said.status_code == 200
    assert said.json()["document"] == "plate"
    wrong = client.post(f"{V1}/jobs/{JOB_A}/plate", json={"order": "sideways"})
    assert wrong.status_code == 422
    assert wrong.json()["field"] == "order"


def test_causes_come_in_order_with_the_test_that_tells_most(shop_client):
    client = shop_client()
    said = client.post(f"{V1}/jobs/{JOB_A}/finding", json={"seen": ["oversize"]})
    assert said.status_code == 200
    assert said.json()["document"]
    assert client.post(f"{V1}/jobs/{JOB_A}/finding", json={"seen": ["purple"]}).status_code == 422


def test_the_program_is_read_back_and_timed(still_client):
    back = still_client.get(f"{V1}/jobs/{JOB_A}/backplot").json()
    assert [len(tool["holes"]) for tool in back["tools"]] == [4] * len(back["tools"])
    assert back["clashes"] == []
    assert still_client.get(f"{V1}/jobs/{JOB_A}/time").json()["document"] == "time"


def test_life_without_readings_is_no_answer_and_says_what_it_needs(still_client):
    said = still_client.get(f"{V1}/jobs/{JOB_A}/life")
    assert said.status_code >= 400
    assert said.headers["content-type"].startswith("application/problem+json")


def test_tools_are_listed_near_a_size_and_a_new_one_is_written_down(shop_client):
    client = shop_client()
    listed = client.get(f"{V1}/tools/reamer", params={"near_mm": 8}).json()
    assert listed["count"] >= 1
    assert listed["tools"]
    assert "label" in listed["fields"]
    fields = {"id": "R new", "label": "8 H7", "kind": "HSS", "measured": "8.009", "unit": "mm"}
    made = client.post(f"{V1}/tools/reamer", json={"fields": fields})
    assert made.status_code == 201, made.text
    assert made.json()["size_mm"] == pytest.approx(8.009)
    again = client.post(f"{V1}/tools/reamer", json={"fields": fields})
    assert again.status_code == 422
    assert client.get(f"{V1}/tools/teapot").status_code == 422
