using System.Globalization;
using System.Text;
using System.Text.Json.Nodes;
using XoverOpt.Search;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Running;

namespace XoverOpt.Benchmarks;

/// <summary>
/// Is a rerun as good as a fresh search of three times the effort? For each seed: a job is searched; then the receiver most of its builds
/// use is out of stock, the price of another of its best build has risen by half, and three new receivers, made from ones of the drawer,
/// are in it; a fresh search with the whole effort, and one with a third of it that begins from the earlier builds.
/// <code>dotnet run -c Release --project tests/XoverOpt.Benchmarks -- rerun jobs/budget.json --seeds 10</code>
/// </summary>
internal static class RerunCommand
{
    /// <summary>Runs it; 2 where fewer than nine of ten reruns are as good.</summary>
    public static int Run(string[] arguments)
    {
        var options = new ReachOptions(arguments, "--seeds", "--seed", "--evaluations", "--share", "--threads");
        JobDocument job = ReachOptions.Job(options.Words.Count == 1 ? options.Words[0] : throw new ArgumentException("rerun: expected one job file."));
        int seeds = options.Whole("--seeds", 10), first = options.Whole("--seed", 1), threads = options.Whole("--threads", 2);
        long evaluations = (long)options.Number("--evaluations", job.Problem.Effort.Evaluations);
        double share = options.Number("--share", 1 / 3.0);
        Line($"{job.Problem.Name}: {evaluations} evaluations fresh, {share:0.###} of it warm, {threads} threads");
        Line($"{"seed",4}  {"before",8}  {"kept",8}  {"fresh",8}  {"used",9}  {"warm",8}  {"used",9}  {"of",5}  {"cold",8}  {"warm/fresh",10}  what changed");
        int good = 0;
        for (int i = 0; i < seeds; i++)
        {
            var seed = (ulong)(first + i);
            SearchResult before = Search(job.Problem, evaluations, seed + 1000, threads);
            (string changed, string words) = Change(job, before);
            Problem fresh = Read(changed), warm = Read(JobEdit.WithKnown(changed, "before", FoundBuilds.Write(before, job.Problem).Select(build => build.Json)));
            double kept = before.Builds.Select(build => Again(fresh, build)).Where(again => again is { Feasible: true }).Select(again => again!.Cost.Total).DefaultIfEmpty(double.NaN).Min();
            SearchResult whole = Search(fresh, evaluations, seed, threads), third = Search(warm, (long)(share * evaluations), seed, threads), cold = Search(fresh, (long)(share * evaluations), seed, threads);
            double costFresh = Cost(whole), costWarm = Cost(third);
            good += costWarm <= costFresh ? 1 : 0;
            Line($"{seed,4}  {Cost(before),8:0.0000}  {kept,8:0.0000}  {costFresh,8:0.0000}  {whole.Evaluations,9}  {costWarm,8:0.0000}  {third.Evaluations,9}  {(double)third.Evaluations / whole.Evaluations,5:0.00}  {Cost(cold),8:0.0000}  {costWarm / costFresh,10:0.0000}  {words}");
        }

        Line($"warm at no higher cost than fresh: {good} of {seeds}");
        return good >= 0.9 * seeds ? 0 : 2;
    }

    private static SearchResult Search(Problem problem, long evaluations, ulong seed, int threads) => new SearchRun(
        problem with { Effort = problem.Effort with { Evaluations = evaluations, Minutes = null, Seed = seed } }, new RunPace { Threads = threads }, TimeProvider.System).Run(CancellationToken.None);

    /// <summary>Builds that break a limit do not count.</summary>
    private static double Cost(SearchResult result) => result.Builds is [{ Feasible: true } best, ..] ? best.Cost.Total : double.PositiveInfinity;

    private static RankedBuild? Again(Problem problem, RankedBuild build)
    {
        HashSet<string> held = [.. problem.Ways.SelectMany(way => way.Receivers).Select(receiver => receiver.Receiver.PartNumber)];
        return build.Earpiece.Ways.All(way => held.Contains(way.Receiver.PartNumber)) ? new BuildEvaluation(problem).Judge(build.Earpiece) : null;
    }

    private static Problem Read(string job)
    {
        Reading<JobDocument> reading = JobFile.ReadPosted(Encoding.UTF8.GetBytes(job), "");
        return reading.IsGood ? reading.Value.Problem : throw new InvalidDataException(string.Join('\n', reading.Faults));
    }

    private static (string Job, string Words) Change(JobDocument job, SearchResult before)
    {
        JsonObject whole = JsonNode.Parse(job.SelfContainedJson)!.AsObject();
        JsonArray drawer = whole["inventory"]!.AsArray();
        JsonObject[] receivers = [.. drawer.Select(item => item!.AsObject()).Where(item => (string)item["format"]! == "receiver/1")];
        string gone = before.Builds.SelectMany(build => build.Earpiece.Ways.Select(way => way.Receiver.PartNumber)).CountBy(part => part)
            .OrderByDescending(part => part.Value).ThenBy(part => part.Key, StringComparer.Ordinal).First().Key;
        string dearer = before.Builds[0].Earpiece.Ways.Select(way => way.Receiver.PartNumber).First(part => part != gone);
        receivers.Single(item => (string)item["partNumber"]! == gone)["supply"]!["stock"] = 0;
        JsonNode supply = receivers.Single(item => (string)item["partNumber"]! == dearer)["supply"]!;
        supply["unitPrice"] = Math.Round((decimal)supply["unitPrice"]! * 1.5m, 2);
        int made = 0;
        // One low, one mid, one high: in stock, from the first of each that is, a little stronger, lighter or softer.
        foreach ((string tag, string group, string key, double factor) in new[]
        {
            ("low", "motor", "forceFactorNPerA", 1.12), ("mid", "mechanical", "massMg", 0.88), ("high", "mechanical", "complianceMmPerN", 1.15),
        })
        {
            JsonObject like = receivers.Where(item => item["tags"]!.AsArray().Any(word => (string)word! == tag) && (string)item["partNumber"]! != gone)
                .OrderByDescending(item => (double?)item["supply"]?["stock"] ?? 0).First();
            JsonObject item = (JsonObject)like.DeepClone();
            item["partNumber"] = FormattableString.Invariant($"NEW-{++made}");
            item["maker"] = "Newcomer (invented)";
            item[group]![key] = (double)item[group]![key]! * factor;
            drawer.Add(item);
        }

        return (whole.ToJsonString(), $"{gone} out, {dearer} dearer");
    }

    private static void Line(FormattableString text) => Console.WriteLine(text.ToString(CultureInfo.InvariantCulture));
}
