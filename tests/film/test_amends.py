"""Lines that change or repeat what stands before them."""

from __future__ import annotations

from planner.film.amends import amended, ditto, mistaken, put_right
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


def test_who_was_meant() -> None:
    """``was 15 not 20`` names who was meant and who was written; a cell may say no more."""
    assert mistaken("oh and the reach was 15 not 20") == ("15", "20")
    assert mistaken("8 not 24") == ("8", "24")
    assert mistaken("not 9, it was 12") == ("12", "9")
    assert mistaken("15 late, not good") is None


def test_put_right() -> None:
    """The last mistake of the one written goes to the one meant, of those that the line names."""
    charges = [Charge("reach-foul", 1.0, ["20"]), Charge("no-box-out", 1.0, ["20"])]
    assert put_right("the reach was 15 not 20", ["reach-foul"], ["15", "20"], charges)
    assert [one.players for one in charges] == [["15"], ["20"]]
    assert not put_right("the reach was 15 not 9", ["reach-foul"], ["15", "9"], charges)
    assert not put_right("4 helps, it was 15 not 20", [], ["4", "15", "20"], charges)
