"""How large a film note may be, by kind; everything that reads one goes by these."""

from __future__ import annotations

TEXT_BYTES = 2_000_000
"""A typed sheet or a table as text (CSV, TSV)."""
CAPTION_BYTES = 5_000_000
"""WebVTT and SubRip, with their times and tags."""
WORKBOOK_BYTES = 5_000_000
"""An .xlsx as it lies on the disk."""
UNPACKED_BYTES = 12_000_000
"""What a workbook may unpack to, as its directory declares."""
MOST_BYTES = max(TEXT_BYTES, CAPTION_BYTES, WORKBOOK_BYTES)
"""A larger file is refused unread, whatever it is."""


def megabytes(count: int) -> str:
    """Return ``"2 MB"``."""
    return f"{count // 1_000_000} MB"
