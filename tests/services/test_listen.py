import sys
import wave

import numpy as np
import pytest

from stickback.refused import Refused
from stickback.services import listen
from stickback.sound import engine
from stickback.sound.listening import Listening

SOUND = np.linspace(-0.5, 0.5, 1000)
LAND = "G-WA, runway 24, cleared to land"


def seconds(how, *said):
    return listen.spoken(said or [LAND], "uk", how).size / engine.rate()


def test_a_transmission_is_spoken_as_loud_as_it_may_be():
    assert float(np.max(np.abs(listen.spoken([LAND], "uk", Listening())))) == pytest.approx(0.9)


def test_others_on_the_frequency_are_heard_one_after_the_other():
    others = ("G-WB, hold position", "Holding, G-WB")
    assert seconds(Listening(), *others, LAND) > seconds(Listening()) + 2 * listen.BETWEEN


def test_what_is_set_is_heard():
    assert seconds(Listening(pace=160)) < seconds(Listening()) > seconds(Listening(clipped=True))
    assert seconds(Listening(noise="light")) > seconds(Listening())


def test_a_sound_file_is_written(tmp_path):
    path = tmp_path / "said.wav"
    long = listen.write(path, [LAND], "uk", Listening(120, "heavy", True), seed=3)
    with wave.open(str(path)) as file:
        assert file.getnframes() / file.getframerate() == pytest.approx(long)


def test_what_cannot_be_written_is_refused(tmp_path):
    with pytest.raises(Refused, match="cannot be written"):
        listen.write(tmp_path / "none" / "said.wav", [LAND], "uk", Listening())


def test_without_the_voice_nothing_is_spoken_and_it_is_said_how_to_get_it(monkeypatch, tmp_path):
    monkeypatch.setattr(engine, "there", lambda: False)
    assert listen.INSTALL in listen.missing()
    assert listen.play([LAND], "uk", Listening()) is None
    with pytest.raises(Refused, match="pip install"):
        listen.write(tmp_path / "said.wav", [LAND], "uk", Listening())


def test_without_a_player_nothing_is_played(monkeypatch):
    monkeypatch.setattr(listen, "player", lambda: None)
    assert "no player" in listen.missing()
    assert listen.play([LAND], "uk", Listening()) is None


def test_how_to_listen_is_refused_in_a_sentence_that_says_what_may_be_written():
    assert listen.read("off") is None
    with pytest.raises(Refused, match="noise light"):
        listen.read("loud")


def test_the_first_player_that_is_there_is_used(monkeypatch):
    monkeypatch.setattr(listen.shutil, "which", lambda name: name in {"aplay", "play"})
    assert listen.player() == ("aplay", "-q")
    monkeypatch.setattr(listen.shutil, "which", lambda _: None)
    assert listen.player() is None


@pytest.mark.parametrize(("code", "well"), [("import sys; open(sys.argv[1])", True), ("raise SystemExit(1)", False)])
def test_a_player_gets_a_file_which_is_gone_afterwards(code, well):
    playing = listen.Playing(SOUND, 22_050, (sys.executable, "-c", code))
    path = playing._path
    playing._process.wait()
    assert playing.done() is well
    playing.stop()
    assert not path.exists()


def test_what_is_still_played_can_be_stopped():
    playing = listen.Playing(SOUND, 22_050, (sys.executable, "-c", "input() or exit"))
    playing.stop()
    assert playing.done() is not None
