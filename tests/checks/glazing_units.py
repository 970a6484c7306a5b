"""EN ISO 10077-1:2006, table C.2: U of sealed units of 4 mm panes with air, and with 90 % of argon
or krypton, cell by cell. From memory, and never changed to agree with anything; the columns of SF6
and xenon are left out, since no unit with them is sold any more or worked out here.

The table names the normal emissivity of one coated pane of double units, and of both outer panes of
triple ones; 0.89 is bare glass.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

AIR = {"air": 1.0}
ARGON_90 = {"argon": 0.9, "air": 0.1}
KRYPTON_90 = {"krypton": 0.9, "air": 0.1}
GASES = (AIR, ARGON_90, KRYPTON_90)

# Normal emissivity, then cavity in mm, then U in W/(m2 K) by gas.
DOUBLE = {
    0.89: {
        6: (3.3, 3.0, 2.8),
        8: (3.1, 2.9, 2.7),
        12: (2.8, 2.7, 2.6),
        16: (2.7, 2.6, 2.6),
        20: (2.7, 2.6, 2.6),
    },
    0.2: {
        6: (2.7, 2.3, 1.9),
        8: (2.4, 2.1, 1.7),
        12: (2.0, 1.8, 1.6),
        16: (1.8, 1.6, 1.6),
        20: (1.8, 1.7, 1.6),
    },
    0.15: {
        6: (2.6, 2.3, 1.8),
        8: (2.3, 2.0, 1.6),
        12: (1.9, 1.6, 1.5),
        16: (1.7, 1.5, 1.5),
        20: (1.7, 1.5, 1.5),
    },
    0.1: {
        6: (2.6, 2.2, 1.7),
        8: (2.2, 1.9, 1.4),
        12: (1.8, 1.5, 1.3),
        16: (1.6, 1.4, 1.3),
        20: (1.6, 1.4, 1.4),
    },
    0.05: {
        6: (2.5, 2.1, 1.5),
        8: (2.1, 1.7, 1.3),
        12: (1.7, 1.3, 1.1),
        16: (1.4, 1.2, 1.2),
        20: (1.5, 1.2, 1.2),
    },
}
TRIPLE = {
    0.89: {6: (2.3, 2.1, 1.8), 8: (2.1, 1.9, 1.7), 12: (1.9, 1.8, 1.6)},
    0.2: {6: (1.8, 1.5, 1.1), 8: (1.5, 1.3, 1.0), 12: (1.2, 1.0, 0.8)},
    0.15: {6: (1.7, 1.4, 1.1), 8: (1.5, 1.2, 0.9), 12: (1.2, 1.0, 0.7)},
    0.1: {6: (1.7, 1.3, 1.0), 8: (1.4, 1.1, 0.8), 12: (1.1, 0.9, 0.6)},
    0.05: {6: (1.6, 1.2, 0.9), 8: (1.3, 1.0, 0.7), 12: (1.0, 0.8, 0.5)},
}


@dataclass(frozen=True, slots=True)
class Cell:
    """`printed` in W/(m2 K), `cavity` in mm, `emissivity` normal."""

    panes: int
    cavity: int
    gas: str
    emissivity: float
    printed: float

    def layers(self) -> list[dict[str, Any]]:
        """As a request of the API has them."""
        coated: dict[str, Any] = {"glass": 4, "emissivity": self.emissivity}
        bare: dict[str, Any] = {"glass": 4}
        shares = next(gas for gas in GASES if next(iter(gas)) == self.gas)
        cavity: dict[str, Any] = {"cavity": self.cavity, "gas": shares}
        outermost = bare if self.panes == 2 else coated
        return [outermost, *[cavity, bare] * (self.panes - 2), cavity, coated]


def cells() -> Iterator[Cell]:
    """All 120 cells."""
    for panes, table in ((2, DOUBLE), (3, TRIPLE)):
        for emissivity, rows in table.items():
            for cavity, row in rows.items():
                for gas, printed in zip(GASES, row, strict=True):
                    yield Cell(panes, cavity, next(iter(gas)), emissivity, printed)
