using System.Globalization;
using XoverOpt.Acoustics;

namespace XoverOpt.Search;

/// <summary>
/// The limits of a job that one unit can keep and the next one break: those of <see cref="LimitCheck"/> on what is heard and measured.
/// Counts, prices, sizes and stock are the same for every unit and are left to it.
/// </summary>
public sealed class YieldLimits
{
    private readonly Problem _problem;
    private readonly YieldPeaks[] _peaks;
    private readonly bool _known;
    private readonly List<(string Name, Func<CostFigures, bool> Keeps)> _limits = [];

    /// <summary>Gathers the limits.</summary>
    public YieldLimits(Problem problem, Earpiece earpiece)
    {
        _problem = problem;
        Limits limits = problem.Limits;
        Add($"magnitude error at most {problem.Target.ToleranceDb:0.##} dB", figures => figures.MagnitudeMaxDb <= problem.Target.ToleranceDb);
        double phase = problem.Phase.LimitDeg, arrival = problem.Phase.ArrivalLimit;
        Add($"phase at most {phase:0.##}°", figures => figures.PhaseMax * 180 / Math.PI <= phase);
        Add($"arrival spread at most {arrival * 1e6:0.##} µs", figures => figures.ArrivalSpread * 1e6 <= arrival * 1e6);
        if (limits.MinImpedance is { } ohm)
        {
            Add($"impedance at least {ohm:0.##} Ω", figures => figures.ImpedanceMin >= ohm);
        }

        if (limits.MinSplAt100mV is { } level)
        {
            Add($"SPL at 100 mV at least {level:0.##} dB", figures => figures.SplAt100mV >= level);
        }

        _known = earpiece.Ways.All(way => way.Receiver.TravelLimit is not null || way.Receiver.CurrentLimit is not null);
        _peaks = [.. limits.MinPeakSpl.Select(peak => new YieldPeaks(earpiece, problem.Ear, peak.Hz))];
        Names =
        [
            .. _limits.Select(limit => limit.Name),
            .. limits.MinPeakSpl.Select(peak => string.Create(
                CultureInfo.InvariantCulture, $"peak SPL at {peak.Hz:0.#} Hz at least {peak.Db:0.##} dB{(_known ? "" : " (cannot be judged: a receiver states no limits)")}")),
        ];

        void Add(FormattableString name, Func<CostFigures, bool> keeps) => _limits.Add((FormattableString.Invariant(name), keeps));
    }

    /// <summary>The limits, in words.</summary>
    public IReadOnlyList<string> Names { get; }

    /// <summary>Which limits the unit last evaluated breaks, bit by bit in the order of <see cref="Names"/>, and what missing peak levels cost.</summary>
    internal (long Broken, double PeakPenalty) Judge(CostFigures figures, SpreadWorkspace workspace)
    {
        long broken = 0;
        double penalty = 0;
        for (int i = 0; i < _limits.Count; i++)
        {
            broken |= _limits[i].Keeps(figures) ? 0 : 1L << i;
        }

        for (int i = 0; i < _peaks.Length; i++)
        {
            double wanted = _problem.Limits.MinPeakSpl[i].Db, reach = _peaks[i].Spl(workspace.Ways, workspace.Pieces);
            double missing = _known ? Math.Max(wanted + CostFunction.LevelMargin - reach, 0) : PeakCost.UnknownHeadroomDb;
            penalty += missing * missing;
            broken |= _known && reach >= wanted ? 0 : 1L << Math.Min(_limits.Count + i, 63);
        }

        return (broken, penalty);
    }
}
