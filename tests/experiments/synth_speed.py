"""Time and memory of one synthetic film of size 2 at 25 µm.

Run: OMP_NUM_THREADS=1 python -m tests.experiments.synth_speed [TOOTH ...]
Each film is drawn in a process of its own; processor seconds count the start of Python too.
"""

import os
import resource
import subprocess
import sys
import time

_DRAW = "import sys; from radmeasure.workflow.synthesise import synthesise; synthesise(%r)"


def measure(tooth):
    """(wall seconds, processor seconds, peak MB so far) of one film."""
    recipe = {"tooth": tooth, "filling": {}, "receptor": {"pitch_um": 25}}
    env = {**os.environ, "OMP_NUM_THREADS": "1"}
    before, began = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
    subprocess.run([sys.executable, "-c", _DRAW % recipe], check=True, env=env)
    wall, after = time.perf_counter() - began, resource.getrusage(resource.RUSAGE_CHILDREN)
    used = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return wall, used, after.ru_maxrss / 1024


def main():
    print(f"load of the machine: {os.getloadavg()[0]:.1f}")
    print("| tooth | wall, s | processor, s | peak, MB |\n|---|---|---|---|")
    for tooth in sys.argv[1:] or ("31", "11", "35", "46", "16"):
        wall, used, peak = measure(tooth)
        print(f"| {tooth} | {wall:.1f} | {used:.1f} | {peak:.0f} |")


if __name__ == "__main__":
    main()
