"""Passwords that cost nothing to check, and a clock of sign-ins that a test moves."""

from collections.abc import Callable
from datetime import date, timedelta

import argon2
import pytest

from stickback import clock
from stickback.services import sign_in

DAY = date(2026, 6, 1)
PASSWORD = "four cows under a windsock"  # noqa: S105 - of nobody


@pytest.fixture(autouse=True)
def cheap(monkeypatch: pytest.MonkeyPatch) -> None:
    """Hashes are made at the least cost there is."""
    made = argon2.PasswordHasher.from_parameters(argon2.profiles.CHEAPEST)
    monkeypatch.setattr(sign_in, "hasher", lambda: made)


@pytest.fixture
def later(monkeypatch: pytest.MonkeyPatch) -> Callable[..., None]:
    """Moves the machine's clock: `later(hours=13)`; back too."""
    real, moved = clock.machine_now, [timedelta()]

    def move(**by: float) -> None:
        moved[0] += timedelta(**by)

    monkeypatch.setattr(clock, "machine_now", lambda: real() + moved[0])
    return move
