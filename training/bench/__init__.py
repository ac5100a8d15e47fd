"""Where the machine is worked on: attempts, append-only logs, replay and review."""
