using XoverOpt.Acoustics;
using XoverOpt.Search;
using XoverOpt.Workshop.Running;

namespace XoverOpt.Worker.Text;

/// <summary>Swaps of a receiver as lines of text: a table, and what the best of them changes.</summary>
internal static class SwapText
{
    private static readonly (string First, string Second, int Width)[] Columns =
    [
        ("", "#", 3), ("distance", "dB", 10), ("level", "dB", 7), ("body", "mm³", 7), ("as it is", "cost", 10), ("refitted", "cost", 10), ("", "%", 8), ("", "fits", 6), ("parts", "±", 8), ("", "stock", 7), ("", "s", 6),
    ];

    /// <summary>Its lines.</summary>
    public static IEnumerable<string> Lines(ReceiverSwaps swaps, string receiver, IReadOnlyList<TimedSwap> tried)
    {
        RankedBuild original = swaps.Original;
        yield return Numbers.Invariant($"{receiver} out of the {string.Join(" and ", swaps.Ways)} way{(swaps.Ways.Count == 1 ? "" : "s")} ({swaps.Pieces} in an earpiece) of a build that costs {Numbers.Fixed(original.Cost.Total, 3)}")
            + (original.Feasible ? " and keeps every limit" : " and breaks limits") + $", parts {Numbers.Fixed((double?)original.Figures.PartsCost, 2)}";
        yield return Numbers.Invariant($"{swaps.Candidates.Count} receivers are at hand; the nearest {tried.Count}, best first:");
        yield return "";
        yield return Row([.. Columns.Select(column => column.First)], "").TrimEnd();
        yield return Row([.. Columns.Select(column => column.Second)], "receiver");
        foreach (TimedSwap swap in tried)
        {
            (SwapCandidate candidate, RankedBuild build, RankedBuild asItIs, _, _) = swap.Result;
            yield return Row(
                [
                    Numbers.Fixed(swap.Rank, 0),
                    Numbers.Fixed(candidate.Distance.ResponseDb, 2),
                    Signed(candidate.Distance.LevelDb, 1),
                    Signed(candidate.Distance.BodyMm3, 0) + (candidate.Distance.DropsIn == false ? "!" : " "),
                    Cost(asItIs),
                    Cost(build),
                    Percent(100 * ((build.Cost.Total / original.Cost.Total) - 1)),
                    build.Feasible ? "yes" : "no",
                    Signed((double?)(build.Figures.PartsCost - original.Figures.PartsCost), 2),
                    Numbers.Fixed((double?)candidate.Receiver.Supply?.Stock, 0),
                    Numbers.Fixed(swap.Seconds, 1),
                ],
                candidate.Receiver.Receiver.PartNumber + (candidate.Listed ? "" : " *"));
        }

        yield return "distance: change at the eardrum that level and delay of the way do not mend.  level: the way by itself.";
        yield return "body: against the one that is out; ! larger in some direction.  * not listed by the job for this way.";
        foreach (TimedSwap swap in tried.Where(swap => !swap.Result.Build.Feasible))
        {
            yield return "";
            yield return $"{Name(swap)} breaks limits:";
            foreach (string limit in swap.Result.Build.BrokenLimits)
            {
                yield return "  ! " + limit;
            }
        }

        if (tried.Count > 0)
        {
            yield return "";
            foreach (string line in Changes(swaps.Earpiece, tried[0]))
            {
                yield return line;
            }
        }

        yield return "";
    }

    /// <summary>The ways of the swapped build line by line, those that changed with what they were.</summary>
    private static IEnumerable<string> Changes(Earpiece before, TimedSwap swap)
    {
        yield return $"With {Name(swap)}, changes only:";
        foreach ((Way was, Way now) in before.Ways.Zip(swap.Result.Build.Earpiece.Ways))
        {
            string[] old = [.. WayText.Full(was)], changed = [.. WayText.Full(now)];
            if (old.SequenceEqual(changed))
            {
                continue;
            }

            yield return "  " + changed[0];
            foreach ((string line, string other) in changed.Zip(old).Skip(1).Where(pair => pair.First != pair.Second))
            {
                yield return "  " + line;
                yield return "      was " + other[(other.IndexOf(':', StringComparison.Ordinal) + 2)..];
            }
        }

        BuildFigures figures = swap.Result.Build.Figures;
        yield return $"  magnitude error {Numbers.Fixed(figures.MagnitudeRmsDb, 2)} dB RMS, {Numbers.Fixed(figures.MagnitudeMaxDb, 2)} dB at most; arrivals {Numbers.Fixed(figures.ArrivalSpreadUs, 1)} µs apart; "
            + $"SPL {Numbers.Fixed(figures.SplAt100mV, 1)} dB at 100 mV";
    }

    private static string Name(TimedSwap swap) => swap.Result.Candidate.Receiver.Receiver.PartNumber;

    private static string Cost(RankedBuild build) => build.Cost.Total < 1e4 ? Numbers.Fixed(build.Cost.Total, 3) : Numbers.Count(build.Cost.Total);

    private static string Percent(double percent) => percent < 1e4 ? Signed(percent, percent < 100 ? 1 : 0) : "+" + Numbers.Count(percent);

    private static string Signed(double? value, int decimals) =>
        value is { } number && double.IsFinite(number) ? (Math.Round(number, decimals) >= 0 ? "+" : "") + Numbers.Fixed(number, decimals) : "–";

    private static string Row(IReadOnlyList<string> cells, string receiver) => string.Concat(cells.Zip(Columns, (cell, column) => cell.PadLeft(column.Width))) + "  " + receiver;
}
