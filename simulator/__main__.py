"""Start the command line: python -m simulator."""

import os
import sys

from simulator.cli import main

if __name__ == "__main__":
    try:
        status = main()
        sys.stdout.flush()
    except BrokenPipeError:
        # The reader, such as `head`, has gone. Nothing more can be written, at the interpreter's end neither.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        status = 1
    sys.exit(status)
