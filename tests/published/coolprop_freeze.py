#!/usr/bin/env python3
"""Writes or checks data/coolant_coolprop.csv: freezing points by the library CoolProp, for coolant.rs to be held against.

Needs CoolProp 8.0.0, which is pinned because another version may refit its curves:

    pip install CoolProp==8.0.0
    python3 tests/published/coolprop_freeze.py           # writes the file anew
    python3 tests/published/coolprop_freeze.py --check   # fails if the file is not what CoolProp gives now

Two sets, each on the basis it was measured on: MEG is ethylene glycol by mass, AEG is ethylene glycol by volume. Every
whole percent from 10 to 60, where both sets have data.
"""

from pathlib import Path

import CoolProp
from CoolProp.CoolProp import PropsSI
from fixture import keep

COOLPROP_VERSION = "8.0.0"
FIXTURE = Path(__file__).parent / "data" / "coolant_coolprop.csv"
SETS = {"mass": "MEG", "volume": "AEG"}
PERCENTS = range(10, 61)
ZERO_CELSIUS = 273.15


def freezing_point(name, percent):
    """In degrees Celsius, to a hundredth."""
    mixture = f"INCOMP::{name}[{percent / 100}]"
    kelvin = PropsSI("T_freeze", "T", 300, "P", 101325, mixture)
    return f"{kelvin - ZERO_CELSIUS:.2f}"


def fixture():
    head = [
        f"# Freezing points of ethylene glycol in water by the library CoolProp {COOLPROP_VERSION}, in degrees Celsius;",
        "# written by tests/published/coolprop_freeze.py, do not edit.",
        "basis,percent,freezes",
    ]
    rows = [f"{basis},{percent},{freezing_point(name, percent)}" for basis, name in SETS.items() for percent in PERCENTS]
    return "\n".join([*head, *rows]) + "\n"


if __name__ == "__main__":
    keep(FIXTURE, "CoolProp", COOLPROP_VERSION, CoolProp.__version__, fixture)
