using System.Globalization;
using System.Text;
using XoverOpt.Search;
using XoverOpt.Workshop;

namespace XoverOpt.Benchmarks;

/// <summary>
/// How near to the best cost known a search of a stated time comes, over several seeds; and the long run that finds that best cost.
/// <code>
/// dotnet run -c Release --project tests/XoverOpt.Benchmarks -- reach jobs/quick.json --long 3600 --out out/quick-best.json
/// dotnet run -c Release --project tests/XoverOpt.Benchmarks -- reach jobs/quick.json --seconds 30 --reference out/quick-best.json --seeds 10
/// </code>
/// A long run that finds its file there goes on from it: give it another seed then.
/// </summary>
internal static class ReachCommand
{
    private const double LongFirst = 1 / 200.0;
    private const double LongGrowth = 1.5;

    /// <summary>Runs it; 2 when a seed stays more than 1 % above the reference.</summary>
    public static int Run(string[] arguments)
    {
        var options = new ReachOptions(arguments, "--seconds", "--reference", "--seeds", "--seed", "--threads", "--long", "--out");
        JobDocument job = ReachOptions.Job(options.Words.Count == 1 ? options.Words[0] : throw new ArgumentException("reach: expected one job file."));
        Problem problem = job.Problem;
        int threads = options.Whole("--threads", 2);
        var seed = (ulong)options.Whole("--seed", 1);
        if (options.Text("--long") is not null)
        {
            string path = options.Text("--out") ?? throw new ArgumentException("--long needs --out FILE for the best build.");
            return Long(job, path, TimeSpan.FromSeconds(options.Number("--long", 0)), seed, threads);
        }

        double? reference = options.Text("--reference") is not { } text ? null
            : double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out double cost) ? cost
            : Known(job, text).Cost.Total;
        return Seeds(problem, TimeSpan.FromSeconds(options.Number("--seconds", 30)), reference, options.Whole("--seeds", 5), seed, threads);
    }

    private static int Seeds(Problem problem, TimeSpan time, double? reference, int seeds, ulong seed, int threads)
    {
        double rate = ReachSearch.Rate(problem, threads);
        Line($"{problem.Name}: {time.TotalSeconds:0.#} s a seed, {threads} threads, about {rate:0} evaluations/s, reference {reference?.ToString("0.00000", CultureInfo.InvariantCulture) ?? "none"}");
        Line($"{"seed",4}  {"cost",10}  {"above",8}  {"after s",7}  {"used s",6}  {"evaluations",11}  {"searches",8}  build");
        var above = new List<double>();
        for (int i = 0; i < seeds; i++)
        {
            // The seeds of one run must not be those of the next: a search that ends early is followed by further seeds.
            ulong start = (seed + (ulong)i) * 1000;
            var search = new ReachSearch(problem, threads, rate);
            search.Run(time, start, 1, 1);
            rate = search.MeasuredRate;
            double? cost = search.Best is { Feasible: true } best ? best.Cost.Total : null;
            double? percent = 100 * ((cost / reference) - 1);
            above.Add(percent ?? double.PositiveInfinity);
            Console.WriteLine(string.Create(
                CultureInfo.InvariantCulture,
                $"{seed + (ulong)i,4}  {cost?.ToString("0.00000", CultureInfo.InvariantCulture) ?? "none",10}  {percent?.ToString("0.00", CultureInfo.InvariantCulture) ?? "-",6} %  {search.BestAfter.TotalSeconds,7:0.0}  "
                + $"{search.Used.TotalSeconds,6:0.0}  {search.Evaluations,11}  {search.Searches,8}  {search.Best?.Key}"));
        }

        if (reference is null)
        {
            return 0;
        }

        double[] sorted = [.. above.Order()];
        double median = (sorted[(sorted.Length - 1) / 2] + sorted[sorted.Length / 2]) / 2;
        Line($"within 1 %: {above.Count(percent => percent <= 1)} of {above.Count}; median {median:0.00} % above, worst {sorted[^1]:0.00} %");
        return sorted[^1] <= 1 ? 0 : 2;
    }

    private static int Long(JobDocument job, string path, TimeSpan time, ulong seed, int threads)
    {
        Problem problem = job.Problem;
        var evaluation = new BuildEvaluation(problem);
        ReachSearch? search = null;
        search = new ReachSearch(problem, threads, ReachSearch.Rate(problem, threads))
        {
            OnBetter = () =>
            {
                RankedBuild best = search!.Best! with { Rank = 1 };
                Put(path, BuildFile.Write(best, problem, evaluation.Response(best.Earpiece)));
                Stamp(search, $"better: cost {best.Cost.Total:0.00000}{(best.Feasible ? "" : " (infeasible)")}  {best.Key}");
            },
            OnEnded = result => Stamp(
                search!, $"search {search!.Searches}, seed {result.Seed}: {result.Evaluations} evaluations, {result.LayoutsTried} layouts, cost {(result.Builds.Count > 0 ? result.Builds[0].Cost.Total : double.NaN):0.00000}"),
        };
        if (File.Exists(path))
        {
            search.Offer(Known(job, path));
        }

        search.Run(time, seed * 1000, LongFirst, LongGrowth);
        Stamp(search, $"end: cost {search.Best?.Cost.Total ?? double.NaN:0.00000} after {search.BestAfter.TotalSeconds:0} s, {search.Evaluations} evaluations in {search.Searches} searches");
        return search.Best is { Feasible: true } ? 0 : 2;
    }

    /// <summary>A build from a file, judged anew by the job.</summary>
    private static RankedBuild Known(JobDocument job, string path)
    {
        Reading<BuildDocument> reading = BuildFile.Read(File.ReadAllBytes(path), path, job.Inventory);
        return reading.IsGood
            ? new BuildEvaluation(job.Problem).Judge(reading.Value!.Earpiece)
            : throw new ArgumentException(string.Join('\n', reading.Faults.Select(fault => fault.Message)));
    }

    /// <summary>Whoever breaks the run off finds the old file or the new one, never half of one.</summary>
    private static void Put(string path, string text)
    {
        Directory.CreateDirectory(Path.GetDirectoryName(Path.GetFullPath(path))!);
        File.WriteAllText(path + ".new", text, new UTF8Encoding(false));
        File.Move(path + ".new", path, overwrite: true);
    }

    private static void Stamp(ReachSearch search, FormattableString text) =>
        Line($"{DateTime.UtcNow:yyyy-MM-dd HH:mm:ss}Z  {search.Used.TotalSeconds,7:0.0} s  {text.ToString(CultureInfo.InvariantCulture)}");

    private static void Line(FormattableString text) => Console.WriteLine(text.ToString(CultureInfo.InvariantCulture));
}
