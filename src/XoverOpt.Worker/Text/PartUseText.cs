using XoverOpt.Worker.Api;

namespace XoverOpt.Worker.Text;

/// <summary>Where a part is used, as lines of text.</summary>
internal static class PartUseText
{
    private const int LongestName = 26;

    /// <summary>The builds that use it, then what jobs lose without it.</summary>
    public static IEnumerable<string> Lines(PartUsesPage uses, PartWithoutPage without)
    {
        if (uses.Builds == 0)
        {
            yield return $"{uses.Part}: no stored build uses it.";
            yield break;
        }

        yield return Numbers.Invariant($"{uses.Part} ({uses.Kind}): {Many(uses.Builds, "build uses it", "builds use it")}, of {Many(uses.Runs, "run", "runs")}");
        yield return "";
        yield return $"  {"run ended (UTC)",-16}  {"job",-LongestName}  {"rank",4} {"cost",8}  {"an earpiece",-16}  run";
        foreach (PartUseView use in uses.Uses)
        {
            yield return Numbers.Invariant($"  {(use.Ended is { } at ? Time(at) : use.State),-16}  {Name(use.Job),-LongestName}  {use.Rank,4} {Numbers.Fixed(use.Cost, 3),8}  {Amount(use),-16}  {use.JobId}");
        }

        if (uses.Uses.Count < uses.Builds)
        {
            yield return Numbers.Invariant($"  …  ({uses.Builds} in all; --most shows more)");
        }

        yield return "";
        if (without.Jobs.Count == 0)
        {
            yield return "No run that has ended needs it.";
            yield break;
        }

        yield return "Without it, by job (the same question, whatever drawer it was asked of):";
        yield return "";
        yield return $"  {"",-LongestName}  {"latest run",-40}{"all its runs",-22}";
        yield return $"  {"job",-LongestName}  {"builds lost",-12} {"best that is left",-26} {"builds lost",-21} latest run";
        foreach (PartLossView loss in without.Jobs)
        {
            string all = Numbers.Invariant($"{loss.AllLost} of {loss.AllBuilds} in {loss.AllRuns}");
            yield return Numbers.Invariant($"  {Name(loss.Job),-LongestName}  {$"{loss.Lost} of {loss.Builds}",-12} {Left(loss),-26} {all,-21} {loss.JobId}");
        }

        if (without.Next is not null)
        {
            yield return "  …  (--most shows more)";
        }
    }

    private static string Left(PartLossView loss) =>
        loss.NextRank is not { } rank ? "none"
        : rank == 1 ? Numbers.Invariant($"rank 1, {Numbers.Fixed(loss.NextCost, 3)}")
        : Numbers.Invariant($"rank {rank}, {Numbers.Fixed(loss.NextCost, 3)} (was {Numbers.Fixed(loss.BestCost, 3)})");

    private static string Amount(PartUseView use) => use.LengthMm is { } mm
        ? Numbers.Invariant($"{Many(use.Pieces, "cut", "cuts")}, {Numbers.Part(mm)} mm")
        : Numbers.Invariant($"{use.Pieces}");

    private static string Many(int count, string one, string many) => Numbers.Invariant($"{count} {(count == 1 ? one : many)}");

    private static string Time(DateTimeOffset at) => Numbers.Invariant($"{at.UtcDateTime:yyyy-MM-dd HH:mm}");

    private static string Name(string name) => name.Length > LongestName ? name[..(LongestName - 1)] + "…" : name;
}
