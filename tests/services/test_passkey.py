import json
from dataclasses import replace

import pytest

from authenticator import HOST, ORIGIN, PRESENT, Device
from signing import DAY, PASSWORD, cheap, later
from stickback.refused import Refused
from stickback.services import own, passkey, person, sign_in
from stickback.services.passkey import Browser
from stickback.store import acts, sessions

__all__ = ["cheap", "later"]

HERE = Browser(HOST, ORIGIN, "what the cookie of this browser holds")
ELSEWHERE = replace(HERE, cookie="what the cookie of another holds")
ADDRESS = "192.0.2.1"
LATE, NOT_OURS, COPIED = "took too long, or was sent twice", "does not open here", "as if there were two of it"


@pytest.fixture
def add(school):
    """Adds a person; gives the invitation."""
    return lambda name: person.add(school.store, school.course, name, "student", [], DAY).token


@pytest.fixture
def ada(school, add):
    """Ada, who has chosen a password."""
    sign_in.accept(school.store, add("Ada"), PASSWORD, shared=False)
    return person.find(school.store, "Ada").person


@pytest.fixture
def device(school, ada):
    """A device with a key of Ada's."""
    made = Device()
    passkey.add(school.store, HERE, ada, made.keeps(passkey.ask_to_add(school.store, HERE, ada)), "My phone")
    return made


@pytest.fixture
def enter(school):
    """Signs in by what a device signs."""
    return lambda signed, browser=HERE: passkey.sign_in_by(school.store, browser, signed, ADDRESS, shared=False)


@pytest.fixture
def asked(school):
    """What a key shall sign that signs in from this browser."""
    return lambda browser=HERE: passkey.ask_to_sign_in(school.store, browser)


def did(store):
    return [(act.who, act.what) for act in acts.read(store)]


def test_a_key_that_a_device_keeps_signs_in(school, device, enter, asked):
    token = enter(device.signs(asked()))
    assert sign_in.signed(school.store, token).person.name == "Ada"
    assert did(school.store)[-2:] == [("Ada", "key added"), ("Ada", "signed in by key")]


def test_a_device_is_asked_for_a_key_of_its_own_and_to_know_who_touches_it(school, ada, asked):
    made, signed = json.loads(passkey.ask_to_add(school.store, HERE, ada)), json.loads(asked())
    assert (made["rp"]["id"], signed["rpId"]) == (HOST, HOST)
    assert made["authenticatorSelection"]["residentKey"] == "required"
    assert made["authenticatorSelection"]["userVerification"] == signed["userVerification"] == "required"
    assert not signed.get("allowCredentials")
    assert made["challenge"] != json.loads(passkey.ask_to_add(school.store, HERE, ada))["challenge"]
    assert len(made["challenge"]) > 80


def test_a_device_that_has_a_key_of_a_person_is_asked_for_no_other(school, ada, device):
    known = passkey.of(school.store, ada)
    assert [
        each["id"] for each in json.loads(passkey.ask_to_add(school.store, HERE, ada, known))["excludeCredentials"]
    ] == [known[0].id]


def test_what_a_key_signed_serves_once(device, enter, asked):
    signed = device.signs(asked())
    enter(signed)
    with pytest.raises(Refused, match=LATE):
        enter(signed)


def test_what_a_key_was_asked_is_used_up_though_it_did_not_open(device, enter, asked):
    question = asked()
    with pytest.raises(Refused, match=NOT_OURS):
        enter(replace(device, origin="https://evil.example").signs(question))
    with pytest.raises(Refused, match=LATE):
        enter(device.signs(question))


def test_what_a_key_was_asked_serves_minutes(school, device, enter, asked, later):
    first = asked()
    later(minutes=passkey.MINUTES - 1)
    enter(device.signs(first))
    second = asked()
    later(minutes=passkey.MINUTES + 1)
    with pytest.raises(Refused, match=LATE):
        enter(device.signs(second))
    asked()
    with school.store.reading() as connection:
        assert len(connection.exec_driver_sql("SELECT * FROM challenges").all()) == 1


def test_what_a_key_was_asked_serves_the_browser_that_asked_alone(device, enter, asked):
    with pytest.raises(Refused, match=LATE):
        enter(device.signs(asked()), ELSEWHERE)


def test_what_was_never_asked_is_refused(device, enter):
    with pytest.raises(Refused, match=LATE):
        enter(device.signs(json.dumps({"challenge": "AAAA"})))


def test_what_was_asked_for_adding_a_key_signs_nobody_in(school, ada, device, enter):
    with pytest.raises(Refused, match=LATE):
        enter(device.signs(passkey.ask_to_add(school.store, HERE, ada)))


