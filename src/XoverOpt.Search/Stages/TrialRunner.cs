using System.Collections.Concurrent;
using XoverOpt.Acoustics;
using XoverOpt.Acoustics.Figures;

namespace XoverOpt.Search;

/// <summary>Evaluates trials. Pure: a result depends on the trial only. Safe from many threads; workspaces are lent out.</summary>
public sealed class TrialRunner
{
    /// <summary>A receiver that states no limit counts as this much short: nobody knows how loud it goes.</summary>
    private const double UnknownHeadroomDb = 3;
    private readonly LayoutSpace _space;
    private readonly Dictionary<int, ProblemTables> _tables;
    private readonly ConcurrentDictionary<int, ConcurrentBag<CostWorkspace>> _idle = new();

    /// <summary>Prepares the tables of a problem.</summary>
    public TrialRunner(Problem problem, LayoutSpace space)
    {
        _space = space;
        _tables = new Dictionary<int, ProblemTables> { [6] = new(problem, 6), [12] = new(problem, 12), [24] = new(problem, 24) };
    }

    /// <summary>Tables of a grid density.</summary>
    public ProblemTables Tables(int pointsPerOctave) => _tables[pointsPerOctave];

    /// <summary>Runs a trial.</summary>
    public TrialResult Run(Trial trial)
    {
        CostWorkspace workspace = Rent(trial.PointsPerOctave);
        TrialResult result = trial.BeamWidth > 0 ? Snap(trial, workspace) : Optimise(trial, workspace);
        Return(workspace);
        return result;
    }

    /// <summary>What a layout lacks in reachable SPL, as cost: (dB missing)² summed over the job's peak frequencies.</summary>
    public static double PeakPenalty(Problem problem, Earpiece earpiece)
    {
        double penalty = 0;
        foreach (PeakSpl peak in problem.Limits.MinPeakSpl)
        {
            var headroom = Headroom.At(earpiece, problem.Ear, peak.Hz);
            double missing = headroom.Known ? Math.Max(peak.Db - headroom.Spl, 0) : UnknownHeadroomDb;
            penalty += missing * missing;
        }

        return penalty;
    }

    internal static double PeakPenalty(Candidate candidate, Problem problem) =>
        problem.Limits.MinPeakSpl.Count == 0 ? 0 : PeakPenalty(problem, candidate.ToEarpiece());

    internal CostWorkspace Rent(int pointsPerOctave) =>
        _idle.GetOrAdd(pointsPerOctave, _ => []).TryTake(out CostWorkspace? workspace) ? workspace : new CostWorkspace(_tables[pointsPerOctave]);

    internal void Return(CostWorkspace workspace) => _idle[workspace.Tables.Grid.PointsPerOctave].Add(workspace);

    private TrialResult Optimise(Trial trial, CostWorkspace workspace)
    {
        var candidate = new Candidate(workspace.Tables, _space, trial.Layout);
        double best = double.PositiveInfinity;
        double[] unit = trial.Starts[0];
        int used = 0;
        foreach (double[] start in trial.Starts)
        {
            candidate.SetAll(start);
            LevenbergMarquardt.Outcome outcome = Descent.Run(candidate, workspace, trial.EvaluationsPerStart);
            used += outcome.Evaluations;
            double cost = outcome.Cost + PeakPenalty(candidate, workspace.Tables.Problem);
            if (cost < best)
            {
                best = cost;
                unit = [.. candidate.Unit];
            }
        }

        candidate.SetAll(unit);
        return Result(candidate, workspace, unit, used, null);
    }

    private TrialResult Snap(Trial trial, CostWorkspace workspace)
    {
        CostWorkspace fine = Rent(24);
        (int[] choices, int used) = BeamSnap.Run(workspace, fine, _space, trial.Layout, trial.Starts[0], trial.BeamWidth, trial.EvaluationsPerStart);
        var candidate = new Candidate(fine.Tables, _space, trial.Layout);
        for (int q = 0; q < choices.Length; q++)
        {
            candidate.Hold(q, choices[q]);
        }

        TrialResult result = Result(candidate, fine, candidate.Unit, used, choices);
        Return(fine);
        return result;
    }

    private static TrialResult Result(Candidate candidate, CostWorkspace workspace, double[] unit, int used, int[]? choices)
    {
        CostFigures figures = CostFunction.Evaluate(candidate, workspace, null);
        Problem problem = workspace.Tables.Problem;
        double peak = PeakPenalty(candidate, problem);
        // What cannot be computed (a value outside the numbers' range) must never look good.
        double cost = double.IsFinite(figures.Cost.Total) ? figures.Cost.Total + peak : double.PositiveInfinity;
        return new(cost, [.. unit], used + 1, choices, figures.MagnitudeRmsDb, figures.PhaseMax * 180 / Math.PI);
    }
}
