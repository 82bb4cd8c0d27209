"""Lines that change or repeat what stands before them."""

from __future__ import annotations

from planner.film.amends import amended, ditto
from planner.film.charge import Charge
from tests.film.conftest import Read


def seen(intake: object) -> list[tuple[int | None, str, tuple[str, ...]]]:
    return [(one.possession, one.breakdown, one.players) for one in intake.sightings]  # type: ignore[attr-defined]


def test_ditto_repeats_the_possession_before(read: Read) -> None:
    """``ditto`` has the mistakes of the possession before, with another player in place of one."""
    made = read(
        "1. 12 no box out. 2\n2. ditto. 0\n3. stop\n4. 5 late closeout, 3\n"
        "5. ditto, but 11 in place of 5. 2\n"
    )
    assert seen(made) == [
        (1, "no-box-out", ("12",)),
        (2, "no-box-out", ("12",)),
        (4, "late-closeout", ("5",)),
        (5, "late-closeout", ("11",)),
    ]


def test_an_answer_corrects_its_possession(read: Read) -> None:
    """An answer below a quoted line puts another player, leaves one only, or takes the mistake away."""
    made = read(
        "> 1. 24 late closeout. 3\nIt was 11, not 24.\n> 2. 42 and 24 no box out. 2\nOnly 42.\n"
        "> 3. 8 bit on the fake. 2\nNo. Delete that.\n> 4. stop. 0\nyes\n"
    )
    assert seen(made) == [(1, "late-closeout", ("11",)), (2, "no-box-out", ("42",))]
    assert [one.points for one in made.trips] == [3, 2, 2, 0]


def test_what_changes_nothing() -> None:
    """A line that names nobody charged changes nothing; ``same`` in a sentence is no ditto."""
    charges = [Charge("no-tag", 1.0, ["5"])]
    assert not amended("it was 11, not 24", charges)
    assert charges[0].players == ["5"]
    assert not ditto("same kid beat 12 again")
