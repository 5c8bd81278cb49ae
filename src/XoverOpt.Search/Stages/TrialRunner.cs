using System.Collections.Concurrent;
using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Search;

/// <summary>Evaluates trials. Pure: a result depends on the trial only. Safe from many threads; workspaces are lent out.</summary>
public sealed class TrialRunner
{
    /// <summary>A snap of so few combinations is a quick one.</summary>
    public const int QuickWidth = 2;

    private const int MostPasses = 4;
    private readonly LayoutSpace _space;
    private readonly Dictionary<int, ProblemTables> _tables;
    private readonly ConcurrentDictionary<int, ConcurrentBag<CostWorkspace>> _idle = new();

    /// <summary>Prepares the tables of a problem.</summary>
    public TrialRunner(Problem problem, LayoutSpace space)
    {
        _space = space;
        _tables = new Dictionary<int, ProblemTables> { [6] = new(problem, 6, pathArrivals: true), [12] = new(problem, 12, pathArrivals: true), [24] = new(problem, 24) };
    }

    /// <summary>Tables of a grid density.</summary>
    public ProblemTables Tables(int pointsPerOctave) => _tables[pointsPerOctave];

    /// <summary>Runs a trial.</summary>
    /// <param name="trial">The trial.</param>
    /// <param name="breakOff">Breaks it off at its next evaluation.</param>
    /// <exception cref="OperationCanceledException">It was broken off. The workspaces it had are not lent again.</exception>
    public TrialResult Run(Trial trial, CancellationToken breakOff = default)
    {
        CostWorkspace workspace = Rent(trial.Plan.PointsPerOctave);
        workspace.BreakOff = breakOff;
        TrialResult result = trial.Plan.SnapWidth > 0 ? Snap(trial, workspace) : Optimise(trial, workspace);
        Return(workspace);
        return result;
    }

    internal CostWorkspace Rent(int pointsPerOctave) =>
        _idle.GetOrAdd(pointsPerOctave, _ => []).TryTake(out CostWorkspace? workspace) ? workspace : new CostWorkspace(_tables[pointsPerOctave]);

    internal void Return(CostWorkspace workspace) => _idle[workspace.Tables.Grid.PointsPerOctave].Add(workspace);

    private TrialResult Optimise(Trial trial, CostWorkspace workspace)
    {
        TrialPlan plan = trial.Plan;
        var candidate = new Candidate(workspace.Tables, _space, trial.Layout, plan.FreeBores);
        var random = new Random64(trial.Seed);
        int used = 0;
        var starts = new List<double[]>(plan.Starts + 1);
        if (trial.From is { } from)
        {
            starts.Add(from);
        }

        int led = starts.Count + (plan.Global > 0 ? 1 : 0);
        for (int s = 0; s < plan.Starts; s++)
        {
            starts.Add(BestOf(plan.Draws, candidate, workspace, random));
            used += plan.Draws > 1 ? plan.Draws : 0;
        }

        if (plan.Global > 0)
        {
            starts.Insert(0, Adapt(plan.Global, candidate, workspace, random, ref used));
        }

        if (plan.Sprint > 0 && starts.Count > 1)
        {
            (double Cost, double[] Unit) leader = (double.PositiveInfinity, starts[0]);
            foreach (double[] start in starts)
            {
                (double cost, int steps) = Descend(start, plan.Sprint);
                leader = cost < leader.Cost ? (cost, [.. candidate.Unit]) : leader;
            }

            starts = [leader.Unit];
        }

        double best = double.PositiveInfinity;
        double[] unit = starts[0];
        var ends = new List<StartEnd>();
        for (int s = 0; s < starts.Count; s++)
        {
            (double cost, _) = Descend(starts[s], plan.Steps);
            if (plan.Sprint == 0 && s >= led)
            {
                ends.Add(new(cost, [.. candidate.Unit]));
            }

            if (cost < best)
            {
                best = cost;
                unit = [.. candidate.Unit];
            }
        }

        candidate.SetAll(unit);
        Layout layout = trial.Layout;
        if (plan.FreeBores)
        {
            // With the bores that are nearest, the other values go on from where they are.
            layout = _space.WithBores(trial.Layout, candidate.Ranges
                .Select((range, q) => (range.Parameter, Choice: range.Nearest(candidate.Value(q))))
                .Where(value => value.Parameter.Kind == ParameterKind.Bore)
                .ToDictionary(value => value.Parameter.Way, value => value.Choice));
            double[] others = [.. candidate.Unit.Where((_, q) => candidate.Ranges[q].Parameter.Kind != ParameterKind.Bore)];
            candidate = new Candidate(workspace.Tables, _space, layout);
            Descend(others, plan.Steps / 2);
            unit = [.. candidate.Unit];
        }

        return Result(candidate, workspace, unit, used, null, [.. ends]) with { Layout = layout };

        (double Cost, int Steps) Descend(double[] start, int steps)
        {
            candidate.SetAll(start);
            LevenbergMarquardt.Outcome outcome = Descent.Run(candidate, workspace, steps);
            used += Descent.StepCost * outcome.Evaluations;
            return (outcome.Cost, outcome.Evaluations);
        }
    }

