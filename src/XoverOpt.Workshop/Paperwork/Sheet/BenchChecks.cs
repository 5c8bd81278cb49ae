using System.Numerics;
using XoverOpt.Acoustics;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Paperwork;

/// <summary>What shows a way that was turned over: the level where it changes most.</summary>
/// <param name="Way">The way.</param>
/// <param name="Hz">Where, Hz, on the grid of the figures.</param>
/// <param name="RightDb">Level as drawn there, dB re 20 µPa at the job's drive.</param>
/// <param name="WrongDb">Level with the way's leads the other way round.</param>
public sealed record TurnedWay(string Way, double Hz, double RightDb, double WrongDb);

/// <summary>The checks of a built unit, in the order that finds a fault soonest, with what each should show, worked out from the build.</summary>
/// <param name="Socket">DC resistance at the socket.</param>
/// <param name="Ways">DC resistance of each way before it is joined.</param>
/// <param name="Turned">For each way of several, what shows it turned over.</param>
/// <param name="BassDb">Level at 50 Hz over that at 500 Hz, dB, with a tight seal.</param>
/// <param name="LeakBassDb">The same with the small leak that ears are judged with.</param>
/// <param name="LeakBore">Bore of that leak, m.</param>
public sealed record BenchChecks(DcResistance Socket, IReadOnlyList<DcResistance> Ways, IReadOnlyList<TurnedWay> Turned, double BassDb, double LeakBassDb, double LeakBore)
{
    private const double LowestHz = 40, HighestHz = 10_000;

    /// <summary>Works them out.</summary>
    public static BenchChecks Of(BuildInJob build)
    {
        Problem problem = build.Job.Problem with { Ways = [] };
        Earpiece earpiece = build.Build.Earpiece;
        BuildEvaluation evaluation = new(problem);
        EarpieceResponse right = evaluation.Response(earpiece);
        List<TurnedWay> turned = [];
        for (int at = 0; earpiece.Ways.Count > 1 && at < earpiece.Ways.Count; at++)
        {
            Complex[] wrong = evaluation.Response(TurnedOver(earpiece, at)).Pressure;
            int worst = Enumerable.Range(0, right.Hz.Length).Where(k => right.Hz[k] is >= LowestHz and <= HighestHz)
                .MaxBy(k => Math.Abs(Db(right.Pressure[k]) - Db(wrong[k])));
            turned.Add(new(earpiece.Ways[at].Name, right.Hz[worst], Db(right.Pressure[worst]), Db(wrong[worst])));
        }

        double leak = new EarSettings().LeakBore;
        Problem leaking = problem with { Ear = new EarChange { LeakBore = leak }.Of(problem.Ear) };
        return new(
            DcResistance.AtSocket(earpiece, build.Job.Problem, build.Job.Inventory),
            [.. earpiece.Ways.Select(way => DcResistance.OfWay(way, build.Job.Problem, build.Job.Inventory))],
            turned,
            Bass(evaluation, earpiece),
            Bass(new BuildEvaluation(leaking), earpiece),
            leak);
    }

    private static Earpiece TurnedOver(Earpiece earpiece, int at) => new([.. earpiece.Ways.Select((way, i) => i != at ? way
        : way with { Polarity = way.Polarity == Polarity.Normal ? Polarity.Inverted : Polarity.Normal })]);

    private static double Bass(BuildEvaluation evaluation, Earpiece earpiece)
    {
        Complex[] pressure = evaluation.Response(earpiece, [50, 500]).Pressure;
        return Db(pressure[0]) - Db(pressure[1]);
    }

    private static double Db(Complex pressure) => 20 * Math.Log10(pressure.Magnitude / 20e-6);
}
