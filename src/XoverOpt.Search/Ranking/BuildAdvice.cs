using XoverOpt.Acoustics;
using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Search;

/// <summary>
/// Says what holds a build back, by trying: for each list, range and limit that might, how much the cost falls when that one gives way
/// and the values are optimised again from where the build stands. Gains are shares of the build's own cost, all on one grid.
/// <list type="bullet">
/// <item>steps: one kind of part takes any value within its list's ends, every other value stays as built; what listed values near
/// those bring is no fault of the list and is said apart;</item>
/// <item>ends and limits: one end or limit moves by a stated step (<see cref="WiderJobs"/>), all values are free on both sides.</item>
/// </list>
/// A value set free has the loss resistance that its list has there, as in the search. Deterministic. Not for several threads at once.
/// </summary>
public sealed class BuildAdvice
{
    /// <summary>Gains below this, %, are not worth a word.</summary>
    private const double Worth = 1;
    private const int FewLines = 2;

    /// <summary>Costs below this are nobody's to better: a thousandth of the tolerance in RMS error.</summary>
    private const double OnTarget = 4e-6;
    private const int PointsPerOctave = 24;
    private const int Evaluations = 100;
    private const int MostRounds = 8;
    private const double Settled = 0.001;
    private readonly LayoutSpace _space;
    private readonly CostWorkspace _workspace;
    private readonly CancellationToken _breakOff;
    private readonly Dictionary<string, CostWorkspace> _wider = [];

    /// <summary>Prepares advice on builds of a problem.</summary>
    public BuildAdvice(Problem problem)
        : this(new ProblemTables(problem, PointsPerOctave), new LayoutSpace(problem))
    {
    }

    /// <summary>Prepares advice with tables and layouts that are at hand.</summary>
    /// <param name="tables">Tables of the problem; 24 points an octave, as builds are ranked by, or what is a choice and what a list's fault blurs.</param>
    /// <param name="space">Its layouts.</param>
    /// <param name="breakOff">Breaks off what is tried: the methods then throw <see cref="OperationCanceledException"/>.</param>
    public BuildAdvice(ProblemTables tables, LayoutSpace space, CancellationToken breakOff = default)
    {
        _space = space;
        _breakOff = breakOff;
        _workspace = new CostWorkspace(tables) { BreakOff = breakOff };
    }

    private Problem Problem => _workspace.Tables.Problem;

    /// <summary>
    /// The build with advice on it, and with its relaxed cost put right where descending from the build itself, on the grid it is ranked
    /// by, found less than was known.
    /// </summary>
    public RankedBuild On(RankedBuild build)
    {
        (IReadOnlyList<Advice> advice, double ideal) = Try(build.Earpiece, FewLines);
        // NaN, an unknown cost, gives way to any number.
        return build with { Advice = advice, RelaxedCost = build.RelaxedCost <= ideal || double.IsNaN(ideal) ? build.RelaxedCost : ideal };
    }

    /// <summary>
    /// The few things that would help most, best first; where there are fewer, last what the cost is made of. Nothing for a build that the
    /// job's lists do not hold or that is on target.
    /// </summary>
    /// <param name="earpiece">The build.</param>
    /// <param name="most">How many at most, ≥ 1.</param>
    public IReadOnlyList<Advice> Of(Earpiece earpiece, int most = FewLines) => Try(earpiece, most).Advice;

