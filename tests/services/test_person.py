from concurrent.futures import ThreadPoolExecutor
from threading import Barrier, local

import pytest

import behind
from signing import DAY, PASSWORD, cheap, later
from stickback import acting
from stickback.refused import Refused
from stickback.services import person, sign_in, verify
from stickback.services import student as students
from stickback.services.permission import Hidden
from stickback.store import acts, log, people, sessions
from stickback.store.engine import Database
from stickback.words import person as words

WEEK = {"days": 7}

__all__ = ["cheap", "later"]


@pytest.fixture
def add(school):
    """Adds a person: `add("Ina", "instructor", "Ada")`."""
    return lambda name, role="student", *instructs: person.add(school.store, school.course, name, role, instructs, DAY)


@pytest.fixture
def inside(school, add):
    """Adds a person who has chosen a password; gives what the cookie holds."""
    return lambda name, role="student", *given: sign_in.accept(
        school.store, add(name, role, *given).token, PASSWORD, shared=False
    )


def did(store):
    return [(act.who, act.what, act.whom) for act in acts.read(store)]


def test_a_student_who_is_added_studies_here(school, add):
    add("Ada")
    assert "Ada" in people.everyone(school.store)
    assert [known.person.name for known in person.listed(school.store)] == ["Ada"]


@pytest.mark.parametrize(
    ("name", "role", "instructs", "says"),
    [
        ("ADA", "student", [], "There is a person 'Ada' already"),
        ("me", "student", [], "`me` is whoever sits at a terminal"),
        ("A\u202eda", "school", [], "A name is 1 to 80 letters on one line"),
        ("a\nb", "school", [], "A name is 1 to 80 letters on one line"),
        ("Ina", "instructor", ["Nobody"], "There is no student 'Nobody'"),
        ("Ina", "school", ["Ada"], "Students are given to instructors"),
    ],
)
def test_who_cannot_be_added_is_told_why(school, add, name, role, instructs, says):
    add("Ada")
    with pytest.raises(Refused, match=says):
        add(name, role, *instructs)


def test_an_invitation_lets_in_once(school, add):
    token = add("Ada").token
    assert sign_in.invited(school.store, token).name == "Ada"
    sign_in.accept(school.store, token, PASSWORD, shared=False)
    for again in (sign_in.invited, lambda *_: sign_in.accept(school.store, token, PASSWORD, shared=False)):
        with pytest.raises(Refused, match="This invitation serves no more"):
            again(school.store, token)


def test_an_invitation_that_never_was_is_answered_like_one_that_is_over(school):
    with pytest.raises(Refused, match="This invitation serves no more"):
        sign_in.invited(school.store, "no such thing")


def test_an_invitation_ends_after_seven_days_with_a_new_one_and_with_the_person(school, add, later):
    first = add("Ada").token
    second = person.invite(school.store, "Ada").token
    with pytest.raises(Refused):
        sign_in.invited(school.store, first)
    later(**WEEK)
    with pytest.raises(Refused):
        sign_in.invited(school.store, second)
    third = person.invite(school.store, "Ada").token
    person.remove(school.store, "Ada")
    with pytest.raises(Refused):
        sign_in.invited(school.store, third)


@pytest.mark.parametrize("password", ["short", "123456789012", "passwordpassword", "Ada Ada Ada Ada", "x" * 73])
def test_a_password_that_is_easy_to_guess_is_refused_and_the_invitation_still_serves(school, add, password):
    token = add("Ada").token
    with pytest.raises(Refused, match="password"):
        sign_in.accept(school.store, token, password, shared=False)
    assert sign_in.invited(school.store, token).name == "Ada"


def test_a_password_signs_in_under_the_name_however_it_is_written(school, inside):
    inside("Ada")
    token = sign_in.sign_in(school.store, " ada ", PASSWORD, "192.0.2.1", shared=False)
    assert sign_in.signed(school.store, token).person.name == "Ada"


def test_a_wrong_name_and_a_wrong_password_are_answered_alike(school, inside):
    inside("Ada")
    for name, password in (("Ada", "wrong"), ("Nobody", PASSWORD), ("Ada", PASSWORD + "x" * 80)):
        with pytest.raises(Refused, match="Name and password do not belong together"):
            sign_in.sign_in(school.store, name, password, "192.0.2.1", shared=False)


def test_nothing_that_would_let_anybody_in_is_stored(school, add):
    token = add("Ada").token
    cookie = sign_in.accept(school.store, token, PASSWORD, shared=False)
    with school.store.reading() as connection:
        for table in ("persons", "invitations", "sessions", "acts"):
            rows = str(connection.exec_driver_sql(f"SELECT * FROM {table}").all())
            assert not any(secret in rows for secret in (token, cookie, PASSWORD))


def test_each_sign_in_is_a_session_of_its_own_and_each_can_be_ended(school, inside):
    first = inside("Ada")
    second = sign_in.sign_in(school.store, "Ada", PASSWORD, "192.0.2.1", shared=True)
    here = sign_in.signed(school.store, first)
    others = [one.digest for one in sign_in.lasting(school.store, here.person) if one.digest != here.digest]
    assert len(others) == 1
    sign_in.sign_out(school.store, here, others)
    assert sign_in.signed(school.store, second) is None
    sign_in.sign_out(school.store, here)
    assert sign_in.signed(school.store, first) is None


