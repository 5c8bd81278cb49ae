using Google.OrTools.Sat;

namespace XoverOpt.Workshop.Purchasing;

/// <summary>
/// How many sets of each build to make from what is there, so that the sets, each counted by the priority of its build, are most; of equal
/// mixes the one with more sets of the builds named first. An integer programme
/// <code>
/// maximise  Σ priority·n      0 ≤ n ≤ wanted, whole;  for each part  Σ need·n ≤ available
/// </code>
/// solved by the CP-SAT solver of OR-Tools. One worker, one seed and a limit counted in the solver's own steps, so that the answer does not
/// depend on the machine.
/// </summary>
/// <param name="Sets">Sets of each build.</param>
/// <param name="Proven">Whether no other mix is better.</param>
public sealed record MixOfSets(IReadOnlyList<int> Sets, bool Proven)
{
    // Parts are counted in millionths: pieces are whole, and tubing is known to the micrometre.
    private const decimal Grain = 1_000_000;

    // About so many seconds on one core of 2020; counted by the solver, not by a clock.
    private const int SolverSteps = 10;

    /// <summary>Finds the best mix.</summary>
    /// <param name="builds">The builds, those that go first on equal terms first.</param>
    /// <param name="available">What is to be had of each part.</param>
    public static MixOfSets Solve(IReadOnlyList<MixBuild> builds, IReadOnlyDictionary<string, decimal> available)
    {
        CpModel model = new();
        IntVar[] sets = [.. builds.Select((build, b) => model.NewIntVar(0, build.Sets, $"{b}"))];
        foreach (string part in builds.SelectMany(build => build.PerSet.Keys).Distinct())
        {
            decimal there = available.GetValueOrDefault(part);
            if (builds.Sum(build => build.Sets * build.PerSet.GetValueOrDefault(part)) > there)
            {
                long[] needs = [.. builds.Select(build => (long)Math.Ceiling(Grain * build.PerSet.GetValueOrDefault(part)))];

                // Small numbers are easier for the solver, and what is left over of the last common measure serves nobody.
                long measure = needs.Aggregate(0L, CommonMeasure);
                model.Add(LinearExpr.WeightedSum(sets, needs.Select(need => need / measure)) <= (long)Math.Floor(Grain * there) / measure);
            }
        }

        // No preference among equals may outweigh one set of the least priority.
        long weight = 1 + builds.Select((build, b) => (long)build.Sets * (builds.Count - b)).Sum();
        LinearExprBuilder goal = LinearExpr.NewBuilder();
        for (int b = 0; b < builds.Count; b++)
        {
            goal.AddTerm(sets[b], (weight * builds[b].Priority) + builds.Count - b);
        }

        model.Maximize(goal);
        CpSolver solver = new()
        {
            StringParameters = FormattableString.Invariant($"num_workers:1,random_seed:1,max_deterministic_time:{SolverSteps}"),
        };
        CpSolverStatus status = solver.Solve(model);
        return status is CpSolverStatus.Optimal or CpSolverStatus.Feasible
            ? new([.. sets.Select(set => (int)solver.Value(set))], status == CpSolverStatus.Optimal)
            : new([.. sets.Select(_ => 0)], Proven: false);
    }

    private static long CommonMeasure(long a, long b)
    {
        while (b != 0)
        {
            (a, b) = (b, a % b);
        }

        return a;
    }
}

/// <summary>A build in a mix.</summary>
/// <param name="Sets">Sets wanted, at most.</param>
/// <param name="Priority">What a set counts for, ≥ 1.</param>
/// <param name="PerSet">What one set needs of each part; at most six digits behind the decimal point.</param>
public sealed record MixBuild(int Sets, int Priority, IReadOnlyDictionary<string, decimal> PerSet);
