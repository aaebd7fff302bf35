"""radmeasure: measure periapical films and plan post, core and crown.

The folders follow the job: film (``files``) -> scale (``calibration``) ->
landmarks (``model``, ``tracing``) -> readings (``measurements``) -> findings
and plan (``planning``) -> report (``reports``). ``workflow`` calls them in
that order; ``gui`` and ``cli`` are two fronts on it.
"""

__version__ = "0.1.0"
