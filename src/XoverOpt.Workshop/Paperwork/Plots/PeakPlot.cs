using XoverOpt.Acoustics.Figures;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Paperwork;

/// <summary>The loudest a build can go before a receiver meets its limit, and which way's it is.</summary>
public static class PeakPlot
{
    /// <summary>The picture.</summary>
    public static string Svg(BuildCurves curves)
    {
        Headroom[] peaks = [.. curves.Hz.Select(hz => Headroom.At(curves.Earpiece, curves.Problem.Ear, hz))];
        (int Way, bool Travel)[] kinds = [.. peaks.Where(peak => peak.Way >= 0).Select(peak => (peak.Way, peak.ByTravel)).Distinct().Order()];
        IReadOnlyList<PeakSpl> wanted = curves.Problem.Limits.MinPeakSpl;
        string[] silent = [.. curves.Earpiece.Ways.Select(way => way.Receiver).Where(receiver => receiver.TravelLimit is null && receiver.CurrentLimit is null)
            .Select(receiver => receiver.PartNumber).Distinct()];
        PlotSeries[] series = [.. kinds.Select(kind => new PlotSeries(
            $"{curves.Earpiece.Ways[kind.Way].Name}: {(kind.Travel ? "armature travel" : "coil current")}",
            curves.Hz,
            [.. peaks.Select((peak, k) => Meets(k, kind) || (k > 0 && peak.Way >= 0 && Meets(k - 1, kind)) ? peak.Spl : double.NaN)],
            kind.Travel ? kind.Way : kind.Way + Palette.Count,
            2.2))];
        double[] all = [.. peaks.Where(peak => peak.Way >= 0).Select(peak => peak.Spl), .. wanted.Select(peak => peak.Db)];
        return new FrequencyPlot
        {
            Kind = "peak-level",
            Title = "Loudest before a receiver meets its limit",
            Description = "Eardrum level of a sine over frequency at which the first receiver meets its armature travel or coil current, a curve for each limit that is met first.",
            Quantity = "eardrum level, dB re 20 µPa",
            Scale = all.Length == 0 ? PlotScale.Around(80, 140) : PlotScale.Around(Math.Max(all.Min() - 2, all.Max() - 50), all.Max() + 2),
            Series = series.Length > 0 ? series : [new("no limit is stated", curves.Hz, [.. curves.Hz.Select(_ => double.NaN)], 0)],
            Limits = [.. wanted.Select(peak => new PlotLimit(FormattableString.Invariant($"asked: {peak.Db:0.#} dB at {peak.Hz:0.#} Hz"), peak.Db, peak.Hz / 1.15, peak.Hz * 1.15))],
            Note = silent.Length > 0
                ? $"{string.Join(", ", silent)} states no limit, so that it may give in earlier than shown. These levels injure hearing within seconds."
                : "What is the limit here is no advice to go there: these levels injure hearing within seconds.",
        }.Svg();

        bool Meets(int k, (int Way, bool Travel) kind) => (peaks[k].Way, peaks[k].ByTravel) == kind;
    }
}
