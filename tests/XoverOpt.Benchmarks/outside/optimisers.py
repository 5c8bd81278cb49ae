"""General-purpose optimisers on a cost, each as its manual sets it up, started again from new random points until the budget is used.

Each takes the cost (CostLines: one point, or many at once) and a seeded numpy generator, and never returns: the cost raises
BudgetUsed. Bounds are the unit cube. Versions: Debian's python3-scipy, python3-nlopt and python3-cmaes.
"""

import cmaes
import nlopt
import numpy as np
from scipy import optimize


def new_seed(random):
    return int(random.integers(1, 2**31 - 1))


def scipy_de(cost, random):
    """Differential evolution, SciPy's defaults: best1bin, 15 points a value, updating at once, polished by L-BFGS-B."""
    while True:
        optimize.differential_evolution(cost, [(0, 1)] * cost.size, maxiter=10**9, seed=new_seed(random))


def scipy_de_batch(cost, random):
    """The same a generation at a time, which saves most of the way to and fro."""

    def columns(points):
        if points.ndim == 1:
            return cost(points)
        return np.array(cost.many(list(points.T)))

    while True:
        optimize.differential_evolution(
            columns, [(0, 1)] * cost.size, maxiter=10**9, seed=new_seed(random), updating="deferred", vectorized=True)


def scipy_da(cost, random):
    """Dual annealing, SciPy's defaults: generalised annealing with L-BFGS-B from good points."""
    while True:
        optimize.dual_annealing(cost, [(0, 1)] * cost.size, maxiter=10**9, maxfun=10**9, seed=new_seed(random))


def nlopt_run(cost, random, algorithm, prepare=None, gradient=False, relative=1e-10):
    while True:
        nlopt.srand(new_seed(random))
        search = nlopt.opt(algorithm, cost.size)
        search.set_lower_bounds(0)
        search.set_upper_bounds(1)
        search.set_ftol_rel(relative)
        if prepare:
            prepare(search, cost.size)

        def value(point, slope):
            if slope.size == 0:
                return cost(point)
            # Forward differences, backward at the upper bound, sent together; each point counts.
            step = np.where(point + 1e-7 > 1, -1e-7, 1e-7)
            costs = cost.many([point] + [point + step * unit for unit in np.eye(len(point))])
            slope[:] = (np.array(costs[1:]) - costs[0]) / step
            return costs[0]

        search.set_min_objective(value)
        try:
            search.optimize(random.random(cost.size))
        except (nlopt.RoundoffLimited, RuntimeError):
            pass


def nlopt_crs(cost, random):
    """Controlled random search with local mutation."""
    nlopt_run(cost, random, nlopt.GN_CRS2_LM)


def nlopt_esch(cost, random):
    """Evolutionary strategy with Cauchy mutation."""
    nlopt_run(cost, random, nlopt.GN_ESCH, relative=0)


def nlopt_isres(cost, random):
    """Improved stochastic ranking evolution strategy."""
    nlopt_run(cost, random, nlopt.GN_ISRES, relative=0)


def nlopt_mlsl(cost, random):
    """Multi-level single linkage on a low-discrepancy sequence, with L-BFGS on differences."""

    def local(search, size):
        descent = nlopt.opt(nlopt.LD_LBFGS, size)
        descent.set_ftol_rel(1e-6)
        descent.set_xtol_abs(1e-6)
        search.set_local_optimizer(descent)

    nlopt_run(cost, random, nlopt.G_MLSL_LDS, local, relative=0)


def cma_restarts(cost, random, make):
    """Restarts with twice the population each time (IPOP), as the library's manual writes them."""
    while True:
        population = 4 + int(3 * np.log(cost.size))
        while population < 4096:
            search = make(random.random(cost.size), population, new_seed(random))
            while not search.should_stop():
                asked = [search.ask() for _ in range(search.population_size)]
                # CMA with margin gives the point to evaluate and the one to be told apart.
                evaluate = [point[0] if isinstance(point, tuple) else point for point in asked]
                tell = [point[1] if isinstance(point, tuple) else point for point in asked]
                search.tell(list(zip(tell, cost.many(evaluate))))
            population *= 2


def cmaes_ipop(cost, random):
    """CMA-ES with growing populations; first step a fifth of the cube, as its manual has it."""
    bounds = np.array([[0.0, 1.0]] * cost.size)
    cma_restarts(cost, random, lambda mean, population, seed: cmaes.CMA(
        mean=mean, sigma=0.2, bounds=bounds, population_size=population, seed=seed))


def cmaes_margin(cost, random):
    """CMA-ES with margin, made for mixed problems: choices move on the middles of their cells."""
    counts = np.array(cost.header["choices"])
    if not counts.any():
        return cmaes_ipop(cost, random)
    half = np.where(counts > 0, 0.5 / np.maximum(counts, 1), 0.0)
    bounds = np.stack([half, 1 - half], axis=1)
    steps = np.where(counts > 0, 1.0 / np.maximum(counts, 1), 0.0)
    cma_restarts(cost, random, lambda mean, population, seed: cmaes.CMAwM(
        mean=np.clip(mean, bounds[:, 0], bounds[:, 1]), sigma=0.2, bounds=bounds, steps=steps, population_size=population, seed=seed))


def random_points(cost, random):
    """Points drawn evenly: what any optimiser must beat."""
    while True:
        cost.many(list(random.random((100, cost.size))))


METHODS = {
    "scipy-de": scipy_de,
    "scipy-de-batch": scipy_de_batch,
    "scipy-da": scipy_da,
    "nlopt-crs2": nlopt_crs,
    "nlopt-esch": nlopt_esch,
    "nlopt-isres": nlopt_isres,
    "nlopt-mlsl-lbfgs": nlopt_mlsl,
    "cmaes-ipop": cmaes_ipop,
    "cmaes-margin": cmaes_margin,
    "random": random_points,
}
