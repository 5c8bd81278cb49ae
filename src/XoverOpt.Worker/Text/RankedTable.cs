using System.Text;
using XoverOpt.Search;

namespace XoverOpt.Worker.Text;

/// <summary>The ranked builds as a plain table: no colours, no boxes, and never wider than asked.</summary>
internal static class RankedTable
{
    private static readonly (string First, string Second, int Width)[] Columns =
    [
        ("", "#", 3), ("", "fits", 5), ("", "cost", 7), ("loss", "%", 6), ("mag RMS", "/max dB", 9), ("phase", "max °", 6), ("spread", "µs", 7), ("SPL dB", "100 mV", 7),
        ("min", "Ω", 6), ("parts", "cost", 7),
    ];

    /// <summary>Lines of the table, heading and key included.</summary>
    /// <param name="builds">Best first.</param>
    /// <param name="width">Most characters in a line, ≥ 90.</param>
    public static IEnumerable<string> Lines(IReadOnlyList<RankedBuild> builds, int width)
    {
        yield return Row(Columns.Select(column => column.First), "").TrimEnd();
        yield return Row(Columns.Select(column => column.Second), "receivers by way");
        int indent = Columns.Sum(column => column.Width) + 2;
        foreach (RankedBuild build in builds)
        {
            string[] receivers = [.. Wrap(build.Earpiece.Ways.Select(WayText.Short), width - indent)];
            yield return Row(Cells(build), receivers[0]);
            foreach (string more in receivers.Skip(1))
            {
                yield return new string(' ', indent) + more;
            }
        }

        yield return "fits: keeps every limit.  loss: what values that can be bought cost.  SPL at 500 Hz.";
        yield return "spread: latest less earliest arrival.  ∥ in parallel, + in series, ⟲ leads turned over.";
    }

    private static string[] Cells(RankedBuild build)
    {
        BuildFigures figures = build.Figures;
        return
        [
            Numbers.Fixed(build.Rank, 0),
            build.Feasible ? "yes" : "no",
            build.Cost.Total < 1e4 ? Numbers.Fixed(build.Cost.Total, 3) : Numbers.Count(build.Cost.Total),
            double.IsFinite(build.SnappingLossPercent) ? Loss(build.SnappingLossPercent) : "–",
            $"{Numbers.Fixed(figures.MagnitudeRmsDb, 2)}/{Numbers.Fixed(figures.MagnitudeMaxDb, 1)}",
            Numbers.Fixed(figures.PhaseMaxDeg, 1),
            Numbers.Fixed(figures.ArrivalSpreadUs, 1),
            Numbers.Fixed(figures.SplAt100mV, 1),
            Numbers.Fixed(figures.ImpedanceMinOhm, 1),
            Numbers.Fixed((double?)figures.PartsCost, 2),
        ];
    }

    private static string Loss(double percent) => percent < 1000 ? Numbers.Fixed(percent, 1) : Numbers.Count(percent);

    private static string Row(IEnumerable<string> cells, string receivers)
    {
        var line = new StringBuilder();
        foreach ((string cell, (_, _, int width)) in cells.Zip(Columns))
        {
            line.Append(cell.PadLeft(width));
        }

        return line.Append("  ").Append(receivers).ToString();
    }

    /// <summary>Joins the ways with dots, breaking the line between ways where it would grow too long.</summary>
    private static IEnumerable<string> Wrap(IEnumerable<string> ways, int width)
    {
        string line = "";
        foreach (string way in ways)
        {
            if (line.Length > 0 && line.Length + 3 + way.Length > width)
            {
                yield return line + " ·";
                line = way;
            }
            else
            {
                line = line.Length == 0 ? way : $"{line} · {way}";
            }
        }

        yield return line;
    }
}
