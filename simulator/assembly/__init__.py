"""From a rig and its parameters by name to the figures of each part that the engine needs."""
