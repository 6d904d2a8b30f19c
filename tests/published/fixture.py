"""Keeps a committed table in step with the reference library that it comes from."""

import sys


def keep(fixture, library, wanted, installed, made):
    """Writes `fixture` from `made()`; with --check, says whether it is what the library gives, and fails if not.

    `wanted` is the version the table was made with: another one is refused, as its figures may differ.
    """
    if installed != wanted:
        sys.exit(f"{library} {wanted} is needed, but {installed} is installed")
    if "--check" not in sys.argv[1:]:
        fixture.write_text(made(), encoding="utf-8")
        return
    if fixture.read_text(encoding="utf-8") != made():
        sys.exit(f"{fixture.name} is not what {library} {wanted} gives: run without --check and look at the difference")
    print(f"{fixture.name} is what {library} {wanted} gives")
