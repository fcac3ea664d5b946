"""Who gets in, from where, with how much, and what a browser may do with a page."""

from __future__ import annotations

import re
from typing import ClassVar

import pytest

from served_shop import HERE, JOB_A, PASSWORDS

STEPS = (
    "callout", "route", "window", "program", "plate", "gauge", "verdict", "life", "faults",
    "faults?seen=T01", "why/torque", "sheets/setup", "sheets/setup.pdf", "program.ngc",
)  # fmt: skip


def token_of(client, path="/jobs/new") -> str:
    return re.search(r'name="csrf" content="(\w+)"', client.get(path).text)[1]


def sign_in(client, role: str, name: str = "M. Holm"):
    form = {"name": name, "password": PASSWORDS[role], "next": "/"}
    return client.post("/sign-in", data=form)


class TestOnThisComputer:
    def test_it_asks_for_nothing(self, shop_client):
        assert shop_client().get("/").status_code == 200

    @pytest.mark.parametrize("host", ["evil.example", "127.0.0.1.evil.example", "10.0.0.7:8765"])
    def test_another_name_is_turned_away_so_that_no_site_can_rebind_itself_to_it(
        self, shop_client, host
    ):
        assert shop_client().get("/", headers={"host": host}).status_code == 421

    @pytest.mark.parametrize("host", ["localhost:8765", "127.0.0.1", "[::1]:8765"])
    def test_its_own_names_are_let_in(self, shop_client, host):
        assert shop_client().get("/", headers={"host": host}).status_code == 200


class TestForms:
    def test_a_form_without_its_token_changes_nothing(self, shop_client):
        client = shop_client()
        client.get("/")
        answer = client.post("/jobs/new", data={"callout": "9 H7", "material": "1018"})
        assert answer.status_code == 403
        assert "9 H7" not in client.get("/").text

    def test_the_token_of_another_session_is_no_good(self, shop_client):
        one, other = shop_client(), shop_client()
        form = {"callout": "9 H7", "material": "1018", "csrf": token_of(other)}
        one.get("/")
        assert one.post("/jobs/new", data=form).status_code == 403

    def test_with_its_token_it_is_taken(self, shop_client):
        client = shop_client()
        form = {"callout": "9 H7", "material": "1018", "csrf": token_of(client)}
        assert client.post("/jobs/new", data=form).status_code == 303

    @pytest.mark.parametrize(
        "headers",
        [
            {"origin": "http://evil.example"},
            {"origin": "null"},
            {"sec-fetch-site": "cross-site"},
            {"sec-fetch-site": "same-site"},
        ],
    )
    def test_a_form_on_another_site_is_turned_away_even_with_a_token(self, shop_client, headers):
        client = shop_client()
        form = {"callout": "9 H7", "material": "1018", "csrf": token_of(client)}
        assert client.post("/jobs/new", data=form, headers=headers).status_code == 403

    def test_our_own_origin_is_let_in(self, shop_client):
        client = shop_client()
        form = {"callout": "9 H7", "material": "1018", "csrf": token_of(client)}
        headers = {"origin": HERE, "sec-fetch-site": "same-origin"}
        assert client.post("/jobs/new", data=form, headers=headers).status_code == 303


class TestTheApi:
    reading: ClassVar = {"hole": "1-1", "gauge": "8.00", "goes": True}

    def test_a_page_sends_its_token_with_every_change(self, shop_client):
        client = shop_client()
        token = token_of(client)
        url = f"/api/v1/jobs/{JOB_A}/readings"
        assert client.post(url, json=self.reading).status_code == 403
        headers = {"x-csrf-token": token}
        assert client.post(url, json=self.reading, headers=headers).status_code == 201

    def test_a_form_of_another_site_is_no_json(self, shop_client):
        # Browsers ask before they send JSON across sites, and are not allowed; a form they send.
        text = '{"hole": "1-1", "gauge": "8.00", "goes": true}'
        answer = shop_client().post(
            f"/api/v1/jobs/{JOB_A}/readings", content=text, headers={"content-type": "text/plain"}
        )
        assert answer.status_code == 422
        assert answer.headers["content-type"] == "application/problem+json"

    def test_it_allows_no_other_site_to_read_it(self, shop_client):
        answer = shop_client().get(
            f"/api/v1/jobs/{JOB_A}/gauge", headers={"origin": "http://evil.example"}
        )
        assert "access-control-allow-origin" not in answer.headers


