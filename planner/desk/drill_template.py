"""The file a coach fills in for a drill of the team's own."""

from __future__ import annotations

import json

from planner.drills.vocabulary import Stage

_TEMPLATE = """\
# A drill of your own. Fill in what is empty; until then it is left out of plans.
# 'stopsheet drills edit {id}' opens this file and says what is still wrong.
# Text between three quotation marks may run over several lines. A line that begins with # is a remark.

id = "{id}"                      # must be the file's name
title = {title}
kind = "drill"                   # drill, warm-up, cool-down or fixed
stage = "{stage}"                 # walk, guided, contested or live

# What it teaches: the part of each minute, in steps of 0.05, together at most 1.
# 'stopsheet drills ladder' lists the principles.
principles = {{ {principle} = 0.7, talk = 0.1 }}

players = {{ min = 6, max = 12 }}
half_courts = 1                  # 1, or 2 where it needs the whole floor
layout = "half"                  # half, full (then half_courts = 2) or stations
minutes = {{ min = 5, usual = 8, max = 12 }}
effort = 5                       # how hard, 0 to 10, as players would rate it half an hour afterwards
equipment = ["1 ball"]

set_up = \"\"\"\"\"\"                    # who stands where
how = \"\"\"\"\"\"                       # what happens, the rule, how it ends, who rotates

# What you call out, a few words each, the first the most important.
cues = []
# cues = ["See both", "Move when the ball moves"]

# What you will see, and what you say then; one line each.
faults = [
#  {{ seen = "Both feet outside the lane", say = "One foot in the paint" }},
]

# target out of tries; leave out tries for an open count.
scoring = {{ rule = "", counts = "stops", target = 6, tries = 10 }}

easier = []                      # ids of drills this one builds on
harder = []                      # ids of drills that come next
cautions = []                    # contact, turns, balls underfoot: what to mind
few_players = ""
one_basket = ""

# One to three pictures. Players 1-9 attack, x1-x9 defend, C is the coach; places in words, or [x, y] in feet
# from the middle of the end line. Nothing may follow the pictures. Take the signs # away to use this one.
# [[diagram]]
# court = "half"
# caption = "Ball on the wing: one pass a step off, two passes a foot in the paint"
# players = {{ 1 = "right wing", 2 = "top", 3 = "left wing", x1 = "on", x2 = "gap", x3 = "help" }}
# ball = "1"
# moves = ["1 passes to 2", "x2 closes out to 2", "x1 jumps to the ball"]
"""


def template(drill: str, title: str, principle: str, stage: Stage) -> str:
    """Return the text of a new drill file; it is valid TOML, and incomplete on purpose."""
    said = json.dumps(title, ensure_ascii=False)
    text = _TEMPLATE.format(id=drill, title=said, stage=stage.value, principle=principle)
    return text if principle != "talk" else text.replace(", talk = 0.1 }", " }", 1)
