"""Trigonometry in degrees, exact where the eye expects it: the sine of 30 is a half, the cosine of 90 nothing at all.

Source: the symmetries of sine and cosine bring every angle into 0 to 90; results are rounded to 15 decimals, less than
the error of the float that the angle is given in.
"""

import math


def sin(angle: float) -> float:
    """The sine of an angle in degrees."""
    turned = math.fmod(abs(angle), 360)
    size = _first_quarter(turned % 180)
    return -size + 0.0 if (turned > 180) != (angle < 0) else size


def _first_quarter(angle: float) -> float:
    """The sine of an angle from 0 to 180."""
    return round(math.sin(math.radians(min(angle, 180 - angle))), 15)


def cos(angle: float) -> float:
    """The cosine of an angle in degrees."""
    return sin(90 - math.fmod(abs(angle), 360))


def tan(angle: float) -> float:
    """The tangent of an angle in degrees.

    Errors: ValueError at a right angle.
    """
    if cos(angle) == 0:
        raise ValueError("The tangent of a right angle has no value.")
    return sin(angle) / cos(angle)


def asin(sine: float) -> float:
    """The angle of a sine, -90 to 90 degrees.

    Errors: ValueError unless the sine is from -1 to 1.
    """
    if not -1 <= sine <= 1:
        raise ValueError("A sine is from -1 to 1.")
    return round(math.degrees(math.asin(sine)), 12) + 0.0


def acos(cosine: float) -> float:
    """The angle of a cosine, 0 to 180 degrees.

    Errors: ValueError unless the cosine is from -1 to 1.
    """
    if not -1 <= cosine <= 1:
        raise ValueError("A cosine is from -1 to 1.")
    return round(math.degrees(math.acos(cosine)), 12)


def atan(tangent: float) -> float:
    """The angle of a tangent, -90 to 90 degrees."""
    return round(math.degrees(math.atan(tangent)), 12) + 0.0


def turn(start: float, end: float) -> float:
    """The shortest turn from one direction to another, both in degrees: -180 to 180, positive to the right."""
    return math.remainder(end - start, 360)