def test_nobody_ends_a_session_of_another(school, inside):
    ada, bea = sign_in.signed(school.store, inside("Ada")), inside("Bea")
    sign_in.sign_out(school.store, ada, [person.digest(bea)])
    assert sign_in.signed(school.store, bea) is not None


@pytest.mark.parametrize(("shared", "hours"), [(False, 30 * 24), (True, 13)])
def test_a_session_ends_after_thirty_days_or_half_a_day_idle_where_others_sit_too(school, inside, later, shared, hours):
    inside("Ada")
    token = sign_in.sign_in(school.store, "Ada", PASSWORD, "192.0.2.1", shared=shared)
    later(hours=hours - 2)
    assert sign_in.signed(school.store, token) is not None
    later(hours=hours if shared else 2)
    assert sign_in.signed(school.store, token) is None


def test_who_is_signed_in_stays_so_where_the_database_cannot_be_written(school, inside, later, monkeypatch):
    def full(_):
        raise Refused("The disk is full.")

    token = inside("Ada")
    later(hours=1)
    monkeypatch.setattr(Database, "writing", full)
    assert sign_in.signed(school.store, token).person.name == "Ada"
    later(days=30)
    assert sign_in.signed(school.store, token) is None


def test_a_clock_that_goes_back_ends_no_session_and_opens_none(school, inside, later):
    token = inside("Ada")
    later(days=-40)
    assert sign_in.signed(school.store, token) is not None
    later(days=80)
    assert sign_in.signed(school.store, token) is None


def test_attempts_that_fail_are_slowed_and_never_for_good(school, inside, later):
    inside("Ada")
    for _ in range(sign_in.FREE):
        with pytest.raises(Refused, match="do not belong"):
            sign_in.sign_in(school.store, "Ada", "wrong", "192.0.2.1", shared=False)
    with pytest.raises(sign_in.Slow):
        sign_in.sign_in(school.store, "Ada", PASSWORD, "192.0.2.1", shared=False)
    later(seconds=2)
    assert sign_in.sign_in(school.store, "Ada", PASSWORD, "192.0.2.1", shared=False)
    assert sign_in.sign_in(school.store, "Ada", PASSWORD, "192.0.2.1", shared=False)


def test_attempts_that_are_sent_at_once_are_slowed_like_those_in_a_row(school, inside, monkeypatch):
    """Each is let through at first, before any other has failed."""
    inside("Ada")
    many, real, met = 3 * sign_in.FREE, sign_in.wait, local()
    together = Barrier(many, timeout=30)

    def wait(*of):
        real(*of)
        if not hasattr(met, "others"):
            met.others = together.wait()

    def attempt(_):
        with pytest.raises(Refused) as refused:
            sign_in.sign_in(school.store, "Ada", "wrong", "192.0.2.1", shared=False)
        return refused.type

    monkeypatch.setattr(sign_in, "wait", wait)
    with ThreadPoolExecutor(many) as pool:
        judged = list(pool.map(attempt, range(many))).count(Refused)
    assert sign_in.FREE <= judged <= sign_in.FREE + 1  # two are judged at a time


def test_attempts_from_many_addresses_slow_a_name_but_not_where_it_has_come_in_before(school, inside, later):
    inside("Ada")
    sign_in.sign_in(school.store, "Ada", PASSWORD, "192.0.2.1", shared=False)
    for number in range(sign_in.MOST_FREE):
        with pytest.raises(Refused, match="do not belong"):
            sign_in.sign_in(school.store, "Ada", "wrong", f"198.51.100.{number}", shared=False)
    with pytest.raises(sign_in.Slow):
        sign_in.sign_in(school.store, "Ada", PASSWORD, "203.0.113.1", shared=False)
    assert sign_in.sign_in(school.store, "Ada", PASSWORD, "192.0.2.1", shared=False)


def test_attempts_on_many_names_slow_their_address(school):
    for number in range(sign_in.MOST_FREE):
        with pytest.raises(Refused, match="do not belong"):
            sign_in.sign_in(school.store, f"name {number}", "wrong", "192.0.2.1", shared=False)
    with pytest.raises(sign_in.Slow):
        sign_in.sign_in(school.store, "another", "wrong", "192.0.2.1", shared=False)


def test_a_person_who_is_removed_is_out_at_once_and_may_come_back(school, inside, add):
    token = inside("Ada")
    person.remove(school.store, "Ada")
    assert sign_in.signed(school.store, token) is None
    with pytest.raises(Refused, match="do not belong"):
        sign_in.sign_in(school.store, "Ada", PASSWORD, "192.0.2.1", shared=False)
    assert add("Ada").known.active


def test_a_new_password_signs_out_everywhere(school, inside):
    old = inside("Ada")
    sign_in.accept(school.store, person.invite(school.store, "Ada").token, PASSWORD, shared=False)
    assert sign_in.signed(school.store, old) is None


