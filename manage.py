#!/usr/bin/env python3
"""The site's command line: `serve`, `check`, `migrate` and the rest."""

import os
import sys


def main(arguments: list[str]) -> None:
    from django.core.management import execute_from_command_line  # noqa: PLC0415  only once the path is set

    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "training.settings")
    # Settings are read before a command sees its own options, so the one option that changes them is read here.
    if arguments[1:2] == ["serve"] and "--demo" in arguments[2:]:
        os.environ["PUMPWRIGHT_DEMO"] = "yes"
    execute_from_command_line(arguments)


if __name__ == "__main__":
    main(sys.argv)