class TestInTheNetwork:
    def test_a_page_asks_to_sign_in_and_comes_back(self, shop_client):
        client = shop_client(lan=True)
        answer = client.get(f"/jobs/{JOB_A}/gauge")
        assert (answer.status_code, answer.headers["location"]) == (
            303,
            f"/sign-in?next=/jobs/{JOB_A}/gauge",
        )
        form = {"name": "M. Holm", "password": PASSWORDS["gauger"], "next": f"/jobs/{JOB_A}/gauge"}
        answer = client.post("/sign-in", data=form)
        assert answer.headers["location"] == f"/jobs/{JOB_A}/gauge"
        assert client.get(f"/jobs/{JOB_A}/gauge").status_code == 200

    def test_the_api_says_so_as_a_problem(self, shop_client):
        answer = shop_client(lan=True).get(f"/api/v1/jobs/{JOB_A}/gauge")
        assert (answer.status_code, answer.headers["content-type"]) == (
            401,
            "application/problem+json",
        )

    @pytest.mark.parametrize("path", ["/", "/tools", "/jobs/1/sheets/setup", "/jobs/1/program.ngc"])
    def test_nothing_of_the_book_is_seen_from_outside(self, shop_client, path):
        answer = shop_client(lan=True).get(path)
        assert answer.status_code == 303
        assert answer.content == b""

    def test_a_wrong_password_opens_nothing(self, shop_client):
        client = shop_client(lan=True)
        answer = client.post("/sign-in", data={"name": "x", "password": "12345678", "next": "/"})
        assert answer.status_code == 403
        assert "set-cookie" not in answer.headers
        assert client.get("/").status_code == 303

    def test_wrong_passwords_run_out(self, shop_client):
        client = shop_client(lan=True)
        wrong = {"name": "x", "password": "wrong-one-again", "next": "/"}
        codes = [client.post("/sign-in", data=wrong).status_code for _ in range(6)]
        assert codes == [403] * 5 + [429]
        answer = sign_in(client, "planner")  # even the right one has to wait now
        assert answer.status_code == 429
        assert 1 <= int(answer.headers["retry-after"]) <= 300

    def test_a_note_that_was_touched_is_no_note(self, shop_client):
        client = shop_client(lan=True)
        sign_in(client, "planner")
        note = client.cookies["holewright"]
        client.cookies.clear()
        flipped = note[:10] + ("A" if note[10] != "A" else "B") + note[11:]
        answer = client.get("/", headers={"cookie": f"holewright={flipped}"})
        assert answer.status_code == 303

    def test_signing_out_ends_the_session_for_every_copy_of_its_note(self, shop_client):
        client = shop_client(lan=True)
        sign_in(client, "planner")
        note = client.cookies["holewright"]
        client.post("/sign-out", data={"csrf": token_of(client)})
        client.cookies.clear()
        answer = client.get("/", headers={"cookie": f"holewright={note}"})
        assert answer.status_code == 303

    def test_the_note_is_out_of_reach_of_scripts_and_of_other_sites(self, shop_client):
        cookie = sign_in(shop_client(lan=True), "planner").headers["set-cookie"]
        assert "HttpOnly" in cookie
        assert "SameSite=Lax" in cookie
        assert "Secure" not in cookie
        cookie = sign_in(shop_client(lan=True, tls=True), "planner").headers["set-cookie"]
        assert "Secure" in cookie

    @pytest.mark.parametrize(
        "to",
        ["//evil.example", "http://evil.example", "/\\evil.example", "/\nx: y", "javascript:1"],
    )
    def test_signing_in_leads_to_no_other_site(self, shop_client, to):
        form = {"name": "x", "password": PASSWORDS["reader"], "next": to}
        assert shop_client(lan=True).post("/sign-in", data=form).headers["location"] == "/"

    @pytest.mark.parametrize(("role", "gauges", "plans"), [
        ("reader", False, False), ("gauger", True, False), ("planner", True, True),
    ])  # fmt: skip
    def test_a_role_may_what_it_may_and_no_more(self, shop_client, role, gauges, plans):
        client = shop_client(lan=True)
        sign_in(client, role)
        token = token_of(client, "/")
        answer = client.post(
            f"/api/v1/jobs/{JOB_A}/readings",
            json={"hole": "1-1", "gauge": "8.00", "goes": True},
            headers={"x-csrf-token": token},
        )
        assert answer.status_code == (201 if gauges else 403)
        form = {"callout": "9 H7", "material": "1018", "csrf": token}
        assert client.post("/jobs/new", data=form).status_code == (303 if plans else 403)
        assert client.get("/jobs/new").status_code == (200 if plans else 403)
        assert client.get(f"/jobs/{JOB_A}/verdict").status_code == 200
        form = {"do": "hold", "why": "chips", "csrf": token}
        answer = client.post(f"/jobs/{JOB_A}/verdict", data=form)
        assert answer.status_code == (303 if plans else 403)
        form = {"id": "x", "n_max": "1000", "power": "1 kW", "csrf": token}
        assert client.post("/tools/machines", data=form).status_code == (303 if plans else 403)

    def test_a_reader_looks_at_every_page_and_sees_no_form_that_is_not_theirs(self, shop_client):
        client = shop_client(lan=True)
        sign_in(client, "reader")
        pages = [f"/jobs/{JOB_A}/{step}" for step in STEPS]
        for path in ("/", "/tools", "/tools/reamers", *pages):
            answer = client.get(path)
            assert answer.status_code == 200, path
            posts = re.findall(r'<form method="post"(?: action="([^"]*)")?', answer.text)
            assert set(posts) <= {"/sign-out", f"/jobs/{JOB_A}/gauge"}, path
            assert "Take back" not in answer.text

    def test_a_program_signs_in_for_a_token_of_its_own(self, shop_client):
        client = shop_client(lan=True)
        said = {"name": "cell 3", "password": PASSWORDS["gauger"]}
        answer = client.post("/api/v1/session", json=said)
        assert answer.status_code == 201
        client.cookies.clear()
        headers = {"authorization": f"Bearer {answer.json()['token']}"}
        url = f"/api/v1/jobs/{JOB_A}/readings"
        reading: ClassVar = {"hole": "1-1", "gauge": "8.00", "goes": True}
        assert client.post(url, json=reading, headers=headers).status_code == 201
        assert client.post(url, json=reading).status_code == 401

    def test_the_tablet_may_ask_by_number_but_not_by_a_name_nobody_gave(self, shop_client):
        client = shop_client(lan=True)
        assert client.get("/sign-in", headers={"host": "192.168.1.20:8765"}).status_code == 200
        assert client.get("/sign-in", headers={"host": "evil.example"}).status_code == 421


