"""From the primary signal to grey values: blur, scatter, noise, response."""

import numpy as np

# Optical depths -ln(I/I0) drawn black and white by the logarithmic response, the
# latter by region (assumption: leaves the cheek black and crowns just below white).
BLACK = 0.18
WHITE = {"incisor": 2.0, "canine": 2.15, "premolar": 2.45, "molar": 2.55}
_SCATTER_SPREAD_MM = 6.0
_SCATTER_GRID_MM = 0.8


def _blurred(image, sigma_px):
    from scipy.ndimage import gaussian_filter

    return image if sigma_px < 0.05 else gaussian_filter(image, sigma_px, mode="nearest")


def focal_blur_mm(focal_spot_mm, magnification):
    """Standard deviation, at the receptor, of the blur by a square even focal spot.

    Its shadow is f (M - 1) wide (derived), and an even square of width w has
    the standard deviation w / √12.
    """
    return focal_spot_mm * (magnification - 1) / np.sqrt(12)


def scattered(primary, ratio, pitch_mm):
    """Scatter: the primary spread widely, ``ratio`` of it on average.

    The spread is an assumption; the ratio for small intra-oral fields is 0.1
    to 0.3 (memory), 0.5 at most (Oishi 1981, read).
    """
    if ratio == 0:
        return np.zeros_like(primary)
    from scipy.ndimage import map_coordinates

    step = max(1, round(_SCATTER_GRID_MM / pitch_mm))
    rows, columns = primary.shape
    pad = np.pad(primary, ((0, -rows % step), (0, -columns % step)), mode="edge")
    coarse = pad.reshape(pad.shape[0] // step, step, pad.shape[1] // step, step).mean(axis=(1, 3))
    coarse = _blurred(coarse, _SCATTER_SPREAD_MM / (step * pitch_mm))
    y = (np.arange(rows) - (step - 1) / 2) / step
    x = (np.arange(columns) - (step - 1) / 2) / step
    grid = np.meshgrid(y, x, indexing="ij")
    return ratio * map_coordinates(coarse, grid, order=1, mode="nearest")


def detected(primary, receptor, quanta, magnification, rng):
    """Quanta each pixel counts, noise included.

    Parameters
    ----------
    primary : ndarray, shape (H, W)
        Signal relative to the open beam.
    receptor : Receptor
    quanta : float
        Mean count of the open beam.
    rng : numpy Generator

    Returns
    -------
    ndarray, shape (H, W), float64
    """
    pitch = receptor.pitch_um / 1000
    spot = focal_blur_mm(receptor.focal_spot_mm, magnification)
    signal = _blurred(primary, spot / pitch)
    signal = signal + scattered(signal, receptor.scatter, pitch)
    mean = signal * quanta
    count = mean + np.sqrt(mean) * rng.standard_normal(mean.shape)
    count = _blurred(count, receptor.blur_mm / pitch)
    return count + receptor.electronic_noise * rng.standard_normal(mean.shape)


def grey(count, receptor, quanta, kind):
    """Stored values, dense material bright, 0 to 2**bits - 1.

    Logarithmic: grey is linear in -ln(I/I0). Linear: grey falls linearly with I.
    """
    top = 2**receptor.bits - 1
    share = count / (quanta * (1 + receptor.scatter))
    if receptor.response == "logarithmic":
        white = WHITE[kind] if receptor.white is None else receptor.white
        depth = -np.log(np.maximum(share, np.exp(-white - 1)))
        level = (depth - BLACK) / (white - BLACK)
    else:
        level = 1 - share / np.exp(-BLACK)
    return np.rint(np.clip(level, 0, 1) * top).astype(np.uint16)
