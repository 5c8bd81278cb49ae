using System.Globalization;
using System.Runtime.InteropServices;

namespace XoverOpt.Benchmarks;

/// <summary>Results of the comparison as Markdown.</summary>
internal static class ComparisonTable
{
    /// <summary>Machine, date and command, on which every number depends.</summary>
    public static string Where(string command)
    {
        string processor = "unknown processor", load = "unknown";
        if (File.Exists("/proc/cpuinfo"))
        {
            processor = File.ReadLines("/proc/cpuinfo").FirstOrDefault(line => line.StartsWith("model name", StringComparison.Ordinal))?.Split(':')[1].Trim() ?? processor;
            load = File.ReadAllText("/proc/loadavg").Split(' ')[0];
        }

        return string.Create(
            CultureInfo.InvariantCulture,
            $"{processor}, {Environment.ProcessorCount} cores, load {load} at the start, {RuntimeInformation.FrameworkDescription}, {RuntimeInformation.OSDescription}, {DateTime.UtcNow:yyyy-MM-dd}; `{command}`");
    }

    /// <summary>One table: an optimiser a row, best median first, and below it whether ours is ahead.</summary>
    /// <param name="title">What was measured.</param>
    /// <param name="rows">A name, the final costs of its seeds and what else is to be said of it.</param>
    /// <param name="ours">The name of ours.</param>
    /// <param name="noteHead">Head of the last column.</param>
    public static IEnumerable<string> Lines(string title, IReadOnlyList<(string Name, double[] Costs, string Note)> rows, string ours, string noteHead)
    {
        yield return $"### {title}";
        yield return "";
        yield return $"| optimiser | seeds | median | best | worst | {noteHead} |";
        yield return "|---|--:|--:|--:|--:|--:|";
        foreach ((string name, double[] costs, string note) in rows.OrderBy(row => Median(row.Costs)))
        {
            string shown = name == ours ? $"**{name}**" : name;
            yield return $"| {shown} | {costs.Length} | {Cost(Median(costs))} | {Cost(costs.Min())} | {Cost(costs.Max())} | {note} |";
        }

        yield return "";
        if (Verdict(rows, ours) is { } verdict)
        {
            yield return verdict;
            yield return "";
        }
    }

    private static string? Verdict(IReadOnlyList<(string Name, double[] Costs, string Note)> rows, string ours)
    {
        double[]? own = rows.FirstOrDefault(row => row.Name == ours).Costs;
        if (own is null || rows.Count == 1)
        {
            return null;
        }

        double median = Median(own);
        string[] ahead = [.. rows.Where(row => row.Name != ours && row.Costs.Min() <= median).Select(row => row.Name)];
        return double.IsInfinity(median) ? $"{ours} has no result within the limit."
            : ahead.Length == 0 ? $"The median of {ours} is below the best of every other."
            : $"The median of {ours} is **not** below the best of: {string.Join(", ", ahead)}.";
    }

    /// <summary>The middle, or the mean of the two middle ones.</summary>
    public static double Median(IReadOnlyList<double> values)
    {
        double[] sorted = [.. values.Order()];
        return sorted.Length % 2 == 1 ? sorted[sorted.Length / 2] : (sorted[(sorted.Length / 2) - 1] + sorted[sorted.Length / 2]) / 2;
    }

    private static string Cost(double cost) => double.IsFinite(cost) ? cost.ToString("0.0000", CultureInfo.InvariantCulture) : "none";
}
