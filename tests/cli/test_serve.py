import pytest


def test_the_service_file_names_the_program_and_the_address(place):
    said = place.does("serve", "--print-service", "--site", "https://school.example")
    assert "serve --school --behind-proxy --port %i" in said
    assert "STICKBACK_SITE=https://school.example" in said


@pytest.mark.parametrize(
    "typed",
    [
        ("--behind-proxy",),
        ("--school", "--behind-proxy"),
        ("--school", "--behind-proxy", "--site", "http://school.example"),
        ("--school", "--share"),
    ],
)
def test_what_does_not_go_together_is_wrong_use(place, typed):
    assert place("serve", *typed).exit_code == 2
