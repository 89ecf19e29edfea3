import pytest
from hypothesis import given
from hypothesis import strategies as st

from stickback.radio import rules as phraseology

RULES = sorted(phraseology.READ_BACK)


def unmarked(transmission, *wanted, rules="uk"):
    return [said for said, _ in phraseology.unmarked(transmission, wanted, rules)]


@pytest.mark.parametrize(
    ("transmission", "said"),
    [
        ("cleared for immediate take-off", "cleared immediate takeoff"),
        ("cleared touch and go", "cleared touch go"),
        ("line up and wait", "line up wait"),
        ("cross runway 15", "cross"),
        ("hold short of runway 15", "hold short"),
        ("hold position", "hold position"),
        ("go around", "go around"),
        ("taxi via taxiway B", "via b"),
        ("altitude 2500 feet", "altitude 2500"),
        ("FL75", "flight level 75"),
        ("turn left heading 090", "left turn"),
        ("QNH 998", "qnh 998"),
        ("squawk 7000", "squawk 7000"),
        ("contact Eldermoor Tower 118.305", "118.305"),
        ("holding point A1", "holding point a 1"),
        ("behind the landing biplane", "behind"),
    ],
)
def test_what_must_be_read_back_is_found(transmission, said):
    for spoken in ("uk", "icao"):
        assert said in unmarked(transmission, rules=spoken)
        assert unmarked(transmission, transmission, rules=spoken) == []


def test_only_the_uk_wants_its_services_and_approaches_read_back():
    assert unmarked("Basic Service") == ["basic service"]
    assert unmarked("Basic Service", rules="icao") == []


def test_the_faa_wants_less():
    assert unmarked("QNH 1008, squawk 7000, 118.3, report final", rules="faa") == []
    assert unmarked("runway 33, hold short of runway 27", rules="faa") == ["hold short", "runway 33", "runway 27"]


@pytest.mark.parametrize("said", ["surface wind 230 8", "report final", "number 2 to the tug on base", "wind 260 10"])
@pytest.mark.parametrize("rules", RULES)
def test_wind_traffic_and_reports_are_never_read_back(said, rules):
    assert unmarked(said, rules=rules) == []
    assert list(phraseology.unasked([said], rules)) == [said]


def test_what_is_marked_though_nothing_asks_for_it_is_found():
    wanted = ["runway 24", "surface wind 230", "report final"]
    assert list(phraseology.unasked(wanted, "uk")) == wanted[1:]


def test_what_the_faa_reads_back_by_custom_may_be_marked():
    assert list(phraseology.unasked(["altimeter 30.10", "squawk 4320", "124.35", "via B"], "faa")) == []


@pytest.mark.parametrize(
    ("station", "words"),
    [
        ("tower", set()),
        ("information", {"cleared", "climb", "descend", "maintain"}),
        ("radio", {"cleared", "climb", "descend", "maintain", "approved", "report", "hold short"}),
        ("unattended", {"cleared"}),
    ],
)
def test_a_station_has_words_it_never_says(station, words):
    assert phraseology.never(station, "uk") == words
    assert phraseology.never(station, "faa") == words & {"cleared"}
    assert phraseology.STATIONS[station].clears == (not words)


def test_every_rule_names_its_source():
    every = [rule for table in (phraseology.READ_BACK, phraseology.ALLOWED) for each in table.values() for rule in each]
    assert all(rule.what and rule.source and rule.pattern.groups == 1 for rule in every)
    assert all(station.source for station in phraseology.STATIONS.values())


def test_a_transmission_has_one_plain_form():
    assert phraseology.plain("Runway 24L, QNH 998hPa") == "runway 24 left qnh 998 hectopascals"


@given(st.text(), st.text(), st.sampled_from(RULES))
def test_any_text_may_be_looked_through(transmission, wanted, rules):
    assert unmarked(transmission, transmission, rules=rules) == []
    assert len(list(phraseology.unasked([wanted], rules))) <= 1
