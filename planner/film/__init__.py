"""Film notes in whatever form they come, read into sightings."""
