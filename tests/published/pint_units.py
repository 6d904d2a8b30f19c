#!/usr/bin/env python3
"""Writes or checks data/units_pint.csv: conversions by the Python library pint, for units.rs to be held against.

Needs pint 0.25.3, which is pinned because another version may change its definitions:

    pip install pint==0.25.3
    python3 tests/published/pint_units.py           # writes the file anew
    python3 tests/published/pint_units.py --check   # fails if the file is not what pint gives now

Every ordered pair of units of a dimension gets two random numbers from a fixed seed. pint calculates in decimals of
60 digits here, so that the expected values are right to the 25 digits, or 27 places, that are written.
"""

import random
from decimal import Context, Decimal, getcontext
from pathlib import Path

import pint
from fixture import keep

PINT_VERSION = "0.25.3"
FIXTURE = Path(__file__).parent / "data" / "units_pint.csv"
SEED = 1983
VALUES_PER_PAIR = 2
DIGITS = 25
PLACES = 27

# The codes that are stored, and how pint writes the same unit.
UNITS = {
    "torque": {
        "N.m": "newton * meter",
        "lbf.ft": "force_pound * foot",
        "lbf.in": "force_pound * inch",
        "kgf.m": "force_kilogram * meter",
        "kgf.cm": "force_kilogram * centimeter",
        "daN.m": "decanewton * meter",
        "N.cm": "newton * centimeter",
        "ozf.in": "force_ounce * inch",
    },
    "volume": {
        "l": "liter",
        "ml": "milliliter",
        "cm3": "centimeter ** 3",
        "cl": "centiliter",
        "dl": "deciliter",
        "US.gal": "gallon",
        "US.qt": "quart",
        "US.pt": "pint",
        "US.fl.oz": "fluid_ounce",
        "imp.gal": "imperial_gallon",
        "imp.qt": "imperial_quart",
        "imp.pt": "imperial_pint",
        "imp.fl.oz": "imperial_fluid_ounce",
    },
    "pressure": {
        "bar": "bar",
        "kPa": "kilopascal",
        "psi": "pound_force_per_square_inch",
        "kgf/cm2": "force_kilogram / centimeter ** 2",
        "mbar": "millibar",
        "MPa": "megapascal",
        "atm": "standard_atmosphere",
        "inHg": "inch_Hg",
        "mmHg": "millimeter_Hg",
    },
    "length": {
        "mm": "millimeter",
        "cm": "centimeter",
        "m": "meter",
        "um": "micrometer",
        "in": "inch",
        "ft": "foot",
        "thou": "thou",
    },
    "temperature": {"degC": "degree_Celsius", "degF": "degree_Fahrenheit", "K": "kelvin"},
    "angle": {"deg": "degree", "turn": "turn", "arcmin": "arcminute"},
    "mass": {"kg": "kilogram", "g": "gram", "lb": "pound", "oz": "ounce"},
    "voltage": {"V": "volt", "mV": "millivolt", "kV": "kilovolt"},
}


def random_number(rng, code):
    """Up to seven digits, of a size that every unit of the dimension can have on a car."""
    places = rng.randint(0, 4)
    number = Decimal(rng.randint(1, 10 ** (places + 2) - 1)).scaleb(-places)
    if code in ("degC", "degF"):
        number *= rng.choice((-1, 1, 4))
    return number


def rounded(number):
    """To the digits and places that the reader of the file can hold."""
    short = Context(prec=DIGITS).plus(number)
    if short.as_tuple().exponent < -PLACES:
        short = short.quantize(Decimal(1).scaleb(-PLACES))
    return short.normalize()


def rows(registry):
    rng = random.Random(SEED)
    for dimension, units in UNITS.items():
        pairs = [(a, b) for a in units for b in units if a != b]
        for source, target in pairs * VALUES_PER_PAIR:
            number = random_number(rng, source)
            quantity = registry.Quantity(number, units[source])
            converted = quantity.to(units[target]).magnitude
            expected = format(rounded(converted), "f")
            yield f"{dimension},{number},{source},{expected},{target}"


def fixture():
    getcontext().prec = 60
    registry = pint.UnitRegistry(non_int_type=Decimal, autoconvert_offset_to_baseunit=False)
    head = [
        f"# Conversions by the Python library pint {PINT_VERSION}; written by tests/published/pint_units.py, do not edit.",
        "dimension,value,from,expected,to",
    ]
    return "\n".join([*head, *rows(registry)]) + "\n"


if __name__ == "__main__":
    keep(FIXTURE, "pint", PINT_VERSION, pint.__version__, fixture)
