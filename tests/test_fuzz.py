"""The fuzz run itself: cases once found are borne, every kind is tried a little, and what fails is seen."""

import os
import signal
from collections.abc import Callable
from pathlib import Path
from random import Random

import pytest
from fuzz import found, trial
from fuzz.__main__ import main
from fuzz.kinds import KINDS, Kind

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="a trial forks")


@pytest.mark.parametrize(("kind", "place"), list(found.kept()), ids=lambda value: getattr(value, "stem", ""))
def test_a_case_once_found_is_borne(kind: Kind, place: Path) -> None:
    assert trial.fault_of(kind, place.read_bytes()) == ""


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_what_is_drawn_is_the_same_for_the_same_seed(kind: Kind) -> None:
    first = [trial.drawn(kind, 5, number) for number in range(6)]

    assert first == [trial.drawn(kind, 5, number) for number in range(6)]
    assert first != [trial.drawn(kind, 6, number) for number in range(6)]


def words(rng: Random) -> bytes:
    return " ".join(rng.choices(["la", "li", "bang", "lo", "lu"], k=40)).encode()


def kind(check: Callable[[bytes], object], seconds: float = 20.0) -> Kind:
    def checked(content: bytes, _: Path) -> None:
        check(content)

    return Kind("words", 30, 1, words, checked, seconds)


def test_where_nothing_fails_all_are_tried() -> None:
    tally = trial.tried(kind(len), seed=1, seconds=60)

    assert (tally.tried, tally.failures) == (30, ())


def fail(content: bytes) -> None:
    assert b"bang" not in content, "it went bang"


def test_what_fails_is_seen_made_small_and_kept(tmp_path: Path) -> None:
    tally = trial.tried(kind(fail), seed=1, seconds=60)

    assert len(tally.failures) == 20
    assert tally.failures[0].fault.startswith("AssertionError: it went bang")
    small = trial.shortest(kind(fail), tally.failures[0])
    assert small == b"bang"
    assert found.keep(kind(fail), small, tmp_path).read_bytes() == b"bang"


def die(content: bytes) -> None:
    os.kill(os.getpid(), signal.SIGKILL)


def loop(content: bytes) -> None:
    while content:
        pass


def eat(content: bytes) -> None:
    bytearray(trial.MOST_BYTES)


@pytest.mark.parametrize(
    ("does", "seconds", "told"),
    [(die, 60, "killed by signal 9"), (loop, 0.1, "more than 0.1 seconds"), (eat, 60, "MemoryError")],
)
def test_a_trial_that_dies_never_ends_or_eats_all_memory_is_a_failure(
    does: Callable[[bytes], object], seconds: float, told: str
) -> None:
    assert trial.fault_of(kind(does, seconds), b"la").startswith(told)


def test_a_kind_that_there_is_not_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        main(["violins"])
    assert "no such kind: violins" in capsys.readouterr().err