@pytest.mark.parametrize(
    "wrong",
    [
        {"origin": "https://evil.example"},
        {"origin": "http://school.example"},
        {"origin": "https://sub.school.example"},
        {"host": "evil.example"},
        {"flags": PRESENT},
        {"flags": 0},
        {"handle": b"another"},
        {"handle": b""},
        {"id": b"a key that nobody has"},
    ],
)
def test_a_key_used_elsewhere_or_by_nobody_known_is_refused(school, device, enter, asked, wrong):
    with pytest.raises(Refused, match=NOT_OURS):
        enter(replace(device, **wrong).signs(asked()))
    assert ("Ada", "signed in by key") not in did(school.store)


def test_what_another_key_signed_is_refused(device, enter, asked):
    with pytest.raises(Refused, match=NOT_OURS):
        enter(replace(device, key=Device().key).signs(asked()))


def test_a_key_that_counts_goes_on_counting(school, ada, device, enter, asked):
    device.counted = 7
    for _ in range(2):
        enter(device.signs(asked()))
    assert [key.counted for key in passkey.of(school.store, ada)] == [9]


@pytest.mark.parametrize("back", [7, 8, 0])
def test_a_key_whose_count_goes_back_is_refused_and_that_is_told(school, device, enter, asked, back):
    device.counted = 8
    enter(device.signs(asked()))
    device.counted = back
    with pytest.raises(Refused, match=COPIED):
        enter(device.signs(asked()))
    assert did(school.store)[-1] == ("Ada", "key refused")


def test_a_key_that_was_taken_away_opens_nothing(school, ada, device, enter, asked):
    passkey.remove(school.store, ada, passkey.of(school.store, ada)[0].id)
    with pytest.raises(Refused, match=NOT_OURS):
        enter(device.signs(asked()))


def test_a_key_of_one_who_was_shut_out_opens_nothing(school, device, enter, asked):
    person.remove(school.store, "Ada")
    with pytest.raises(Refused, match=NOT_OURS):
        enter(device.signs(asked()))


def test_a_key_has_a_name_that_can_be_changed(school, ada, device, add):
    (key,) = passkey.of(school.store, ada)
    assert (key.name, key.used) == ("My phone", None)
    passkey.rename(school.store, ada, key.id, " The tablet ")
    passkey.rename(school.store, ada, key.id, "  ")
    assert [each.name for each in passkey.of(school.store, ada)] == ["The tablet"]
    for wrong in ("a\nb", "\u202ea", "x" * 100):
        with pytest.raises(Refused, match="A name is"):
            passkey.rename(school.store, ada, key.id, wrong)


def test_nobody_names_or_takes_away_a_key_of_another(school, ada, device, add):
    add("Bea")
    bea, (key,) = person.find(school.store, "Bea").person, passkey.of(school.store, ada)
    passkey.rename(school.store, bea, key.id, "mine")
    passkey.remove(school.store, bea, key.id)
    assert passkey.of(school.store, ada) == [key]
    assert ("Bea", "key removed") not in did(school.store)


def test_a_key_is_kept_for_one_person_alone(school, ada, device, add):
    add("Bea")
    bea = person.find(school.store, "Bea").person
    with pytest.raises(Refused, match="kept here already"):
        passkey.add(school.store, HERE, bea, device.keeps(passkey.ask_to_add(school.store, HERE, bea)), "")
    assert passkey.of(school.store, bea) == []


def test_a_key_is_added_by_whom_it_was_asked_for_alone(school, ada, add):
    add("Bea")
    bea = person.find(school.store, "Bea").person
    with pytest.raises(Refused, match=LATE):
        passkey.add(school.store, HERE, bea, Device().keeps(passkey.ask_to_add(school.store, HERE, ada)), "")


@pytest.mark.parametrize("wrong", [{"origin": "https://evil.example"}, {"host": "evil.example"}, {"flags": PRESENT}])
def test_a_key_made_elsewhere_or_for_nobody_known_is_not_kept(school, ada, wrong):
    with pytest.raises(Refused, match="could not be kept"):
        passkey.add(school.store, HERE, ada, Device(**wrong).keeps(passkey.ask_to_add(school.store, HERE, ada)), "")
    assert passkey.of(school.store, ada) == []


