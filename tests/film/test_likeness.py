"""Likeness to examples."""

from __future__ import annotations

from planner.film.likeness import Topics, learn_faults


def test_the_breakdown_with_the_like_examples_leads() -> None:
    """Words of an example score for its breakdown; words nobody knows score for none."""
    topics = Topics()
    topics.learn("no-box-out", ["nobody", "hit", "a", "body", "on", "the", "shot"])
    topics.learn("no-talk", ["nobody", "said", "a", "word", "on", "the", "screen"])
    topics.settle()
    scores = topics.scores(["not", "a", "body", "hit"])
    assert scores["no-box-out"] > scores["no-talk"]
    assert set(topics.scores(["zebra"]).values()) == {0.0}


def test_talk_like_faults_has_positive_odds() -> None:
    """Words of faults raise the odds, words of praise lower them, markers count too."""
    faults = learn_faults(
        [(["he", "lost", "him"], []), (["nobody", "back"], [])],
        [(["great", "job"], ["praise"]), (["if", "lost"], [])],
    )
    assert faults.odds(["nobody"], []) > 0 > faults.odds(["great"], [])
    assert faults.odds(["lost"], ["praise"]) < faults.odds(["lost"], [])
    assert faults.odds([], []) == 0