class TestHowMuch:
    def test_a_body_that_is_too_large_is_refused_before_it_is_read(self, shop_client):
        client = shop_client()
        answer = client.post(f"/api/v1/jobs/{JOB_A}/readings", content=b"x" * 300_000)
        assert answer.status_code == 413

    def test_a_body_that_hides_its_length_is_cut_off(self, shop_client):
        def endless():
            for _ in range(30):
                yield b"x" * 10_000

        answer = shop_client().post(
            f"/api/v1/jobs/{JOB_A}/readings",
            content=endless(),
            headers={"content-type": "application/json"},
        )
        assert answer.status_code == 413

    def test_a_file_may_be_larger_but_not_endless(self, shop_client):
        client = shop_client()
        form = {"csrf": token_of(client), "do": "import", "unit": "mm"}
        answer = client.post(
            "/tools/reamers", data=form, files={"file": ("reamers.csv", b"a" * 5_100_000)}
        )
        assert answer.status_code == 413

    def test_a_form_of_too_many_fields_is_refused(self, shop_client):
        client = shop_client()
        form = {f"field{i}": "x" for i in range(400)} | {"csrf": token_of(client)}
        assert client.post("/jobs/new", data=form).status_code in (400, 422)


class TestPathsAndNames:
    @pytest.mark.parametrize(
        "path",
        [
            "/static/../app.py",
            "/static/%2e%2e/app.py",
            "/static/..%2fapp.py",
            "/static//etc/passwd",
            "/static/%2fetc/passwd",
            "/jobs/1/sheets/..%2f..%2fsetup",
            "/jobs/1/sheets/base.html",
            "/tools/..%2f..",
            "/jobs/-1/route",
            "/jobs/99999999999999999999/route",
            "/jobs/1%00/route",
        ],
    )
    def test_no_path_leads_out_of_the_house(self, shop_client, path):
        answer = shop_client().get(path)
        assert answer.status_code == 404
        assert "import" not in answer.text
        assert "root:" not in answer.text

    @pytest.mark.parametrize(
        "name",
        [
            "<script>alert(1)</script>",
            '"><img src=x onerror=alert(1)>',
            "{{ 7 * 191 }}",
            "{% raw %}",
            "${7*191}",
            "'; DROP TABLE jobs; --",
        ],
    )
    def test_a_name_stays_a_name_on_every_page(self, shop_client, name):
        client = shop_client()
        form = {
            "callout": "8 H7 x 22 through",
            "material": "16MnCr5",
            "name": name,
            "part": name,
            "drawing": name,
            "revision": name,
            "machine": "mill 3",
            "csrf": token_of(client),
        }
        answer = client.post("/jobs/new", data=form)
        assert answer.status_code == 303, answer.text
        job = answer.headers["location"].rsplit("/", 1)[0]
        pages = ["/", "/?search=" + name.replace("%", "%25").replace("#", "%23")]
        pages += [f"{job}/{one}" for one in ("callout", "route", "window", "program", "gauge")]
        pages += [f"{job}/sheets/setup", f"{job}/sheets/traveller"]
        for page in pages:
            text = client.get(page).text
            assert "<script>alert" not in text, page
            assert "<img src=x" not in text, page
            assert "1337" not in text.replace("1,337", ""), page
        assert "4" in client.get("/").text

    def test_the_name_of_a_run_stays_a_name_inside_the_script_data(self, shop_client):
        client = shop_client()
        run = "</script><script>alert(1)</script>"
        text = client.get(f"/jobs/{JOB_A}/gauge", params={"run": run}).text
        assert "<script>alert" not in text
        assert "\\u003c/script" in text


