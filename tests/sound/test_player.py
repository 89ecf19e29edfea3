import io
import sys
import wave

import numpy as np
import pytest

from stickback.sound import player

SOUND = np.linspace(-0.5, 0.5, 1000)


def test_a_sound_file_holds_every_sample():
    with wave.open(io.BytesIO(player.as_file(SOUND, 22_050))) as file:
        assert (file.getnchannels(), file.getsampwidth(), file.getframerate()) == (1, 2, 22_050)
        assert file.getnframes() == SOUND.size


def test_the_first_player_that_is_there_is_used(monkeypatch):
    monkeypatch.setattr(player.shutil, "which", lambda name: name in {"aplay", "play"})
    assert player.found() == ("aplay", "-q")
    monkeypatch.setattr(player.shutil, "which", lambda _: None)
    assert player.found() is None


@pytest.mark.parametrize(("code", "well"), [("import sys; open(sys.argv[1])", True), ("raise SystemExit(1)", False)])
def test_a_player_gets_a_file_which_is_gone_afterwards(code, well):
    playing = player.Playing(SOUND, 22_050, (sys.executable, "-c", code))
    path = playing._path
    playing._process.wait()
    assert playing.done() is well
    playing.stop()
    assert not path.exists()


def test_what_is_still_played_can_be_stopped():
    playing = player.Playing(SOUND, 22_050, (sys.executable, "-c", "input() or exit"))
    playing.stop()
    assert playing.done() is not None
