"""The words of the trade and the drill library."""
