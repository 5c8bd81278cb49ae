using XoverOpt.Worker.Api;

namespace XoverOpt.Worker.Text;

/// <summary>Runs of a worker as lines of text.</summary>
internal static class RunText
{
    private const int LongestName = 30;

    /// <summary>A table of runs, one a line.</summary>
    public static IEnumerable<string> Table(IEnumerable<JobView> runs)
    {
        yield return $"{"id",-36}  {"state",-8} {"%",4} {"best cost",9}  {"handed in (UTC)",-16}  name";
        foreach (JobView run in runs)
        {
            string done = run.State == "done" ? "100" : run.Progress is { } progress ? Numbers.Fixed(100 * progress.Fraction, 0) : "–";
            string name = run.Name.Length > LongestName ? run.Name[..(LongestName - 1)] + "…" : run.Name;
            yield return $"{run.Id,-36}  {run.State,-8} {done,4} {Numbers.Fixed(run.Progress?.Best?.Cost, 3),9}  "
                + Numbers.Invariant($"{run.Created.UtcDateTime:yyyy-MM-dd HH:mm}  {name}");
        }
    }

    /// <summary>The best so far, with two spaces behind it; empty before the first.</summary>
    public static string Best(ProgressView progress) => progress.Best is { Cost: { } cost } best
        ? $"best {Numbers.Fixed(cost, 3)} ({Numbers.Fixed(best.MagnitudeRmsDb, 2)} dB, {Numbers.Fixed(best.PhaseMaxDeg, 1)}°)  "
        : "";
}
