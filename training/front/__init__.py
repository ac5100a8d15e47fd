"""Pages that cross apps: Today and the Crew board. No models."""
