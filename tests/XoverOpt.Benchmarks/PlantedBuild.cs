using XoverOpt.Acoustics;
using XoverOpt.Acoustics.Figures;
using XoverOpt.Search;

namespace XoverOpt.Benchmarks;

/// <summary>
/// A random build that a job allows, and the job turned into the question whose answer it is: the build's own magnitude response is the
/// target. A search of <see cref="Problem"/> that is any good finds a build that costs no more.
/// </summary>
/// <param name="Problem">The job with the build's response as its target, and with limits that the build keeps.</param>
/// <param name="Build">The planted build, judged by that problem: feasible.</param>
/// <param name="Layout">Its layout.</param>
/// <param name="Unit">Its values in the unit cube.</param>
/// <param name="Draws">How many builds were drawn until one would do.</param>
internal sealed record PlantedBuild(Problem Problem, RankedBuild Build, Layout Layout, double[] Unit, int Draws)
{
    /// <summary>Penalties start at 95 % of the limits on phase and arrival; what is opened is opened so far that the build pays none.</summary>
    private const double Room = 1 / 0.94;

    /// <summary>The search's penalty on level starts 0.05 dB above the limit.</summary>
    private const double LevelRoomDb = 0.06;

    private const int MostDraws = 2_000_000;

    /// <summary>Plants a build: a layout and a choice for every value, all drawn evenly, until stock, price and size limits are kept.</summary>
    /// <param name="problem">The job.</param>
    /// <param name="seed">Seed of the draw.</param>
    /// <param name="kind">What is asked.</param>
    /// <returns>The same for the same arguments; null if no draw would do.</returns>
    public static PlantedBuild? Plant(Problem problem, ulong seed, PlantedKind kind)
    {
        var space = new LayoutSpace(problem);
        var workspace = new CostWorkspace(new ProblemTables(problem, 6));
        var evaluation = new BuildEvaluation(problem);
        // Turned over, so that a search with the same seed does not draw the planted layout first.
        var random = new Random64(~seed);
        for (int draw = 1; draw <= MostDraws && space.Draw(random) is { } layout; draw++)
        {
            var candidate = new Candidate(workspace.Tables, space, layout);
            for (int q = 0; q < candidate.Ranges.Length; q++)
            {
                candidate.Hold(q, random.Below(candidate.Ranges[q].Choices.Count));
            }

            if (kind == PlantedKind.Legal && !KeepsTime(CostFunction.Evaluate(candidate, workspace, null), problem.Phase))
            {
                continue;
            }

            Earpiece earpiece = candidate.ToEarpiece();
            Problem asked = Asked(problem, evaluation.Response(earpiece), evaluation.Judge(earpiece), kind);
            RankedBuild judged = new BuildEvaluation(asked).Judge(earpiece);
            if (judged.Feasible)
            {
                return new(asked, judged, layout, [.. candidate.Unit], draw);
            }
        }

        return null;
    }

    /// <summary>How near a build is to the planted one, in a word: the build itself, its layout, its receivers, or other.</summary>
    public string Likeness(Earpiece found) =>
        BuildKey.Of(found) == Build.Key ? "build"
        : Same(found, way => $"{Receivers(way)} {(way.Count > 1 ? way.Wiring : "")} {way.Polarity} {Shape(way)} {string.Join(' ', way.Tube.Select(piece => piece.Bore))}") ? "layout"
        : Same(found, Receivers) ? "receivers"
        : "other";

    /// <summary>
    /// What a search misses a build by, with its layout given away: the cost that ideal values reach from many starts, the cost of the
    /// real build made from them, and of the one made from the planted build's own values. Tells whether the layout or the values were
    /// hard to find.
    /// </summary>
    /// <param name="starts">How many starts.</param>
    /// <param name="seed">Seed of the starts.</param>
    public (double Ideal, double Real, double RealFromOwn) GivenLayout(int starts, ulong seed)
    {
        var runner = new TrialRunner(Problem, new LayoutSpace(Problem));
        TrialResult ideal = runner.Run(new(Layout, null, seed, new(12, starts, 16, 0, 100)));
        double Real(double[] unit) => runner.Run(new(Layout, unit, 0, new(12, 0, 0, 0, 12, 16))).Cost;
        return (ideal.Cost, Real(ideal.Unit), Real(Unit));
    }

    private static string Receivers(Way way) => $"{way.Count}x{way.Receiver.PartNumber}";

    private static string Shape(Way way) =>
        new NetworkShape([.. way.Network.Select(s => new SectionShape(s.Place, s.Resistance is not null, s.Capacitance is not null, s.Inductance is not null))]).ToString();

    private static bool KeepsTime(CostFigures figures, PhaseGoal goal) =>
        figures.PhaseMax * 180 / Math.PI <= goal.LimitDeg && figures.ArrivalSpread <= goal.ArrivalLimit;

    private static Problem Asked(Problem problem, EarpieceResponse response, RankedBuild build, PlantedKind kind)
    {
        BuildFigures figures = build.Figures;
        Limits limits = problem.Limits;
        return problem with
        {
            Name = "planted in " + problem.Name,
            Target = problem.Target with { Curve = Curve(problem.Target, response) },
            Phase = kind switch
            {
                PlantedKind.Magnitude => problem.Phase with { LimitDeg = 1e6, ArrivalLimit = 1 },
                PlantedKind.All => problem.Phase with
                {
                    LimitDeg = Math.Max(problem.Phase.LimitDeg, figures.PhaseMaxDeg * Room),
                    ArrivalLimit = Math.Max(problem.Phase.ArrivalLimit, figures.ArrivalSpreadUs * 1e-6 * Room),
                },
                _ => problem.Phase,
            },
            Limits = limits with
            {
                MinImpedance = limits.MinImpedance is { } ohm ? Math.Min(ohm, figures.ImpedanceMinOhm) : null,
                MinSplAt100mV = limits.MinSplAt100mV is { } spl ? Math.Min(spl, figures.SplAt100mV - LevelRoomDb) : null,
                MinPeakSpl =
                [
                    .. from peak in limits.MinPeakSpl
                       let reach = Headroom.At(build.Earpiece, problem.Ear, peak.Hz)
                       where reach.Known
                       select peak with { Db = Math.Min(peak.Db, reach.Spl - LevelRoomDb) },
                ],
            },
            Cost = kind == PlantedKind.Magnitude ? new(1, 0, 0, 0) : problem.Cost,
        };
    }

    /// <summary>
    /// The build's eardrum SPL at the job's drive as a target: 24 points an octave over the target and level bands. They are points of the
    /// grids that searches use, so joining them adds no error and the planted build is on target.
    /// </summary>
    private static LogCurve Curve(Target target, EarpieceResponse response)
    {
        const double Beyond = 1.06;
        double low = Math.Min(target.BandLowHz, target.LevelLowHz) / Beyond, high = Math.Max(target.BandHighHz, target.LevelHighHz) * Beyond;
        int[] inside = [.. Enumerable.Range(0, response.Hz.Length).Where(k => response.Hz[k] >= low && response.Hz[k] <= high)];
        return new([.. inside.Select(k => response.Hz[k])], [.. inside.Select(k => 20 * Math.Log10(response.Pressure[k].Magnitude / 20e-6))]);
    }

    private bool Same(Earpiece found, Func<Way, string> text) =>
        found.Ways.Select(text).Order(StringComparer.Ordinal).SequenceEqual(Build.Earpiece.Ways.Select(text).Order(StringComparer.Ordinal));
}