def test_an_invitation_is_taken_up_with_a_key(school, add):
    token, device = add("Ada"), Device()
    ada = person.find(school.store, "Ada").person
    made = device.keeps(passkey.ask_to_add(school.store, HERE, ada))
    inside = passkey.accept(school.store, HERE, token, made, shared=False)
    assert sign_in.signed(school.store, inside).person.name == "Ada"
    with pytest.raises(Refused, match="serves no more"):
        passkey.accept(school.store, HERE, token, made, shared=False)
    with pytest.raises(Refused, match="do not belong together"):
        sign_in.sign_in(school.store, "Ada", PASSWORD, ADDRESS, shared=False)
    assert passkey.sign_in_by(
        school.store, HERE, device.signs(passkey.ask_to_sign_in(school.store, HERE)), ADDRESS, shared=False
    )


def test_an_invitation_with_a_key_that_is_not_right_serves_again(school, add):
    token, ada = add("Ada"), person.find(school.store, "Ada").person
    made = Device(flags=PRESENT).keeps(passkey.ask_to_add(school.store, HERE, ada))
    with pytest.raises(Refused, match="could not be kept"):
        passkey.accept(school.store, HERE, token, made, shared=False)
    assert sign_in.invited(school.store, token).name == "Ada"


def test_a_new_invitation_takes_the_lost_keys_and_the_password_away(school, ada, device, enter, asked):
    sign_in.accept(school.store, person.invite(school.store, "Ada").token, PASSWORD, shared=False)
    with pytest.raises(Refused, match=NOT_OURS):
        enter(device.signs(asked()))
    other = Device()
    made = other.keeps(passkey.ask_to_add(school.store, HERE, ada))
    passkey.accept(school.store, HERE, person.invite(school.store, "Ada").token, made, shared=False)
    with pytest.raises(Refused, match="do not belong together"):
        sign_in.sign_in(school.store, "Ada", PASSWORD, ADDRESS, shared=False)


def test_keys_that_fail_are_slowed_like_passwords(device, enter, asked, later):
    for _ in range(sign_in.FREE):
        with pytest.raises(Refused, match=NOT_OURS):
            enter(replace(device, flags=PRESENT).signs(asked()))
    with pytest.raises(sign_in.Slow):
        enter(device.signs(asked()))
    later(seconds=2)
    assert enter(device.signs(asked()))


def test_keys_that_nobody_has_slow_their_address(enter, asked):
    for _ in range(sign_in.MOST_FREE):
        with pytest.raises(Refused, match=NOT_OURS):
            enter(Device().signs(asked()))
    with pytest.raises(sign_in.Slow):
        enter(Device().signs(asked()))


def spoilt(signed, **response):
    sent = json.loads(signed)
    return json.dumps({**sent, "response": {**sent["response"], **response}})


@pytest.mark.parametrize(
    "spoil",
    [
        lambda signed: "",
        lambda signed: "{",
        lambda signed: "[]",
        lambda signed: "{}",
        lambda signed: "[" * 100_000,
        lambda signed: json.dumps({**json.loads(signed), "id": "x" * 100_000}),
        lambda signed: json.dumps({**json.loads(signed), "rawId": "\0"}),
        lambda signed: spoilt(signed, clientDataJSON="e30"),
        lambda signed: spoilt(signed, clientDataJSON="é"),
        lambda signed: spoilt(signed, clientDataJSON=7),
        lambda signed: spoilt(signed, authenticatorData="AAAA"),
        lambda signed: spoilt(signed, authenticatorData=""),
        lambda signed: spoilt(signed, signature="AAAA"),
        lambda signed: spoilt(signed, userHandle=None),
    ],
)
def test_whatever_is_sent_in_place_of_a_key_is_refused_in_a_sentence(device, enter, asked, spoil):
    with pytest.raises(Refused, match=NOT_OURS):
        enter(spoil(device.signs(asked())))


@pytest.mark.parametrize("sent", ["", "{}", "[]", '{"id": 1}', "\x00"])
def test_whatever_is_sent_in_place_of_a_new_key_is_refused_in_a_sentence(school, ada, sent):
    passkey.ask_to_add(school.store, HERE, ada)
    with pytest.raises(Refused, match="could not be kept"):
        passkey.add(school.store, HERE, ada, sent, "")


def test_a_person_sees_what_is_kept_of_their_keys(school, ada, device, enter, asked):
    enter(device.signs(asked()))
    (key,) = own.own(school.store, ada).keys
    assert key.name == "My phone"
    assert key.used is not None
    assert person.find(school.store, "Ada").keys == 1


def test_of_one_who_is_erased_no_key_stays(school, device):
    person.remove(school.store, "Ada", erase=True)
    with school.store.reading() as connection:
        assert connection.exec_driver_sql("SELECT * FROM passkeys").all() == []


def test_behind_a_copy_that_is_put_back_nothing_asked_before_serves(school, device, enter, asked):
    question = asked()
    sessions.end_all(school.store)
    with pytest.raises(Refused, match=LATE):
        enter(device.signs(question))
