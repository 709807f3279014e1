#!/usr/bin/env python3
"""Sandtime's command line."""

import os
import sys

if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
    try:
        from django.core.management import execute_from_command_line
    except ModuleNotFoundError:
        sys.exit("This Python does not have what Sandtime needs.  In its folder say: .venv/bin/python manage.py ...")

    execute_from_command_line(sys.argv)