def test_students_are_given_to_an_instructor_and_taken_away(school, add):
    add("Ada"), add("Bea"), add("Ina", "instructor", "Ada")
    assert person.set_(school.store, "Ina", None, ["Bea"], ["Ada"]).students == ("Bea",)
    assert person.set_(school.store, "Ina", None, ["Bea"], []).students == ("Bea",)
    with pytest.raises(Refused, match=r"^Ina does not instruct Ada\.$"):
        person.set_(school.store, "Ina", None, [], ["Ada"])
    assert person.set_(school.store, "Ina", "school", [], []).students == ()


def test_who_stores_an_entry_and_who_does_anything_else_is_written_down(school, add, inside):
    inside("Ada"), add("Ina", "instructor", "Ada")
    ina = person.find(school.store, "Ina").person
    with acting.acting(ina):
        students.set_(school.store, school.course, "Ada", {"minutes": 20}, DAY)
        acts.note(school.store, "exported")
        people.hide(school.store, "Ada")
    assert (None, "invited", "Ada") in did(school.store)
    assert ("Ada", "signed in", None) in did(school.store)
    by_ina = [("Ina", "entry:settings", "Ada"), ("Ina", "exported", None), ("Ina", "hidden", "Ada")]
    assert sorted(act for act in did(school.store) if act[0] == "Ina") == by_ina


def test_who_stored_an_entry_is_no_part_of_its_seal(school, add):
    add("Ada"), add("Ina", "instructor", "Ada")
    with acting.acting(person.find(school.store, "Ina").person):
        students.set_(school.store, school.course, "Ada", {"minutes": 20}, DAY)
    assert [check.wrong for check in verify.verify(school.store, school.course) if check.wrong] == []
    assert "Ina" not in "".join(log.lines(school.store))


def test_of_one_who_is_erased_only_the_tombstone_stays(school, inside, add):
    inside("Ada"), add("Ina", "instructor", "Ada")
    person.remove(school.store, "Ada", erase=True)
    with school.store.reading() as connection:
        for table in ("persons", "invitations", "sessions", "acts", "students", "instructs", "tombstones"):
            assert "Ada" not in str(connection.exec_driver_sql(f"SELECT * FROM {table}").all())
    assert behind.erased(school.store, ["Ada"]) == {"Ada"}
    assert school.store.unguarded() == []


def test_an_instructor_is_erased_without_their_students(school, inside, add):
    add("Ada"), inside("Ina", "instructor", "Ada")
    person.remove(school.store, "Ina", erase=True)
    assert [known.person.name for known in person.listed(school.store)] == ["Ada"]
    assert "Ina" not in str(words.acts(acts.read(school.store)))
    assert (behind.erased(school.store, ["Ina"]), list(people.everyone(school.store))) == ({"Ina"}, ["Ada"])


def test_behind_a_copy_that_is_put_back_nobody_is_signed_in(school, inside):
    token = inside("Ada")
    sessions.end_all(school.store)
    assert sign_in.signed(school.store, token) is None


def test_an_invitation_is_taken_back(school, add):
    token = add("Ada").token
    assert person.waiting(school.store) == {"Ada"}
    person.revoke(school.store, "Ada")
    assert person.waiting(school.store) == set()
    with pytest.raises(Refused, match="serves no more"):
        sign_in.invited(school.store, token)
    with pytest.raises(Refused, match="no invitation that still serves"):
        person.revoke(school.store, "Ada")


def test_a_person_is_signed_out_everywhere_and_may_come_in_again(school, inside):
    tokens = [inside("Ada"), sign_in.sign_in(school.store, "Ada", PASSWORD, "192.0.2.1", shared=True)]
    assert person.sign_out(school.store, "Ada") == len(tokens)
    assert [sign_in.signed(school.store, each) for each in tokens] == [None, None]
    assert sign_in.sign_in(school.store, "Ada", PASSWORD, "192.0.2.1", shared=False)


@pytest.mark.parametrize("role", ["student", "instructor"])
def test_only_the_school_says_who_may_come_in(school, add, role):
    add("Ada"), add("Eve", role)
    with acting.acting(person.find(school.store, "Eve").person):
        for does in (
            lambda: add("New"),
            lambda: person.set_(school.store, "Ada", "school", [], []),
            lambda: person.invite(school.store, "Ada"),
            lambda: person.revoke(school.store, "Ada"),
            lambda: person.sign_out(school.store, "Ada"),
            lambda: person.remove(school.store, "Ada"),
            lambda: person.remove(school.store, "Ada", erase=True),
        ):
            with pytest.raises(Hidden):
                does()


def test_nobody_of_the_school_shuts_themselves_out_or_gives_their_role_away(school, add):
    add("Otto", "school")
    with acting.acting(person.find(school.store, "Otto").person):
        with pytest.raises(Refused, match="Nobody shuts themselves out"):
            person.remove(school.store, "Otto")
        with pytest.raises(Refused, match="Nobody changes their own role"):
            person.set_(school.store, "Otto", "student", [], [])
