using System.Globalization;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Running;

/// <summary>What a result is worth, in words: whether there is something to build, and if not, which limit blocks it.</summary>
public static class RunVerdict
{
    /// <summary>What is wrong with a result; null if its best build keeps every limit.</summary>
    public static string? Complaint(SearchResult result) => result.Builds switch
    {
        [] when result.LayoutsTried == 0 && result.LayoutsAllowed > 0 && result.Reason is StopReason.Stopped or StopReason.TimeUsed => "it ended before anything was tried",
        [] when result.LayoutsTried == 0 && result.Exclusions.Count > 0 =>
            "no layout fits: " + string.Join("; ", result.Exclusions.Select(exclusion =>
                string.Create(CultureInfo.InvariantCulture, $"{exclusion.Reason} ({exclusion.Layouts:0} layouts)"))),
        [] => string.Create(CultureInfo.InvariantCulture, $"no build was found in {result.Evaluations} evaluations"),
        [{ Feasible: false } best, ..] => "no build found keeps every limit; the nearest breaks: " + string.Join("; ", best.BrokenLimits),
        _ => null,
    };

    /// <summary>Why a search ended, in words.</summary>
    public static string Words(StopReason reason) => reason switch
    {
        StopReason.Finished => "finished",
        StopReason.EvaluationsUsed => "evaluations used up",
        StopReason.TimeUsed => "minutes used up",
        _ => "stopped",
    };
}
