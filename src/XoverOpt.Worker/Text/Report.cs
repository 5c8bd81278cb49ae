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
            IEnumerable<string> lines = [
                .. RankedTable.Lines(result.Builds, width), "", .. FrontText.Lines(result.Builds).Append("").SelectMany(line => Wrap(line, width)), .. BuildText.Lines(result.Builds[0], problem), ""];
            foreach (string line in lines)
            {
                yield return line;
            }
        }

        // The first line stays whole, however long the version: it is what a search is found again by.
        foreach (string line in SearchText.Lines(result).SelectMany((line, at) => at == 0 ? [line] : Wrap(line, width)))
        {
            yield return line;
        }

        yield return $"job {problem.JobHash}";
        yield return $"inventory {problem.InventoryHash}";
        yield return "";
        foreach (string line in Wrap(BuildFile.Caution, width).Concat(Wrap(Model, width)))
        {
            yield return line;
        }
    }

    /// <summary>Breaks a line between words; what it is indented by, the lines that follow are indented by too.</summary>
    internal static IEnumerable<string> Wrap(string text, int width)
    {
        string indent = text[..(text.Length - text.TrimStart().Length)], line = "";
        width -= indent.Length;
        foreach (string word in Units(text.Trim().Split(' ')))
        {
            if (line.Length > 0 && line.Length + 1 + word.Length > width)
            {
                yield return indent + line;
                line = word;
            }
            else
            {
                line = line.Length == 0 ? word : $"{line} {word}";
            }
        }

        yield return indent + line;
    }

    /// <summary>Words, a number and what follows it in one: a line does not begin with a unit.</summary>
    private static IEnumerable<string> Units(string[] words)
    {
        for (int i = 0; i < words.Length; i++)
        {
            yield return words[i].Length > 0 && char.IsAsciiDigit(words[i][^1]) && i + 1 < words.Length ? $"{words[i]} {words[++i]}" : words[i];
        }
    }
}