    /// <summary>The best that covariance matrix adaptation with growing restarts finds from values alone.</summary>
    private static double[] Adapt(int evaluations, Candidate candidate, CostWorkspace workspace, Random64 random, ref int used)
    {
        var optimiser = new RestartingCmaEs(new CmaEsSettings(candidate.Ranges.Length, random.Next()) { MaxEvaluations = evaluations, CostTolerance = 1e-4, StepTolerance = 1e-4 });
        while (optimiser.Stopped is null)
        {
            double[][] points = optimiser.Ask();
            optimiser.Tell([.. points.Select(point =>
            {
                candidate.SetAll(point);
                return CostFunction.Evaluate(candidate, workspace, null).Cost.Total;
            })]);
        }

        used += (int)optimiser.Evaluations;
        return optimiser.Best?.Point ?? [.. candidate.Unit];
    }

    /// <summary>The best of some random points.</summary>
    private static double[] BestOf(int draws, Candidate candidate, CostWorkspace workspace, Random64 random)
    {
        double[] best = Variation.Start(workspace.Tables.Problem, candidate.Ranges, random);
        double lowest = double.PositiveInfinity;
        for (int d = 0; draws > 1 && d < draws; d++)
        {
            double[] drawn = d == 0 ? best : Variation.Start(workspace.Tables.Problem, candidate.Ranges, random);
            candidate.SetAll(drawn);
            double cost = CostFunction.Evaluate(candidate, workspace, null).Cost.Total;
            if (cost < lowest)
            {
                (lowest, best) = (cost, drawn);
            }
        }

        return best;
    }

    /// <summary>
    /// Snaps, relaxes again from the real build, which may lie in a better valley than the relaxed optimum it came from, and snaps from
    /// there, while that gains.
    /// </summary>
    private TrialResult Snap(Trial trial, CostWorkspace workspace)
    {
        CostWorkspace fine = Rent(24);
        fine.BreakOff = workspace.BreakOff;
        var candidate = new Candidate(fine.Tables, _space, trial.Layout);
        TrialResult? best = null;
        double[] unit = trial.From!;
        int used = 0;
        // One pass where it has to be quick.
        int passes = trial.Plan.SnapWidth <= QuickWidth ? 1 : MostPasses;
        for (int pass = 0; pass < passes; pass++)
        {
            (int[] choices, int evaluations) = StockSnap.Run(workspace, fine, _space, trial.Layout, unit, trial.Plan.SnapWidth, trial.Plan.Steps);
            candidate.Release();
            for (int q = 0; q < choices.Length; q++)
            {
                candidate.Hold(q, choices[q]);
            }

            used += evaluations + 1;
            TrialResult result = Result(candidate, fine, [.. candidate.Unit], 0, choices, []);
            if (best is not null && result.Cost >= best.Cost * (1 - 1e-9))
            {
                break;
            }

            best = result;
            if (pass + 1 == passes)
            {
                break;
            }

            candidate.Release();
            LevenbergMarquardt.Outcome relaxed = Descent.Run(candidate, fine, 3 * trial.Plan.Steps);
            used += Descent.StepCost * relaxed.Evaluations;
            unit = [.. candidate.Unit];
        }

        Return(fine);
        return best! with { Evaluations = used };
    }

    private static TrialResult Result(Candidate candidate, CostWorkspace workspace, double[] unit, int used, int[]? choices, IReadOnlyList<StartEnd> ends)
    {
        CostFigures figures = CostFunction.Evaluate(candidate, workspace, null);
        // What cannot be computed (a value outside the numbers' range) must never look good.
        double cost = double.IsFinite(figures.Cost.Total) ? figures.Cost.Total : double.PositiveInfinity;
        return new(cost, [.. unit], used + 1, choices, figures.MagnitudeRmsDb, figures.PhaseMax * 180 / Math.PI, ends);
    }
}
