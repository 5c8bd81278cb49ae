"""The cost of points through the line protocol of `cost`: a budget, a trace of the best so far, one point or many at a time."""

import json
import math
import subprocess
import time


class BudgetUsed(Exception):
    """The budget is used up; what was found stands in the trace."""


class CostLines:
    """A running `cost` command and what has been asked of it.

    command      the command with its arguments, a list of words
    seconds      at least this long, unless both limits are met earlier
    evaluations  at least this many; the run ends when both seconds and evaluations are used, or at `latest` seconds
    """

    SLICE = 1000  # lines sent before answers are read: both pipes must hold what is under way

    def __init__(self, command, seconds=math.inf, evaluations=math.inf, latest=math.inf):
        self.process = subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE)
        self.seconds, self.limit, self.latest = seconds, evaluations, latest
        self.process.stdin.write(b"?\n")
        self.process.stdin.flush()
        header = self.process.stdout.readline()
        if not header:
            raise SystemExit("the cost command ended before it answered")
        self.header = json.loads(header)
        self.size = self.header["values"]
        self.start()

    def start(self):
        """Begins the measured part: what was asked before is not counted."""
        self.evaluations, self.best, self.point, self.trace = 0, math.inf, None, []
        self.began = time.perf_counter()

    def elapsed(self):
        return time.perf_counter() - self.began

    def __call__(self, point):
        return self.many([point])[0]

    def many(self, points):
        """Costs of many points, in order."""
        costs = []
        for first in range(0, len(points), self.SLICE):
            costs += self._slice(points[first:first + self.SLICE])
        return costs

    def _slice(self, points):
        elapsed = self.elapsed()
        if elapsed >= self.latest or (elapsed >= self.seconds and self.evaluations >= self.limit):
            raise BudgetUsed
        # Optimisers step out of their bounds by rounding at times.
        points = [[0.0 if u < 0 else 1.0 if u > 1 else float(u) for u in point] for point in points]
        self.process.stdin.write(("\n".join(" ".join(map(repr, point)) for point in points) + "\n").encode())
        self.process.stdin.flush()
        costs = []
        for point in points:
            answer = self.process.stdout.readline()
            if not answer or answer.startswith(b"error"):
                raise SystemExit(f"the cost command answered {answer!r} to {point}")
            cost = float(answer)
            costs.append(cost)
            self.evaluations += 1
            if cost < self.best:
                self.best, self.point = cost, point
                self.trace.append((self.evaluations, self.elapsed(), cost))
        return costs

    def close(self):
        self.process.stdin.close()
        self.process.wait()
