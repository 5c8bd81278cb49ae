using XoverOpt.Acoustics;

namespace XoverOpt.Search;

/// <summary>
/// Optimises what may change in a build whose layout is settled but for the bores: descents from the build's own values and from random
/// ones, then from bore to neighbouring bore while that gains, then the best few made buildable. The build as it stands is in the running
/// too, so that nothing worse comes out.
/// </summary>
internal sealed class SwapRefit
{
    private const int FinePoints = 24;
    private const int QuickSnaps = 8;
    private const int Snaps = 2;

    private static readonly TrialPlan
        Look = new(12, 4, 16, 0, 60, FreeBores: true),
        Deep = new(FinePoints, 3, 16, 0, 120),
        Near = new(FinePoints, 0, 0, 0, 40),
        QuickSnap = new(FinePoints, 0, 0, 0, 12, SnapWidth: TrialRunner.QuickWidth),
        Snap = new(FinePoints, 0, 0, 0, 40, SnapWidth: 16);

    private readonly Problem _problem;
    private readonly LayoutSpace _space;
    private readonly TrialRunner _runner;
    private readonly Earpiece _start;
    private readonly SnappedBuilds _builds;
    private readonly Dictionary<string, TrialResult> _tried = [];
    private readonly Random64 _random;

    /// <summary>Prepares.</summary>
    /// <param name="problem">A job whose layouts differ in bores only.</param>
    /// <param name="start">The build to start from, in one of them.</param>
    public SwapRefit(Problem problem, Earpiece start)
    {
        _problem = problem;
        _start = start;
        _space = new LayoutSpace(problem);
        _runner = new TrialRunner(problem, _space);
        BuildEvaluation evaluation = new(problem, _runner.Tables(FinePoints));
        _builds = new SnappedBuilds(evaluation, _runner.Tables(FinePoints), _space);
        _random = new Random64(problem.Effort.Seed);
        AsItIs = evaluation.Judge(start);
    }

    /// <summary>The build to start from, judged.</summary>
    public RankedBuild AsItIs { get; }

    /// <summary>Evaluations used.</summary>
    public long Evaluations { get; private set; }

    /// <summary>The best build, by the order builds are ranked in.</summary>
    public RankedBuild Best()
    {
        Layout layout = new([.. _problem.Ways.Select((way, index) => NearestBore(index, _start.Ways[index].Tube[0].Bore))]);
        double[] unit = Unit(new Candidate(_runner.Tables(FinePoints), _space, layout));
        TrialResult best = Try(layout, unit, Deep), looked = Run(layout, null, Look);
        if (looked.Layout is { } other && !_tried.ContainsKey(other.Key))
        {
            best = Better(best, Try(other, looked.Unit, Deep));
        }

        for (bool gained = true; gained;)
        {
            TrialResult here = best;
            foreach (Layout near in Variation.Neighbours(_space, here.Layout!).Where(near => !_tried.ContainsKey(near.Key)).ToList())
            {
                best = Better(best, Try(near, here.Unit, Near));
            }

            gained = best != here;
        }

        // A quick look at the real builds of the best few layouts, then a thorough one where that found most.
        List<(TrialResult Ideal, double Cost)> looks = [.. _tried.Values.OrderBy(ideal => ideal.Cost).Take(QuickSnaps).ToList().Select(ideal => (ideal, Make(ideal, QuickSnap)))];
        foreach ((TrialResult ideal, _) in looks.OrderBy(look => look.Cost).Take(Snaps))
        {
            Make(ideal, Snap);
        }

        return _builds.OfEachLayout.Append(AsItIs with { RelaxedCost = _tried[layout.Key].Cost }).Min(BuildRanking.Order)!;
    }

    private static TrialResult Better(TrialResult a, TrialResult b) => b.Cost < a.Cost ? b : a;

    private TrialResult Try(Layout layout, double[] from, TrialPlan plan)
    {
        TrialResult result = Run(layout, from, plan) with { Layout = layout };
        _tried[layout.Key] = result;
        return result;
    }

    private double Make(TrialResult ideal, TrialPlan plan)
    {
        TrialResult made = Run(ideal.Layout!, ideal.Unit, plan);
        _builds.Keep(new(ideal.Layout!.Options, made.Unit, made.Cost, made.MagnitudeRmsDb, made.PhaseMaxDeg, made.Choices) { RelaxedCost = ideal.Cost });
        return made.Cost;
    }

    private TrialResult Run(Layout layout, double[]? from, TrialPlan plan)
    {
        TrialResult result = _runner.Run(new(layout, from, _random.Next(), plan));
        Evaluations += result.Evaluations;
        return result;
    }

    private int NearestBore(int way, double bore) =>
        Enumerable.Range(0, _space.Options[way].Count).MinBy(option => Math.Abs(_problem.Ways[way].Bores[_space.Options[way][option].Bore].Value - bore));

    private double[] Unit(Candidate candidate) =>
        [.. candidate.Ranges.Select(range => range.Unit(BuildLayout.ValueOf(_start.Ways[range.Parameter.Way], range.Parameter)))];
}
