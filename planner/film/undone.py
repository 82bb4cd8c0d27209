"""What is taught, told with a word that says it was not done: ``switch never completed``.

No phrase is looked up: the name of an action and what it lacked stand close together in one stretch.
"""

from __future__ import annotations

from collections.abc import Sequence

from planner.film.lexicon import NO, Lexicon, Meaning, Spot
from planner.film.words import stem

_MOST = 8
"""Words of a stretch, fillers aside, in which what is lacking may be said behind its name."""
_AROUND = 4
_NEAR = 3
_SURE = 0.75
_DONE = frozenset(
    stem(word)
    for word in (
        *("come", "came", "complete", "completed", "happen", "make", "made", "do", "done", "there", "arrive"),
        *(
            "exist",
            "follow",
            "follows",
            "went",
            "go",
            "stay",
            "finish",
            "finished",
            "given",
            "appear",
            "enough",
        ),
    )
)
"""What an action did not, when the denial stands behind its name."""
_UNASKED = frozenset(
    stem(word)
    for word in (
        "need",
        "needs",
        "needed",
        "want",
        "wanted",
        "ask",
        "let",
        "allow",
        "expect",
        "bother",
        "matter",
    )
)
_OF_ROLLER = frozenset(
    stem(word) for word in ("roll", "roller", "dive", "diver", "screener", "picker", "big")
)


def undone(said: Sequence[str], lexicon: Lexicon) -> Spot | None:
    """Return the breakdown of an action that a stretch names as lacking, None where it does not say so."""
    line = lexicon.canonical(said)
    texts = [word.text for word in line]
    named = [at for at, one in enumerate(texts) if one in lexicon.undone]
    if len(texts) < 2 or len(named) != 1:
        return None
    topic = named[0]
    first, last = max(0, topic - _AROUND), min(len(texts), topic + _AROUND + 1)
    around = range(first, last)
    lacks = [at for at in around if (texts[at],) in lexicon.groups["lacking"]]
    denied = [at for at in around if texts[at] == NO]
    praised = any((one,) in lexicon.groups["praise"] for one in texts[first:last])
    if len(denied) + len(lacks) != 1 or praised or _UNASKED & set(texts[first:last]):
        return None
    other = (lacks or denied)[0]
    if abs(topic - other) > _NEAR or (other > topic and len(texts) > _MOST):
        return None
    if denied and other > topic and not _DONE & set(texts[other:last]):
        return None
    made = lexicon.undone[texts[topic]]
    if texts[topic] == "bump" and _OF_ROLLER & set(texts):
        made = "no-tag"
    start, end = sorted((topic, other))
    return Spot(line[start].start, line[end].end, Meaning("breakdown", made), _SURE)
