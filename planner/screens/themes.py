"""The two looks of the app. Colour never says anything alone."""

from __future__ import annotations

from textual.theme import Theme

NIGHT = Theme(
    name="late-evening",
    primary="#7FB4E6",
    secondary="#C9B458",
    accent="#E6A15C",
    warning="#E6C35C",
    error="#E67F7F",
    success="#8CCB8C",
    foreground="#E8E6E1",
    background="#14171A",
    surface="#1B1F23",
    panel="#262B31",
    dark=True,
)

DAY = Theme(
    name="daylight",
    primary="#1F5A94",
    secondary="#6B5A00",
    accent="#9A4A00",
    warning="#7A5A00",
    error="#A32222",
    success="#1E6B2E",
    foreground="#1A1A1A",
    background="#FBFAF7",
    surface="#F2F0EA",
    panel="#E4E1D8",
    dark=False,
)
