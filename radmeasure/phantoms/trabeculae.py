"""Spongy bone: a 3-D network of plates and rods, summed along the rays.

The network is a two-sided level cut of a Gaussian random field, the usual stochastic
model of two-phase media (Roberts & Teubner, Phys Rev E 1995;51:4141-4154, from
memory). Thickness and spacing of its trabeculae follow Lee et al. 2017 (read).
"""

import numpy as np

_VOXEL_MM = (0.25, 0.09, 0.09)  # depth, down, across
# Free parameters of the look, set so that the power spectrum of a film's bone
# falls with an exponent of 2.2 to 3.0 (Jolley et al. 2006, read, by 8 - 2D).
_SPREAD, _PATCHES, _PATCH_MM = 0.62, 0.75, 5.0


def _waves(shape, voxel_mm, stretch):
    """Wave number of every Fourier component, 1/mm, the network drawn out by ``stretch``."""
    k = [np.fft.fftfreq(n, v) for n, v in zip(shape[:2], voxel_mm[:2])]
    k.append(np.fft.rfftfreq(shape[2], voxel_mm[2]))
    k2 = 0.0
    for axis, (part, drawn) in enumerate(zip(k, stretch)):
        k2 = k2 + ((part * drawn) ** 2).reshape([-1 if i == axis else 1 for i in range(3)])
    return np.sqrt(k2)


def _fast_length(n):
    """The next length whose Fourier transform is fast: no prime factor above 11."""
    while True:
        rest = n
        for prime in (2, 3, 5, 7, 11):
            while rest % prime == 0:
                rest //= prime
        if rest == 1:
            return n
        n += 1


def _field(rng, shape, waves, wavelength_mm, width):
    """Gaussian field whose waves lie around ``wavelength_mm``, log-normally spread."""
    noise = np.fft.rfftn(rng.standard_normal(shape), axes=(0, 1, 2))
    noise *= np.exp(-((np.log(np.maximum(waves * wavelength_mm, 1e-6)) / width) ** 2))
    field = np.fft.irfftn(noise, shape, axes=(0, 1, 2))
    return field / field.std()


def _patches(rng, extent_mm, shape):
    """Denser and looser regions: a field of long waves, made coarsely and spread evenly."""
    coarse = tuple(max(4, round(e)) for e in extent_mm)
    voxel_mm = tuple(e / n for e, n in zip(extent_mm, coarse))
    field = _field(rng, coarse, _waves(coarse, voxel_mm, (1, 1, 1)), _PATCH_MM, 0.7)
    for axis, (n, fine) in enumerate(zip(coarse, shape)):
        at = (np.arange(fine) + 0.5) * n / fine - 0.5
        low = np.floor(at).astype(int)
        share = (at - low).reshape([-1 if i == axis else 1 for i in range(3)])
        first, second = field.take(low % n, axis), field.take((low + 1) % n, axis)
        field = first + share * (second - first)
    return field


def network(seed, width_mm, height_mm, depth_mm, spacing_mm, bone_fraction, stretch):
    """Bone fraction in voxels, 0 to 1.

    Parameters
    ----------
    width_mm, height_mm, depth_mm : float
        Extent along X, Y and D.
    spacing_mm : float
        Thickness plus separation of the trabeculae.
    bone_fraction : float
        Mean share of bone.
    stretch : tuple of float
        How far the network is drawn out along D, Y, X (1 is isotropic).

    Returns
    -------
    ndarray, shape (depth, rows, columns), float32
    """
    extent = (depth_mm, height_mm, width_mm)
    shape = tuple(_fast_length(int(np.ceil(e / v))) for e, v in zip(extent, _VOXEL_MM))
    rng = np.random.default_rng([seed, 11])
    waves = _waves(shape, _VOXEL_MM, stretch)
    # Two plates per wave; the bone is denser here and looser there.
    size = np.abs(_field(rng, shape, waves, 2 * spacing_mm, _SPREAD))
    size /= 1 + _PATCHES * np.tanh(_patches(rng, extent, shape))
    flat = np.sort(size[::2, ::3, ::3], axis=None)
    band = flat[int(bone_fraction * flat.size)]
    return np.clip((band - size) / (0.9 * band) + 0.5, 0, 1).astype(np.float32)


def seen(view, bone, low_mm, high_mm, origin_xy, step_px):
    """Mean bone fraction along the rays between two depths.

    Parameters
    ----------
    view : View
    bone : ndarray
        As :func:`network` gives it; its first voxel lies at ``origin_xy``, ``low_mm``.
    low_mm, high_mm : float
        Depth range, mm.
    step_px : int
        The map is made on every ``step_px``-th pixel and interpolated.

    Returns
    -------
    ndarray, shape view.shape, float32
    """
    from scipy.ndimage import map_coordinates

    rows, columns = view.shape
    y = np.arange(0, rows + step_px, step_px)
    x = np.arange(0, columns + step_px, step_px)
    grid_y, grid_x = np.meshgrid(y.astype(float), x.astype(float), indexing="ij")
    layers = max(1, int((high_mm - low_mm) / _VOXEL_MM[0]))
    total = np.zeros(grid_x.shape)
    for i in range(layers):
        depth = low_mm + (i + 0.5) * (high_mm - low_mm) / layers
        at_x, at_y = view.on_plane(grid_x, grid_y, depth)
        where = (at_y - origin_xy[1]) / _VOXEL_MM[1], (at_x - origin_xy[0]) / _VOXEL_MM[2]
        total += map_coordinates(bone[i % bone.shape[0]], where, order=1, mode="grid-wrap")
    total /= layers
    full = np.meshgrid(np.arange(rows) / step_px, np.arange(columns) / step_px, indexing="ij")
    return map_coordinates(total, full, order=3, mode="nearest").astype(np.float32)
