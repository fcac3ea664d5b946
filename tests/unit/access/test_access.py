"""The shop's passwords, the notes of those who are signed in, and who may do what."""

from __future__ import annotations

import json
import stat
import time

import pytest

from holewright.errors import BookError, InputError, NotAllowedError
from holewright.jobs.access import (
    TRIES,
    TRIES_OF_ALL,
    WITHIN_S,
    Access,
    Door,
    TooManyTriesError,
    Tries,
    access_file,
    read_access,
    set_password,
)
from holewright.jobs.people import Person, Role, need
from holewright.jobs.sessions import Sessions


@pytest.fixture(scope="module")
def with_passwords(tmp_path_factory):
    path = tmp_path_factory.mktemp("access") / "deep" / "access.json"
    set_password(path, Role.GAUGER, "pins and holes")
    set_password(path, Role.PLANNER, "steel and coolant")
    return path


def test_passwords_are_kept_as_argon2_hashes_that_only_their_owner_can_read(with_passwords):
    text = with_passwords.read_text()
    assert "pins and holes" not in text
    assert json.loads(text)["passwords"]["gauger"].startswith("$argon2id$")
    assert stat.S_IMODE(with_passwords.stat().st_mode) == 0o600


def test_a_password_opens_its_own_role(with_passwords):
    door = Door(read_access(with_passwords))
    assert door.let_in("  M.   Holm ", "pins and holes", "here") == Person("M. Holm", Role.GAUGER)
    assert door.let_in("x", "steel and coolant", "here").role is Role.PLANNER
    with pytest.raises(NotAllowedError, match="no password of the shop"):
        door.let_in("x", "pins and hole", "here")


@pytest.mark.parametrize("password", ["short", "x" * 201, ""])
def test_a_password_too_short_or_too_long_is_not_set(tmp_path, password):
    with pytest.raises(InputError, match="from 8 to 200 characters"):
        set_password(tmp_path / "a.json", Role.READER, password)


def test_two_roles_do_not_share_a_password(with_passwords):
    with pytest.raises(InputError, match="is that of the gauger"):
        set_password(with_passwords, Role.READER, "pins and holes")


def test_a_new_password_signs_everybody_out(tmp_path):
    path = tmp_path / "a.json"
    set_password(path, Role.READER, "first password")
    _, note = Sessions(read_access(path).secret).begin(Person("x", Role.READER))
    set_password(path, Role.READER, "second password")
    assert Sessions(read_access(path).secret).read(note) is None


def test_a_file_that_is_none_is_said_and_not_written_over(tmp_path):
    path = tmp_path / "a.json"
    path.write_text("{")
    with pytest.raises(BookError, match="can't be read"):
        read_access(path)
    assert path.read_text() == "{"


def test_where_the_file_is(tmp_path):
    assert access_file("x.json", {}).name == "x.json"
    assert access_file(None, {"HOLEWRIGHT_ACCESS": "/a/b.json"}).name == "b.json"
    assert access_file(None, {}).name == "access.json"


@pytest.mark.parametrize("name", ["", "   ", "x" * 61, "a\nb", "\x1b[31m"])
def test_a_name_that_can_not_be_written_down_is_refused(name):
    with pytest.raises(InputError, match="must be a name or initials"):
        Door(Access("secret")).let_in(name.replace("\n", "\x00"), "password", "here")


class Clock:
    now = 1000.0

    def __call__(self) -> float:
        return self.now


def test_an_address_has_so_many_tries_and_gets_them_back_in_time():
    clock = Clock()
    tries = Tries(clock)
    for _ in range(TRIES):
        tries.take("10.0.0.7")
    with pytest.raises(TooManyTriesError) as waiting:
        tries.take("10.0.0.7")
    assert waiting.value.wait_s == WITHIN_S
    tries.take("10.0.0.8")  # others are not locked out with it
    clock.now += WITHIN_S
    tries.take("10.0.0.7")


def test_many_addresses_together_run_out_as_well():
    tries = Tries(Clock())
    for i in range(TRIES_OF_ALL):
        tries.take(f"10.0.{i}.1")
    with pytest.raises(TooManyTriesError):
        tries.take("10.1.0.1")


def test_the_right_password_forgives_the_wrong_ones_before_it(with_passwords):
    door = Door(read_access(with_passwords))
    for _ in range(2):
        for _ in range(TRIES - 1):
            with pytest.raises(NotAllowedError):
                door.let_in("x", "wrong password", "here")
        door.let_in("x", "pins and holes", "here")


def test_a_note_is_read_back_until_it_is_too_old_touched_or_ended(monkeypatch):
    sessions = Sessions("secret")
    session, note = sessions.begin(Person("M. Holm", Role.GAUGER))
    assert sessions.read(note) == session
    assert sessions.read(note[:-2] + "xx") is None
    assert sessions.read("") is None
    assert Sessions("other").read(note) is None
    later = time.time() + 13 * 3600
    with monkeypatch.context() as patch:
        patch.setattr(time, "time", lambda: later)
        assert sessions.read(note) is None
    sessions.end(session)
    assert sessions.read(note) is None


def test_each_session_has_a_token_of_its_own_for_its_forms():
    sessions = Sessions("secret")
    one, _ = sessions.begin(Person("x", Role.READER))
    other, _ = sessions.begin(Person("x", Role.READER))
    assert one.csrf != other.csrf
    assert "secret" not in one.csrf


@pytest.mark.parametrize(("role", "may"), [
    (Role.READER, {Role.READER}),
    (Role.GAUGER, {Role.READER, Role.GAUGER}),
    (Role.PLANNER, set(Role)),
])  # fmt: skip
def test_a_role_may_what_those_before_it_may(role, may):
    person = Person("x", role)
    assert {least for least in Role if person.may(least)} == may
    for least in set(Role) - may:
        with pytest.raises(NotAllowedError, match=f"this takes a {least}"):
            need(person, least)