    private (IReadOnlyList<Advice> Advice, double Ideal) Try(Earpiece earpiece, int most)
    {
        if (BuildLayout.Of(earpiece, _workspace.Tables, _space) is not { } found)
        {
            return ([], double.NaN);
        }

        Candidate built = New(_workspace, found.Layout);
        HoldAll(built, found.Choices, _ => true);
        double cost = Cost(built, _workspace);
        if (!(cost > OnTarget) || !double.IsFinite(cost))
        {
            return ([], double.NaN);
        }

        Candidate relaxed = New(_workspace, found.Layout);
        relaxed.SetAll(built.Unit);
        // A descent starts at the build's values with the loss resistances of lists, which may be worse than those of the parts in it.
        double ideal = Math.Min(Settle(relaxed), cost);
        IEnumerable<Advice> tried = Steps(built, found.Layout, found.Choices, cost)
            .Concat(Ends(relaxed, found.Layout, ideal, cost))
            .Concat(Limits(relaxed, found.Layout, ideal, cost))
            .Concat(MoreReceivers(relaxed, found.Layout, ideal, cost));
        // Kind and words settle ties, so that the order is one.
        Advice[] gains = [.. tried
            .Where(advice => advice.GainPercent >= Worth)
            // One list widened for all ways gains the same for each of them: said once.
            .DistinctBy(advice => (advice.What, Math.Round(advice.GainPercent!.Value, 9)))
            .OrderByDescending(advice => advice.GainPercent).ThenBy(advice => advice.What).ThenBy(advice => advice.Words, StringComparer.Ordinal)
            .Take(most)];
        return (gains.Length == most ? gains : [.. gains, WhatCosts.Of(built, _workspace, gains.Length == 0)], ideal);
    }

    private IEnumerable<Advice> Steps(Candidate built, Layout layout, int[] choices, double cost)
    {
        // What stays as in another build is not this job's to choose.
        int[] settled = built.Settled;
        foreach (ParameterKind kind in built.Ranges.Where((_, q) => settled[q] < 0).Select(range => range.Parameter.Kind).Distinct().Order())
        {
            Candidate candidate = New(_workspace, layout);
            candidate.SetAll(built.Unit);
            HoldAll(candidate, choices, q => candidate.Ranges[q].Parameter.Kind != kind);
            double free = Descend(candidate, _workspace), listed = Math.Min(Listed(candidate, choices, kind), cost);
            yield return Gain(AdviceKind.ListSteps, listed - free, cost, AdviceWords.Steps(built, kind));
            yield return Gain(AdviceKind.Choice, cost - listed, cost, AdviceWords.Choice(kind));
        }
    }

    /// <summary>Lowest cost with listed values of one kind near where the candidate's free ones stand: nearest first, then step by step.</summary>
    private double Listed(Candidate candidate, int[] choices, ParameterKind kind)
    {
        int[] at = [.. candidate.Ranges.Select((range, q) => range.Parameter.Kind == kind ? range.Nearest(candidate.Value(q)) : choices[q])];
        HoldAll(candidate, at, _ => true);
        double best = Cost(candidate, _workspace);
        int[] moving = [.. Enumerable.Range(0, at.Length).Where(q => candidate.Ranges[q].Parameter.Kind == kind)];
        for (bool moved = true; moved;)
        {
            moved = false;
            foreach ((int q, int step) in moving.SelectMany(q => new[] { (q, 1), (q, -1) }))
            {
                if (at[q] + step >= 0 && at[q] + step < candidate.Ranges[q].Choices.Count)
                {
                    candidate.Hold(q, at[q] + step);
                    double cost = Cost(candidate, _workspace);
                    (best, at[q], moved) = cost < best * (1 - 1e-9) ? (cost, at[q] + step, true) : (best, at[q], moved);
                    candidate.Hold(q, at[q]);
                }
            }
        }

        return best;
    }

    private IEnumerable<Advice> Ends(Candidate relaxed, Layout layout, double ideal, double cost)
    {
        var slopes = new NormalEquations();
        CostFunction.Evaluate(relaxed, _workspace, slopes);
        double[] slope = [.. slopes.Gradient];
        foreach ((int q, int nth) in relaxed.FreeValues.Select((q, nth) => (q, nth)).ToArray())
        {
            bool high = relaxed.Unit[q] >= 1 && slope[nth] < 0, low = relaxed.Unit[q] <= 0 && slope[nth] > 0;
            if ((high || low) && WiderJobs.Beyond(Problem, relaxed.Ranges[q], high) is { } wider)
            {
                double there = Again(wider.Key, wider.Problem, layout, relaxed);
                yield return Gain(AdviceKind.ListEnd, ideal - there, cost, AdviceWords.End(Problem, relaxed, q, high, wider.End));
            }
        }
    }

