"""Write calibration/attenuation.csv: attenuation of every material of the synthetic films.

Development aid, not collected by pytest: needs xraylib (BSD licence; Schoonjans
et al., Spectrochim Acta B 2011;66:776-784), which the program itself does not.
The compositions stand in calibration/anatomy.toml.

Run: python tests/experiments/make_attenuation_table.py
"""

import csv
import tomllib
from pathlib import Path

import xraylib

CALIBRATION = Path(__file__).resolve().parents[2] / "calibration"


def linear_attenuation(composition, energy_kev):
    """Total linear attenuation, 1/cm, of a mixture given in weight per cent."""
    total = sum(composition["percent"].values())
    mass = sum(
        part / total * xraylib.CS_Total(xraylib.SymbolToAtomicNumber(element), energy_kev)
        for element, part in composition["percent"].items()
    )
    return mass * composition["density_g_cm3"]


def main():
    anatomy = tomllib.loads((CALIBRATION / "anatomy.toml").read_text(encoding="utf-8"))
    materials = anatomy["composition"]
    with open(CALIBRATION / "attenuation.csv", "w", newline="", encoding="utf-8") as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow(["keV", *materials])
        for energy in (n + 0.5 for n in range(10, 70)):
            row = (linear_attenuation(c, energy) for c in materials.values())
            out.writerow([energy, *(f"{mu:.5g}" for mu in row)])


if __name__ == "__main__":
    main()
