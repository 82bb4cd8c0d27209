"""Several teams from the command line."""

from __future__ import annotations

import json

from tests.running import Stopsheet


def test_an_evening_with_two_teams(stopsheet: Stopsheet) -> None:
    """A further team is made, listed, left and taken up again; what is shown is the team in hand."""
    assert stopsheet("team", "list").code == 1
    assert stopsheet("team", "new", "Herons").code == 0
    made = stopsheet("team", "new", "Herons Two", "--further", "--level", "under 14")
    assert "in hand now" in made.out
    assert "* herons-two" in stopsheet("team", "list").out
    assert stopsheet("team").out.startswith("Herons Two  under 14")
    assert stopsheet("team", "use", "herons").code == 0
    assert stopsheet("team").out.startswith("Herons ")
    listed = json.loads(stopsheet("team", "list", "--json").out)
    assert [(one["key"], one["in_hand"]) for one in listed] == [("herons", True), ("herons-two", False)]


def test_an_unknown_team_is_refused_with_those_there_are(stopsheet: Stopsheet) -> None:
    """Taking a team that is not there names the ones that are."""
    stopsheet("team", "new", "Herons")
    ran = stopsheet("team", "use", "bitterns")
    assert ran.code == 2
    assert "there is herons" in ran.err
