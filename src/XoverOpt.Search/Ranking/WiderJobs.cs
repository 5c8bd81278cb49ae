using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Search;

/// <summary>
/// The same job with one end or one limit moved: an end of a tube range by a quarter of that end, of a list of dampers by half, of a
/// list of network parts by an octave; the least impedance by 1 Ω, the least SPL and the reachable peak SPL by 1 dB, the error
/// tolerance and the phase and arrival limits by a tenth of themselves, their weights so that only the penalty changes.
/// </summary>
internal static class WiderJobs
{
    private const double Tenth = 1.1;

    /// <summary>A job whose list or range goes on beyond one end, and the new end, SI; null where nothing can lie beyond.</summary>
    public static (string Key, Problem Problem, double End)? Beyond(Problem problem, ParameterRange range, bool high)
    {
        ParameterKind kind = range.Parameter.Kind;
        int way = range.Parameter.Way;
        double edge = (high ? range.Choices[^1] : range.Choices[0]).Value;
        if (edge <= 0)
        {
            return null;
        }

        double end = kind switch
        {
            ParameterKind.TubeLength => Problem.CutLength(Math.Round(edge * (high ? 1.25 : 0.75) / problem.TubeStep), problem.TubeStep),
            ParameterKind.Damper => edge * (high ? 1.5 : 0.5),
            _ => edge * (high ? 2 : 0.5),
        };
        if (end <= 0 || end == edge)
        {
            return null;
        }

        Problem wider = kind switch
        {
            ParameterKind.TubeLength => WithWay(problem, way, choice => high ? choice with { TubeMax = end } : choice with { TubeMin = end }),
            ParameterKind.Damper => WithWay(problem, way, choice => choice with { Dampers = Longer(choice.Dampers) }),
            ParameterKind.Resistor => problem with { Passives = problem.Passives with { Resistors = Longer(problem.Passives.Resistors) } },
            ParameterKind.Capacitor => problem with { Passives = problem.Passives with { Capacitors = Longer(problem.Passives.Capacitors) } },
            _ => problem with { Passives = problem.Passives with { Coils = Longer(problem.Passives.Coils) } },
        };
        string where = kind is ParameterKind.TubeLength or ParameterKind.Damper ? FormattableString.Invariant($"{way}") : "all";
        return ($"{kind} {where} {high}", wider, end);

        IReadOnlyList<StockValue> Longer(IReadOnlyList<StockValue> list) =>
            high ? [.. list, list[^1] with { Value = end }] : [list[0] with { Value = end }, .. list];
    }

    /// <summary>Jobs with a limit eased that the values press against, and what to say of it, up to the gain.</summary>
    public static IEnumerable<(string Key, Problem Problem, string Words)> Lifted(Problem problem, CostFigures figures, Candidate candidate)
    {
        Limits limits = problem.Limits;
        // Each penalty starts at the limit or a little before it; a limit further off cannot gain.
        if (limits.MinImpedance is { } ohm && ohm > 1 && figures.ImpedanceMin < 1.05 * ohm)
        {
            yield return ("impedance", problem with { Limits = limits with { MinImpedance = ohm - 1 } }, Invariant($"the impedance limit of {ohm:0.##} Ω binds: {ohm - 1:0.##} Ω"));
        }

        if (limits.MinSplAt100mV is { } db && figures.SplAt100mV < db + 0.5)
        {
            yield return ("spl", problem with { Limits = limits with { MinSplAt100mV = db - 1 } }, Invariant($"the least SPL of {db:0.#} dB at 100 mV binds: {db - 1:0.#} dB"));
        }

        if (limits.MinPeakSpl.Count > 0 && figures.PeakPenalty > 0)
        {
            yield return (
                "peak",
                problem with { Limits = limits with { MinPeakSpl = [.. limits.MinPeakSpl.Select(peak => peak with { Db = peak.Db - 1 })] } },
                "the peak SPL asked for binds: 1 dB less");
        }

        double tolerance = problem.Target.ToleranceDb, phase = problem.Phase.LimitDeg, arrival = problem.Phase.ArrivalLimit;
        if (figures.MagnitudeMaxDb >= CostFunction.Margin * tolerance)
        {
            yield return (
                "tolerance",
                problem with { Target = problem.Target with { ToleranceDb = Tenth * tolerance }, Cost = problem.Cost with { Magnitude = problem.Cost.Magnitude * Tenth * Tenth } },
                Invariant($"the tolerance of {tolerance:0.##} dB binds: {Tenth * tolerance:0.##} dB"));
        }

        if (figures.PhaseMax * 180 / Math.PI >= CostFunction.Margin * phase)
        {
            yield return (
                "phase",
                problem with { Phase = problem.Phase with { LimitDeg = Tenth * phase }, Cost = problem.Cost with { Phase = problem.Cost.Phase * Tenth * Tenth } },
                Invariant($"the phase limit of {phase:0.##}° binds: {Tenth * phase:0.##}°"));
        }

        if (figures.ArrivalSpread >= CostFunction.Margin * arrival)
        {
            yield return (
                "arrival",
                problem with { Phase = problem.Phase with { ArrivalLimit = Tenth * arrival }, Cost = problem.Cost with { Arrival = problem.Cost.Arrival * Tenth * Tenth } },
                Invariant($"the arrival limit of {arrival * 1e6:0.##} µs binds: {Tenth * arrival * 1e6:0.##} µs"));
        }
    }

    private static Problem WithWay(Problem problem, int way, Func<WayChoice, WayChoice> change) =>
        problem with { Ways = [.. problem.Ways.Select((choice, i) => i == way ? change(choice) : choice)] };

    private static string Invariant(FormattableString text) => FormattableString.Invariant(text);
}
