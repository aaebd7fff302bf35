"""Films as another receptor would store them, to train and measure suggestions on."""

from dataclasses import replace

import numpy as np


def redeveloped(rng, film):
    """The film as another receptor would store it: response, sharpening, shading, noise, bits."""
    from scipy.ndimage import gaussian_filter

    low, high = np.percentile(film.pixels[::4, ::4], (0.2, 99.8))
    image = (film.pixels.astype(np.float32) - low) / max(high - low, 1.0)
    image = np.sign(image) * np.abs(image) ** np.float32(np.exp(rng.normal(0.0, 0.3)))
    if rng.random() < 0.4:
        width = rng.uniform(0.1, 0.8) * film.px_per_mm
        image += np.float32(rng.uniform(0.2, 1.2)) * (image - gaussian_filter(image, width))
    rows, columns = (np.linspace(-1, 1, n, dtype=np.float32) for n in image.shape)
    slope = rng.normal(0.0, 0.05, 2)
    image *= 1 + slope[0] * rows[:, None] + slope[1] * columns
    if rng.random() < 0.3:
        image = gaussian_filter(image, rng.uniform(0.03, 0.1) * film.px_per_mm)
    image += rng.normal(0.0, abs(rng.normal(0.0, 0.012)), image.shape).astype(np.float32)
    top = 255 if rng.random() < 0.3 else 4095
    pixels = np.clip(np.rint((0.1 + 0.8 * image) * top), 0, top).astype(np.uint16)
    return replace(film, pixels=pixels)
