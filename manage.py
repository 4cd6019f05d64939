#!/usr/bin/env python
"""Runs the site's commands: `python manage.py help` lists them."""

import os
import sys


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "restoration.settings")
    from django.core.management import execute_from_command_line

    try:
        execute_from_command_line(sys.argv)
    except BrokenPipeError:  # whoever read the output had enough of it
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


if __name__ == "__main__":
    main()