class TestWhatABrowserMayDo:
    def test_every_page_carries_the_rules(self, shop_client):
        for path in ("/", "/jobs/new", f"/jobs/{JOB_A}/gauge", "/nowhere"):
            headers = shop_client().get(path).headers
            policy = headers["content-security-policy"]
            assert "default-src 'none'" in policy
            assert "script-src 'self'" in policy
            assert "unsafe" not in policy
            assert "frame-ancestors 'none'" in policy
            assert headers["x-content-type-options"] == "nosniff"
            assert headers["referrer-policy"] == "same-origin"
            assert headers["cache-control"] == "no-store"

    def test_a_page_holds_no_script_and_no_style_of_its_own(self, shop_client):
        client = shop_client()
        for path in ("/", "/jobs/new", f"/jobs/{JOB_A}/route", f"/jobs/{JOB_A}/window"):
            text = client.get(path).text
            scripts = re.findall(r"<script([^>]*)>", text)
            assert all("src=" in one or "application/json" in one for one in scripts), path
            assert not re.search(r"<style|\sstyle=|\son\w+=", text), path

    def test_a_page_loads_nothing_from_elsewhere(self, shop_client):
        client = shop_client()
        for path in ("/", f"/jobs/{JOB_A}/route", f"/jobs/{JOB_A}/gauge"):
            loads = re.findall(r'(?:src|href|action)="([^"]+)"', client.get(path).text)
            assert [one for one in loads if "://" in one or one.startswith("//")] == []

    def test_a_sheet_may_run_no_script_at_all(self, shop_client):
        policy = shop_client().get(f"/jobs/{JOB_A}/sheets/setup").headers["content-security-policy"]
        assert "script-src" not in policy
        assert policy.startswith("default-src 'none'")

    def test_over_tls_a_browser_comes_back_over_tls_only(self, shop_client):
        assert "strict-transport-security" in shop_client(tls=True).get("/").headers
        assert "strict-transport-security" not in shop_client().get("/").headers

    def test_the_server_does_not_say_what_it_is_made_of(self, shop_client):
        headers = shop_client().get("/").headers
        assert "server" not in headers
        assert "x-powered-by" not in headers
