using System.Numerics;
using XoverOpt.Acoustics;

namespace XoverOpt.Search;

/// <summary>
/// Resistors at the socket that hold the response near the design on sources up to a stated output resistance: one in line (nearer the
/// source) and one across the earpiece, either of which may be left out. Seen from the earpiece they are a source of their own:
/// <code>
/// k = R_p/(R + R_s + R_p)     R_th = (R + R_s) R_p/(R + R_s + R_p)     load = R_s + 1/(1/R_p + Y)
/// </code>
/// </summary>
/// <param name="UpToOhm">The highest output resistance it is meant for, Ω.</param>
/// <param name="SeriesOhm">In line, Ω; null for none.</param>
/// <param name="ParallelOhm">Across, Ω; null for none.</param>
/// <param name="MaxDb">Largest change of shape against the design on any listed source up to there, dB.</param>
/// <param name="BareMaxDb">The same without it, dB.</param>
/// <param name="LevelDb">What it does to the level on the job's own source, dB; below 0 is a loss.</param>
/// <param name="LowestLoadOhm">The lowest load the source then sees from 20 Hz to 20 kHz, Ω.</param>
/// <param name="Holds">Whether it keeps the change within what was asked; if not, it is the flattest there is.</param>
public sealed record SourcePad(
    double UpToOhm, double? SeriesOhm, double? ParallelOhm, double MaxDb, double BareMaxDb, double LevelDb, double LowestLoadOhm, bool Holds)
{
    /// <summary>
    /// Looks through every pair of values, takes the one that costs least level of those that keep the change and the load (the flattest
    /// where none does), and evaluates the earpiece with it anew.
    /// </summary>
    internal static IReadOnlyList<SourcePad> Find(
        Earpiece earpiece, Problem problem, ChangeBands bands, Complex[] admittance, IReadOnlyList<double> ohms, double withinDb, double leastLoad)
    {
        double own = problem.Source.Resistance;
        double?[] values = [null, .. problem.Passives.Resistors.Select(part => (double?)part.Value)];
        double[] rising = [.. ohms.Append(own).Distinct().Order()];
        var found = new List<(double? Series, double? Parallel, double[] Worst, double Level)>();
        foreach (double? series in values)
        {
            foreach (double? parallel in values)
            {
                bool bare = series is null && parallel is null;
                if (bare || admittance.Min(y => Load(series, parallel, y)) >= leastLoad)
                {
                    var worst = new double[rising.Length];
                    double level = 0, most = 0;
                    for (int s = 0; s < rising.Length; s++)
                    {
                        var change = bands.Judge([.. admittance.Select(y => Decibel(Gain(rising[s], series, parallel, y) / Gain(own, null, null, y)))]);
                        most = Math.Max(most, Math.Abs(change.MaxDb));
                        worst[s] = most;
                        level = rising[s] == own ? change.LevelDb : level;
                    }

                    found.Add((series, parallel, worst, level));
                }
            }
        }

        return [.. Enumerable.Range(0, rising.Length).Where(s => rising[s] > own).Select(s =>
        {
            double bare = found[0].Worst[s];
            var holding = found.Where(pad => pad.Worst[s] <= withinDb);
            (double? series, double? parallel, _, double level) = holding.Any() ? holding.MaxBy(pad => pad.Level) : found.MinBy(pad => pad.Worst[s]);
            double verified = rising[..(s + 1)].Max(ohm => Again(earpiece, problem, bands, ohm, series, parallel));
            return new SourcePad(rising[s], series, parallel, verified, bare, level, admittance.Min(y => Load(series, parallel, y)), verified <= withinDb * (1 + 1e-9));
        })];
    }

    /// <summary>The largest change with the pad in, from the earpiece evaluated on the source that source and pad make together.</summary>
    private static double Again(Earpiece earpiece, Problem problem, ChangeBands bands, double ohm, double? series, double? parallel)
    {
        (double k, double thevenin) = Thevenin(ohm, series, parallel);
        PlainResponse[] padded = bands.Responses(earpiece, problem.Ear, new(problem.Source.Voltage * k, thevenin));
        PlainResponse[] design = bands.Responses(earpiece, problem.Ear, problem.Source);
        return Math.Abs(bands.Judge([.. padded.Zip(design, (with, without) => Decibel(with.DrumPressure / without.DrumPressure))]).MaxDb);
    }

    private static (double K, double Ohm) Thevenin(double ohm, double? series, double? parallel)
    {
        double before = ohm + (series ?? 0);
        return parallel is { } across ? (across / (before + across), before * across / (before + across)) : (1, before);
    }

    /// <summary>Socket voltage per open-circuit voltage.</summary>
    private static Complex Gain(double ohm, double? series, double? parallel, Complex admittance)
    {
        (double k, double thevenin) = Thevenin(ohm, series, parallel);
        return k / (1 + (thevenin * admittance));
    }

    private static double Load(double? series, double? parallel, Complex admittance) =>
        ((series ?? 0) + Complex.Reciprocal(admittance + (1 / parallel ?? 0))).Magnitude;

    private static double Decibel(Complex ratio) => 20 * Math.Log10(ratio.Magnitude);
}
