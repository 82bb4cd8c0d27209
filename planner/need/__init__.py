"""What the breakdowns on film cost, principle by principle."""
