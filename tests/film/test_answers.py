"""What a coach's yes and no teach."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.film.answers import LEAST, NO, PRIOR, taught_by, with_answers
from planner.film.intake import Intake, Proposal, Sighting

HEARD = Proposal("no-tag", 3, "00:00:01.000", sure=0.8, text="they never tag", wording="never tag")


def intake(*seen: Sighting) -> Intake:
    return Intake("talk.vtt", "captions", "0" * 64, None, (), seen, (), ())


@pytest.mark.parametrize(
    ("told", "sure"),
    [({}, 0.8), ({"no-tag": 4}, 0.9), ({NO: 1}, 0.64), ({NO: 4}, 0.4), ({"no-tag": 8, NO: 8}, 0.56)],
)
def test_sureness_is_drawn_towards_the_answers(told: dict[str, int], sure: float) -> None:
    """Sureness is the mean of a Beta prior worth four answers with the answers in it (beta-binomial)."""
    assert taught_by(HEARD, told).sure == pytest.approx(sure)
    yes, every = told.get("no-tag", 0), sum(told.values())
    assert taught_by(HEARD, told).sure == pytest.approx((0.8 * PRIOR + yes) / (PRIOR + every), abs=0.005)


def test_wording_said_no_to_is_doubted_not_dropped() -> None:
    """What falls below a half waits among the unclear lines, with the reason; other wording is as it was."""
    other = replace(HEARD, wording="no tag", line=9)
    taught = with_answers(intake(HEARD, other), {("never tag", "no-tag"): {NO: 5}})
    assert taught.sightings == (other,)
    assert [(one.text, one.line) for one in taught.unclear] == [("they never tag", 3)]
    assert taught.unclear[0].why.startswith("no-tag? you said no")


def test_wording_re_sorted_proposes_what_it_was_sorted_as() -> None:
    """Where most answers, two at least, name another breakdown, that is proposed; one alone is no rule."""
    assert taught_by(HEARD, {"late-help": 1}).breakdown == "no-tag"
    taught = taught_by(HEARD, {"late-help": 3, NO: 1})
    assert (taught.breakdown, taught.sure) == ("late-help", pytest.approx((LEAST * PRIOR + 3) / 8, abs=0.01))
    assert taught_by(HEARD, {"late-help": 2, "no-tag": 2}).breakdown == "no-tag"


def test_what_is_certain_is_never_touched() -> None:
    """Sightings of sheets and tables stay as they are whatever was answered."""
    sheet = intake(Sighting("no-tag", 3, text="nt"))
    assert with_answers(sheet, {("", "no-tag"): {NO: 99}}) == sheet


@given(st.dictionaries(st.sampled_from(["no-tag", "late-help", NO, "no-talk"]), st.integers(0, 50)))
def test_nothing_heard_is_lost(told: dict[str, int]) -> None:
    """Whatever was answered, a proposal stays one or becomes an unclear line, and sureness stays a share."""
    taught = with_answers(intake(HEARD), {("never tag", "no-tag"): told})
    assert len(taught.sightings) + len(taught.unclear) == 1
    assert all(LEAST <= one.sure <= 1 for one in taught.sightings)
