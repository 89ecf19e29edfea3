"""The wind on a runway and on a track: components, correction and ground speed.

A runway is given by its designator, the whole number 1 to 36 that is painted on it: 24 stands for 240 degrees. Degrees
are refused, since 10, 20 and 30 could be either. A wind direction is where the wind comes FROM, in degrees; speeds are
in one unit, whichever. Direction and runway must be of the same north: a tower's wind is magnetic as runways are.

Sources: FAA-H-8083-25C (Pilot's Handbook of Aeronautical Knowledge), chapter 11, page 11-25 (designator times ten,
components) and chapter 16 (wind triangle); the sign rules are this project's own.
"""

from stickback.trade.angle import asin, cos, sin, turn


def direction(runway: float) -> float:
    """The direction of a runway in degrees, 10 to 360.

    Errors: ValueError unless the designator is a whole number from 1 to 36.
    """
    if not (1 <= runway <= 36 and runway == int(runway)):
        raise ValueError("A runway is a whole number from 1 to 36, as it is painted.")
    return 10.0 * runway


def off_runway(runway: float, wind_from: float) -> float:
    """The angle between the wind and the runway, 0 to 180 degrees; beyond 90 the wind has a tailwind in it.

    Errors: ValueError as `direction`.
    """
    return abs(turn(direction(runway), wind_from))


def headwind(runway: float, wind_from: float, wind: float) -> float:
    """The component along the runway, in the unit of the wind; negative for a tailwind.

    Errors: ValueError as `direction`.
    Source: W cos A, FAA-H-8083-25C, chapter 11.
    """
    return wind * cos(turn(direction(runway), wind_from)) + 0.0


def crosswind(runway: float, wind_from: float, wind: float) -> float:
    """The component across the runway, in the unit of the wind; positive from the RIGHT, negative from the left.

    Errors: ValueError as `direction`.
    Source: W sin A, FAA-H-8083-25C, chapter 11.
    """
    return wind * sin(turn(direction(runway), wind_from)) + 0.0


def clock_code(angle: float) -> float:
    """The share of the wind that is crosswind, 0 to 1, by the rule of thumb that reads the angle as minutes of an hour.

    15 degrees are a quarter, 30 a half, 45 three quarters, 60 and more all of it. A wind from behind counts from the
    other end of the runway.

    Errors: ValueError unless the angle off the runway is from 0 to 180 degrees.
    Source: common practice; it reads at most 0.13 high (at 60 degrees) and 0.01 low.
    """
    if not 0 <= angle <= 180:
        raise ValueError("An angle off the runway is from 0 to 180 degrees.")
    return min(1.0, min(angle, 180 - angle) / 60)


def wind_correction(tas: float, track: float, wind_from: float, wind: float) -> float:
    """The angle between heading and track in degrees; positive steers RIGHT of the track.

    Errors: ValueError when the true airspeed is not positive, or the crosswind is stronger than it.
    Source: sine rule in the wind triangle, FAA-H-8083-25C, chapter 16.
    """
    if tas <= 0:
        raise ValueError("A true airspeed is above 0.")
    across = wind * sin(turn(track, wind_from))
    if abs(across) > tas:
        raise ValueError("The wind across the track is stronger than the true airspeed.")
    return asin(across / tas)


def groundspeed(tas: float, track: float, wind_from: float, wind: float) -> float:
    """The speed along the track with the wind corrected for, in the unit of the airspeed.

    Errors: ValueError as `wind_correction`, and when the wind carries the aeroplane backwards.
    Source: TAS cos WCA - W cos A, FAA-H-8083-25C, chapter 16.
    """
    along = tas * cos(wind_correction(tas, track, wind_from, wind)) - wind * cos(turn(track, wind_from))
    if along < 0:
        raise ValueError("The wind carries the aeroplane backwards along this track.")
    return along
