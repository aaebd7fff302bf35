"""The best smooth path through a table of evidence, and how sure it is.

A path takes one column per row. Evidence is a log-likelihood per (row, column);
neighbouring rows are tied by a penalty on the column step. ``best_path`` is Viterbi's
dynamic programming (Viterbi, IEEE Trans Inf Theory 1967;13:260-269, memory);
``posterior`` the forward-backward sums of the same chain (Rabiner, Proc IEEE
1989;77:257-286, memory), which turn the evidence into a distribution per row.
"""

import numpy as np


def step_penalty(reach, sigma, heavy=0.02):
    """Log-probability of column steps -reach..reach: a Gaussian with a thin uniform floor."""
    steps = np.arange(-reach, reach + 1)
    weight = np.exp(-0.5 * (steps / sigma) ** 2)
    weight = (1 - heavy) * weight / weight.sum() + heavy / len(steps)
    return np.log(weight)


def _shifted(row, reach):
    """Windows of ``row`` padded with -inf; [k, j] is row[j + k - reach]."""
    padded = np.pad(row, reach, constant_values=-np.inf)
    return np.lib.stride_tricks.sliding_window_view(padded, len(row))


def best_path(evidence, penalty):
    """Column index per row of the most probable path, shape (N,)."""
    rows, columns = evidence.shape
    reach = len(penalty) // 2
    back = np.zeros((rows, columns), np.int32)
    score = evidence[0].astype(float)
    for i in range(1, rows):
        options = _shifted(score, reach) + penalty[:, None]
        choice = options.argmax(axis=0)
        back[i] = choice - reach + np.arange(columns)
        score = options[choice, np.arange(columns)] + evidence[i]
    path = np.empty(rows, int)
    path[-1] = score.argmax()
    for i in range(rows - 1, 0, -1):
        path[i - 1] = back[i, path[i]]
    return path


def posterior(evidence, penalty):
    """Probability of each column in each row, shape (N, M); rows sum to 1."""
    evidence = evidence - evidence.max(axis=1, keepdims=True)
    likelihood = np.exp(np.maximum(evidence, -60.0))
    kernel = np.exp(penalty)
    forward = np.empty_like(likelihood)
    backward = np.empty_like(likelihood)
    state = likelihood[0] / likelihood[0].sum()
    forward[0] = state
    for i in range(1, len(likelihood)):
        state = np.convolve(state, kernel, "same") * likelihood[i] + 1e-300
        state /= state.sum()
        forward[i] = state
    state = np.ones(likelihood.shape[1])
    backward[-1] = state
    for i in range(len(likelihood) - 2, -1, -1):
        state = np.convolve(state * likelihood[i + 1], kernel[::-1], "same") + 1e-300
        state /= state.sum()
        backward[i] = state
    both = forward * backward
    return both / both.sum(axis=1, keepdims=True)


def moments(probability, values, near=None, reach=None):
    """Mean and standard deviation per row, within ``reach`` of ``near`` when given.

    Also returns the share of the probability inside that window.
    """
    weight = probability
    if near is not None:
        weight = np.where(np.abs(values[None] - np.asarray(near)[:, None]) <= reach, weight, 0)
    share = weight.sum(axis=1)
    scaled = weight / np.maximum(share, 1e-12)[:, None]
    mean = scaled @ values
    variance = (scaled * (values[None] - mean[:, None]) ** 2).sum(axis=1)
    return mean, np.sqrt(variance), share
