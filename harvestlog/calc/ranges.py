"""What is usual of a figure, as a range that most farms lie in."""

from dataclasses import dataclass
from math import log

from harvestlog.calc.estimates import NINE_OF_TEN


@dataclass(frozen=True)
class Range:
    """What is usual: nine farms in ten between the two, both above 0, in the unit of the figure."""

    low: float
    high: float

    @property
    def log_middle(self) -> float:
        return (log(self.low) + log(self.high)) / 2

    @property
    def log_sd(self) -> float:
        """Never below 0.1: no published range is that sure of the next farm."""
        return max(0.1, (log(self.high) - log(self.low)) / (2 * NINE_OF_TEN))
