"""How a plan is to look: on a screen or on paper, with many words or few, and how high its letters are."""

from dataclasses import dataclass
from functools import cached_property

PAPER_SIZE = 12.8  # 9 pt
LARGE_SIZE = 25.6  # 18 pt


@dataclass(frozen=True)
class Look:
    """How a plan is to look: where it goes and how much it says."""

    paper: bool = False
    compact: bool = False
    few: bool = False
    setout: bool = False
    bw: bool = False
    units: str = "metric"
    least: float = 0.0
    large: bool = False

    @cached_property
    def size(self) -> float:
        """Height of the letters in units of the drawing."""
        if self.large:
            return LARGE_SIZE
        if self.paper:
            return PAPER_SIZE * (2.1 if self.few else 1.55 if self.compact else 1.0)
        return 24.0 if self.few else 13.0

    @cached_property
    def room(self) -> tuple[float, float]:
        """Width and greatest height on a screen; a unit is about a pixel there. The letter's is 62 mm by 52 mm."""
        if self.few:
            return 360.0, 296.0
        return (360.0, 380.0) if self.compact else (640.0, 560.0)

    def band(self, scale: float) -> float:
        """Depth of what is drawn beyond the edge: about 0.8 m, with room for its words."""
        least, most = (1.5, 2.0) if self.few else (3.1, 4.2)
        return min(max(0.8 * scale, self.size * least), max(self.size * most, self.size * least))

    def header(self, patches: int) -> float:
        return self.size * 1.9 if patches > 1 else 0.0

    @property
    def footer(self) -> float:
        return 0.0 if self.few else self.size * 2.4 + self.lift

    @property
    def lift(self) -> float:
        """What the words over the scale bar need where they may not be as low as usual."""
        return max(0.0, self.least - 0.78 * self.size)
