"""What leaves the program: the court-side sheet and its kin."""
