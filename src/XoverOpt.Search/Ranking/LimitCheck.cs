using System.Globalization;
using XoverOpt.Acoustics;

namespace XoverOpt.Search;

/// <summary>A limit that a build breaks: by how much of itself, and in words.</summary>
public sealed record BrokenLimit(double Excess, string Words);

/// <summary>Judges a build against every limit of its job.</summary>
public static class LimitCheck
{
    /// <summary>The limits a build breaks.</summary>
    public static IReadOnlyList<BrokenLimit> Broken(Problem problem, Earpiece earpiece, BuildFigures figures, PartsBill bill)
    {
        var broken = new List<BrokenLimit>();
        Limits limits = problem.Limits;
        void AtMost(string what, double found, double? limit, string unit)
        {
            if (found > limit)
            {
                broken.Add(new((found - limit.Value) / Math.Max(Math.Abs(limit.Value), 1e-12), string.Create(
                    CultureInfo.InvariantCulture, $"{what} {found:0.##} {unit}, at most {limit:0.##}")));
            }
        }

        void AtLeast(string what, double found, double? limit, string unit)
        {
            if (found < limit)
            {
                broken.Add(new((limit.Value - found) / Math.Max(Math.Abs(limit.Value), 1e-12), string.Create(
                    CultureInfo.InvariantCulture, $"{what} {found:0.##} {unit}, at least {limit:0.##}")));
            }
        }

        AtMost("magnitude error", figures.MagnitudeMaxDb, problem.Target.ToleranceDb, "dB");
        AtMost("phase", figures.PhaseMaxDeg, problem.Phase.LimitDeg, "°");
        AtMost("arrival spread", figures.ArrivalSpreadUs, problem.Phase.ArrivalLimit * 1e6, "µs");
        AtMost("receivers", figures.Receivers, limits.MaxReceivers, "pieces");
        AtMost("parts cost", (double)bill.Known, (double?)limits.MaxPartsCost, "");
        AtMost("receiver bodies", bill.KnownBodyVolume * 1e9, limits.ShellVolume * 1e9, "mm³");
        AtLeast("impedance", figures.ImpedanceMinOhm, limits.MinImpedance, "Ω");
        AtLeast("SPL at 100 mV", figures.SplAt100mV, limits.MinSplAt100mV, "dB");
        foreach (PeakSpl peak in limits.MinPeakSpl)
        {
            var headroom = Acoustics.Figures.Headroom.At(earpiece, problem.Ear, peak.Hz);
            if (!headroom.Known)
            {
                string silent = string.Join(", ", earpiece.Ways.Select(way => way.Receiver)
                    .Where(receiver => receiver.TravelLimit is null && receiver.CurrentLimit is null).Select(receiver => receiver.PartNumber).Distinct());
                broken.Add(new(1, string.Create(CultureInfo.InvariantCulture, $"peak SPL at {peak.Hz:0.#} Hz cannot be judged: {silent} states no limits")));
                continue;
            }

            double reach = headroom.Spl;
            AtLeast(string.Create(CultureInfo.InvariantCulture, $"peak SPL at {peak.Hz:0.#} Hz"), reach, peak.Db, "dB");
        }

        if (!double.IsFinite(figures.MagnitudeRmsDb + figures.PhaseRmsDeg + figures.ArrivalSpreadUs))
        {
            broken.Add(new(1, "the figures cannot be computed"));
        }

        broken.AddRange(limits.StockOnly ? bill.Short(limits) : []);
        return broken;
    }
}
