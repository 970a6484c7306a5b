"""Gases of sealed units at 10 C (EN 673:2011 table 1, from memory)."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Gas:
    """density kg/m3, viscosity kg/(m s), conductivity W/(m K), heat_capacity J/(kg K)."""

    density: float
    viscosity: float
    conductivity: float
    heat_capacity: float


GASES = {
    "air": Gas(1.232, 1.761e-5, 2.496e-2, 1008.0),
    "argon": Gas(1.699, 2.164e-5, 1.684e-2, 519.0),
    "krypton": Gas(3.560, 2.400e-5, 0.900e-2, 245.0),
}


def mixture(shares: dict[str, float]) -> Gas:
    """Properties of a mixture: each the sum of the gases' own by their shares (EN 673)."""
    parts = [(GASES[name], share) for name, share in shares.items()]
    return Gas(
        density=sum(gas.density * share for gas, share in parts),
        viscosity=sum(gas.viscosity * share for gas, share in parts),
        conductivity=sum(gas.conductivity * share for gas, share in parts),
        heat_capacity=sum(gas.heat_capacity * share for gas, share in parts),
    )
