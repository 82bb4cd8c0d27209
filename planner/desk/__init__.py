"""The verbs of the product, called by the command line and by the screens alike."""
