"""The beam: from mm of material to detected energy, by Beer-Lambert over a spectrum."""

from dataclasses import dataclass

import numpy as np

_CHUNK = 1 << 15


@dataclass(frozen=True)
class Beam:
    """Spectrum, attenuation and the receptor's response to energy.

    Attributes
    ----------
    energy_kev : ndarray, shape (k,)
    photons : ndarray, shape (k,)
        Photons per mm² and uGy of air kerma in each 1 keV bin.
    absorbed : ndarray, shape (k,)
        Share of photons the scintillator stops.
    materials : tuple of str
    mu : ndarray, shape (len(materials), k)
        Linear attenuation, 1/cm.
    """

    energy_kev: np.ndarray
    photons: np.ndarray
    absorbed: np.ndarray
    materials: tuple
    mu: np.ndarray

    @property
    def weight(self):
        """Share of each bin in the signal of the open beam (energy integrating)."""
        detected = self.photons * self.absorbed * self.energy_kev
        return detected / detected.sum()

    def signal(self, mm):
        """Detected energy relative to the open beam.

        Parameters
        ----------
        mm : ndarray, shape (len(materials), n)
            Path in each material, mm.

        Returns
        -------
        ndarray, shape (n,), float64
            sum over E of w(E) exp(-sum mu(E) t).
        """
        used = np.flatnonzero(mm.any(axis=1))
        mu_mm, weight = -self.mu[used].T / 10.0, self.weight
        out = np.empty(mm.shape[1])
        for start in range(0, mm.shape[1], _CHUNK):
            part = slice(start, start + _CHUNK)
            out[part] = weight @ np.exp(mu_mm @ mm[used, part])
        return out

    def quanta(self, kerma_ugy, area_mm2):
        """Equivalent number of equal quanta one pixel detects in the open beam.

        Energy integration counts a photon by its energy, so the relative
        variance is <E²>/<E>²/N (Swank, J Appl Phys 1973;44:4199-4203, from memory).
        """
        detected = self.photons * self.absorbed
        mean = (detected * self.energy_kev).sum() / detected.sum()
        square = (detected * self.energy_kev**2).sum() / detected.sum()
        return kerma_ugy * area_mm2 * detected.sum() * mean**2 / square


def beam(spectra, attenuation, scintillator_mm, name):
    """A :class:`Beam` from the tables of ``calibration/``.

    Parameters
    ----------
    spectra, attenuation : mapping of column name to ndarray
        Both on the same energies, column 'keV'.
    scintillator_mm : float
        Caesium iodide.
    name : str
        Column of ``spectra``.
    """
    energy = spectra["keV"]
    rows = np.isin(attenuation["keV"], energy)
    materials = tuple(k for k in attenuation if k not in ("keV", "caesium_iodide"))
    mu = np.array([attenuation[m][rows] for m in materials])
    absorbed = 1 - np.exp(-attenuation["caesium_iodide"][rows] * scintillator_mm / 10)
    return Beam(energy, spectra[name], absorbed, materials, mu)
