using XoverOpt.Search;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Running;

namespace XoverOpt.Worker.Text;

/// <summary>The report on a search: ranked table, the winning build in full, how the search went, cautions.</summary>
internal static class Report
{
    /// <summary>Width of a report that goes to a file or a pipe.</summary>
    public const int Width = 100;

    /// <summary>What the numbers are worth.</summary>
    public const string Model =
        "Figures come from a linear model; the ear it holds stands for real ears from 100 Hz to 10 kHz only. Measure what you build.";

    /// <summary>Its lines.</summary>
    public static IEnumerable<string> Lines(SearchResult result, Problem problem, int width)
    {
        yield return problem.Name;
        yield return "";
        if (RunVerdict.Complaint(result) is { } complaint)
        {
            yield return complaint;
            yield return "";
        }

        if (result.Builds.Count > 0)
        {
            foreach (string line in RankedTable.Lines(result.Builds, width).Append("").Concat(BuildText.Lines(result.Builds[0], problem)))
            {
                yield return line;
            }

            yield return "";
        }

        yield return $"{RunVerdict.Words(result.Reason)}: {Numbers.Count(result.Evaluations)} evaluations, "
            + $"{Numbers.Count(result.LayoutsTried)} of {Numbers.Count(result.LayoutsAllowed)} layouts tried, "
            + Numbers.Invariant($"seed {result.Seed}, version {BuildFile.ProgramVersion}.");
        foreach (Exclusion exclusion in result.Exclusions)
        {
            yield return $"  left out beforehand: {Numbers.Count(exclusion.Layouts)} layouts, {exclusion.Reason}";
        }

        yield return $"job {problem.JobHash}";
        yield return $"inventory {problem.InventoryHash}";
        yield return "";
        foreach (string line in Wrap(BuildFile.Caution, width).Concat(Wrap(Model, width)))
        {
            yield return line;
        }
    }

    private static IEnumerable<string> Wrap(string text, int width)
    {
        string line = "";
        foreach (string word in text.Split(' '))
        {
            if (line.Length > 0 && line.Length + 1 + word.Length > width)
            {
                yield return line;
                line = word;
            }
            else
            {
                line = line.Length == 0 ? word : $"{line} {word}";
            }
        }

        yield return line;
    }
}
