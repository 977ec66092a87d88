"""What can be wrong with the numbers given to a calculation, one name for each meaning."""


class Unacceptable(ValueError):
    """A figure that cannot be used; the message shows it and says what to do."""


class NotANumber(Unacceptable):
    """Text, nothing, true or false, NaN or infinity where a number is wanted."""


class OutOfReach(Unacceptable):
    """Numbers so far apart that their quotient is no number any more."""


class BelowZero(Unacceptable):
    """A mass, time or percentage below zero."""


class IsZero(Unacceptable):
    """Zero where something must be there to divide by."""


class MoistureOutOfRange(Unacceptable):
    """A water content that is not at least 0 and below 100 %."""


class RangeUpsideDown(Unacceptable):
    """The low end of a range above its high end."""


class DryAboveWet(Unacceptable):
    """A dry mass above the wet mass it is said to come from."""


class WetterThanFresh(Unacceptable):
    """A dried mushroom with more water than the fresh one."""


class NothingPicked(Unacceptable):
    """Shares of a harvest that weighs nothing."""


class NotAFlush(Unacceptable):
    """A flush number that is not 1, 2, 3 and so on."""


class UnknownBasis(Unacceptable):
    """A dry basis that is none of the five known ones."""


class BasisIncomplete(Unacceptable):
    """A dry basis without the figures it rests on."""


class NotATime(Unacceptable):
    """An instant that is no instant, or does not say in which time zone it is meant."""
