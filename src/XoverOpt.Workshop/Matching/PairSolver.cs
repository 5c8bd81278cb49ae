using Google.OrTools.Sat;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Matching;

/// <summary>
/// Sorts measured receivers into left and right: as many sets inside the limit as there can be, then the least sum of mismatches. Of one
/// part, where any two can be a pair, this is a matching of most weight in a general graph; with several alike on a side, or one part in
/// several ways, it is a packing of sets. Both are stated as one integer programme over <see cref="MatchCandidates"/>
/// <code>
/// maximise  M·(number of sets) − Σ mismatch·x      x ∈ {0, 1} a candidate, each receiver in at most one,
///                                                  every group as often as there are sets
/// </code>
/// and solved by the CP-SAT solver of OR-Tools. One worker, one seed and a limit counted in the solver's own steps, so that the answer
/// does not depend on the machine.
/// </summary>
public static class PairSolver
{
    // Mismatch is counted in 1e-4 dB: finer than any measurement.
    private const double Steps = 1e4;

    // About so many seconds on one core of 2020; counted by the solver, not by a clock.
    private const int SolverSteps = 15;

    /// <summary>Pairs of each part for itself.</summary>
    /// <param name="receivers">The receivers; serials differ.</param>
    /// <param name="limitDb">Largest mismatch of a pair, dB.</param>
    /// <param name="mostPairs">Pairs wanted of each part; null for as many as there can be.</param>
    public static PairPlan Pairs(IReadOnlyList<MeasuredReceiver> receivers, double limitDb, int? mostPairs = null)
    {
        PairPlan[] plans = [.. MatchGroup.OfParts(receivers).Select(group =>
            Solve([.. receivers.Where(receiver => receiver.PartNumber == group.PartNumber)], [group], limitDb, mostPairs, whole: false))];
        return new([.. plans.SelectMany(plan => plan.Sets)], [.. plans.SelectMany(plan => plan.Left)], plans.All(plan => plan.Proven), limitDb);
    }

    /// <summary>Sets of a build.</summary>
    /// <param name="receivers">The receivers; serials differ.</param>
    /// <param name="groups">The ways of the build.</param>
    /// <param name="limitDb">Largest mismatch of a way, dB.</param>
    /// <param name="mostSets">Sets wanted; null for as many as there can be.</param>
    public static PairPlan Sets(IReadOnlyList<MeasuredReceiver> receivers, IReadOnlyList<MatchGroup> groups, double limitDb, int? mostSets = null) =>
        Solve(receivers, groups, limitDb, mostSets, whole: true);

    private static PairPlan Solve(IReadOnlyList<MeasuredReceiver> receivers, IReadOnlyList<MatchGroup> groups, double limitDb, int? mostSets, bool whole)
    {
        var candidates = groups.Select(group => MatchCandidates.Of(receivers, group, limitDb)).ToArray();
        CpModel model = new();
        BoolVar[][] chosen = [.. candidates.Select((list, g) => list.Found.Select((_, c) => model.NewBoolVar($"{g}.{c}")).ToArray())];
        int most = Math.Min(mostSets ?? int.MaxValue, receivers.Count / 2);
        IntVar sets = model.NewIntVar(0, most, "sets");
        List<BoolVar>[] uses = [.. receivers.Select(_ => new List<BoolVar>())];
        LinearExprBuilder goal = LinearExpr.NewBuilder();
        long weight = 1;
        for (int g = 0; g < groups.Count; g++)
        {
            model.Add(LinearExpr.Sum(chosen[g]) == sets);
            for (int c = 0; c < chosen[g].Length; c++)
            {
                MatchCandidate candidate = candidates[g].Found[c];
                foreach (int receiver in candidate.Left.Concat(candidate.Right))
                {
                    uses[receiver].Add(chosen[g][c]);
                }

                goal.AddTerm(chosen[g][c], -(long)Math.Round(candidate.MismatchDb * Steps));
            }

            // No sum of mismatches may outweigh one set.
            weight += most * (long)Math.Ceiling(limitDb * Steps);
        }

        foreach (List<BoolVar> alternatives in uses.Where(list => list.Count > 1))
        {
            model.AddAtMostOne(alternatives);
        }

        goal.AddTerm(sets, weight);
        model.Maximize(goal);
        CpSolver solver = new()
        {
            StringParameters = FormattableString.Invariant($"num_workers:1,random_seed:1,max_deterministic_time:{SolverSteps}"),
        };
        CpSolverStatus status = solver.Solve(model);
        bool found = status is CpSolverStatus.Optimal or CpSolverStatus.Feasible;
        MatchCandidate[][] taken = [.. candidates.Select((list, g) => found
            ? list.Found.Where((_, c) => solver.BooleanValue(chosen[g][c])).OrderBy(candidate => candidate.MismatchDb).ToArray()
            : [])];

        HashSet<int> used = [.. taken.SelectMany(list => list).SelectMany(candidate => candidate.Left.Concat(candidate.Right))];
        HashSet<int> near = [.. candidates.SelectMany(list => list.Found).SelectMany(candidate => candidate.Left.Concat(candidate.Right))];
        LeftOver[] left = [.. Enumerable.Range(0, receivers.Count).Where(i => !used.Contains(i)).Select(i => new LeftOver(receivers[i], Why(i)))];
        return new(SetAssembly.Of(receivers, groups, taken, whole), left, status == CpSolverStatus.Optimal && candidates.All(list => list.Whole), limitDb);

        string Why(int i) => groups.All(group => group.PartNumber != receivers[i].PartNumber) ? "no way takes this part"
            : !near.Contains(i) ? "no other comes near enough"
            : taken[0].Length == mostSets ? "not needed"
            : "its likes are taken";
    }
}
