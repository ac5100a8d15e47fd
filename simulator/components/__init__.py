"""One module per part of the machine: a frozen Spec from the fixtures, and what the part does, compiled."""
