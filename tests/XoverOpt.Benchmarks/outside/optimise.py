"""Runs one outside optimiser on the cost of a job and prints the best so far as it went.

    python3 optimise.py --method scipy-de --seed 1 --seconds 30 -- dotnet …/XoverOpt.Worker.dll cost jobs/quick.json

Prints CSV: evaluations, seconds, cost; then lines that begin with #: what was used in all, and the best point.
`--method overhead` prints instead what a line of the protocol takes, one at a time and in batches, in µs.
"""

import argparse
import math
import sys
import time

import numpy as np

from cost_lines import BudgetUsed, CostLines
from optimisers import METHODS

WARM = 3000  # evaluations before the clock starts, so that the other side's code is compiled


def parse():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--method", required=True, choices=[*METHODS, "overhead"])
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--seconds", type=float, default=0, help="run at least this long")
    parser.add_argument("--evaluations", type=int, default=0, help="and at least this many evaluations")
    parser.add_argument("--latest", type=float, default=math.inf, help="but end after this many seconds")
    parser.add_argument("command", nargs="+", help="the cost command, after --")
    return parser.parse_args()


def overhead(cost, random):
    """µs a line with 1, 10, 100 and 1000 lines at a time; all points of one layout."""
    print("lines,us_per_line")
    for batch in (1, 10, 100, 1000):
        points = random.random((batch, cost.size))
        points[:, np.array(cost.header["choices"]) > 0] = 0.5
        best = math.inf
        for _ in range(5):
            began, count = time.perf_counter(), 0
            while time.perf_counter() - began < 0.3:
                cost.many(list(points))
                count += batch
            best = min(best, (time.perf_counter() - began) / count)
        print(f"{batch},{best * 1e6:.2f}")


def main():
    arguments = parse()
    cost = CostLines(arguments.command, arguments.seconds, arguments.evaluations, arguments.latest)
    middle = [[0.5] * cost.size]
    # The seed of the points is the same as that of the method: nothing else is random.
    random = np.random.default_rng(arguments.seed)
    cost.seconds, cost.limit, seconds, limit = math.inf, math.inf, cost.seconds, cost.limit
    cost.many(middle * WARM)
    if arguments.method == "overhead":
        cost.start()
        cost.latest = math.inf
        overhead(cost, random)
    else:
        cost.seconds, cost.limit = seconds, limit
        cost.start()
        try:
            METHODS[arguments.method](cost, random)
        except BudgetUsed:
            pass
        print("evaluations,seconds,cost")
        for evaluations, elapsed, value in cost.trace:
            print(f"{evaluations},{elapsed:.4f},{value!r}")
        print(f"# used {cost.evaluations} {cost.elapsed():.3f}")
        print("# point " + " ".join(map(repr, cost.point)))
    cost.close()


if __name__ == "__main__":
    sys.exit(main())