    private IEnumerable<Advice> Limits(Candidate relaxed, Layout layout, double ideal, double cost)
    {
        CostFigures figures = CostFunction.Evaluate(relaxed, _workspace, null);
        foreach ((string key, Problem lifted, string words) in WiderJobs.Lifted(Problem, figures, relaxed))
        {
            yield return Gain(AdviceKind.Limit, ideal - Again(key, lifted, layout, relaxed), cost, words);
        }
    }

    /// <summary>Ways that a limit on the whole earpiece keeps from the next higher count of the same receiver.</summary>
    private IEnumerable<Advice> MoreReceivers(Candidate relaxed, Layout layout, double ideal, double cost)
    {
        for (int way = 0; way < layout.Options.Length; way++)
        {
            WayOption here = _space.Option(layout, way);
            int next = Problem.Ways[way].Counts.Where(count => count > here.Count).DefaultIfEmpty(0).Min();
            Layout[] more = [.. Enumerable.Range(0, _space.Options[way].Count)
                .Where(i => _space.Options[way][i] is var option && option.Count == next && option with { Count = here.Count, Wiring = here.Wiring } == here)
                .Select(i => new Layout([.. layout.Options.Select((option, at) => at == way ? i : option)]))
                .Where(other => !_space.Allows(other))];
            if (more.Length > 0)
            {
                double best = more.Min(other => From(relaxed, New(_workspace, other), _workspace));
                yield return Gain(AdviceKind.Limit, ideal - best, cost, AdviceWords.More(Problem, _space, layout, way, next));
            }
        }
    }

    private static Advice Gain(AdviceKind what, double gain, double cost, string words)
    {
        double percent = 100 * gain / cost;
        return new(what, percent, FormattableString.Invariant($"{words} would lower the cost by about {percent:0} %"));
    }

    /// <summary>Lowest cost near the same values under another problem.</summary>
    private double Again(string key, Problem problem, Layout layout, Candidate from)
    {
        if (!_wider.TryGetValue(key, out CostWorkspace? workspace))
        {
            _wider[key] = workspace = new CostWorkspace(new ProblemTables(problem, _workspace.Tables.Grid.PointsPerOctave)) { BreakOff = _breakOff };
        }

        return From(from, New(workspace, layout), workspace);
    }

    private static double From(Candidate from, Candidate to, CostWorkspace workspace)
    {
        to.SetAll([.. to.Ranges.Select((range, q) => range.Unit(from.Value(q)))]);
        return Descend(to, workspace);
    }

    /// <summary>
    /// Descends until another descent gains next to nothing: what eased jobs gain on this must not be what this had left to gain.
    /// </summary>
    private double Settle(Candidate candidate)
    {
        double cost = double.PositiveInfinity;
        for (int round = 0; round < MostRounds; round++)
        {
            double better = Descend(candidate, _workspace);
            if (better > cost * (1 - Settled))
            {
                return better;
            }

            cost = better;
        }

        return cost;
    }

    private static double Descend(Candidate candidate, CostWorkspace workspace)
    {
        Descent.Run(candidate, workspace, Evaluations, 1e-5);
        return Cost(candidate, workspace);
    }

    private static double Cost(Candidate candidate, CostWorkspace workspace) =>
        CostFunction.Evaluate(candidate, workspace, null).Cost.Total;

    private static void HoldAll(Candidate candidate, int[] choices, Func<int, bool> which)
    {
        for (int q = 0; q < choices.Length; q++)
        {
            if (which(q))
            {
                candidate.Hold(q, choices[q]);
            }
        }
    }

    private Candidate New(CostWorkspace workspace, Layout layout) => new(workspace.Tables, _space, layout);
}
