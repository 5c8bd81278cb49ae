using System.Diagnostics;
using System.Globalization;
using System.Text;
using Dapper;
using Microsoft.Data.Sqlite;
using XoverOpt.Search;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Purchasing;
using XoverOpt.Workshop.Store;
using XoverOpt.Workshop.Store.Sql;

namespace XoverOpt.Benchmarks;

/// <summary>
/// Where parts are used, asked of a SQLite store with a million part-use rows: plans of the queries, and times of random calls once warm.
/// <code>dotnet run -c Release --project tests/XoverOpt.Benchmarks -- part-uses --rows 1000000 --job jobs/stage.json</code>
/// </summary>
internal static class PartUsesCommand
{
    private const int Page = 50;

    /// <summary>Runs it.</summary>
    public static int Run(string[] arguments)
    {
        var options = new ReachOptions(arguments, "--rows", "--job", "--calls", "--folder");
        JobDocument job = ReachOptions.Job(options.Text("--job") ?? Path.Combine("jobs", "stage.json"));
        string? kept = options.Text("--folder");
        string folder = kept ?? Directory.CreateTempSubdirectory("part-uses").FullName;
        try
        {
            using var store = WorkshopStore.Open(folder, TimeProvider.System);
            Measure(store, job, folder, options.Whole("--rows", 1_000_000), options.Whole("--calls", 1000));
            return 0;
        }
        finally
        {
            if (kept is null)
            {
                SqliteConnection.ClearAllPools();
                Directory.Delete(folder, recursive: true);
            }
        }
    }

    private static void Measure(WorkshopStore store, JobDocument job, string folder, int rows, int calls)
    {
        string file = Path.Combine(folder, "xoveropt.db");
        using SqliteConnection connection = new($"Data Source={file};Pooling=false;Mode=ReadOnly");
        connection.Open();

        // A folder that is kept is filled up: a filling that was broken off goes on.
        long there = connection.ExecuteScalar<long>("select count(*) from part_uses"), began = Stopwatch.GetTimestamp();
        long filled = new PartUsesStore(job, store, (ulong)there).Fill(rows - there);
        Say($"filled with {filled} part uses in {Stopwatch.GetElapsedTime(began).TotalSeconds:0} s");
        List<string> runs = [.. store.Runs.List(null, null, int.MaxValue).Select(run => run.Id)];
        string[] parts = [.. store.PartUses.Parts()];
        Say($"{connection.ExecuteScalar<long>("select count(*) from part_uses")} part uses, {parts.Length} parts, {connection.ExecuteScalar<long>("select count(*) from builds")} builds, {runs.Count} runs, {new FileInfo(file).Length / 1e6:0} MB");
        Say($"{"most used: " + string.Join(", ", parts.Select(part => (part, store.PartUses.Count(part)!.Builds)).OrderByDescending(use => use.Builds).Take(3).Select(use => $"{use.part} in {use.Builds}"))}");
        Plan(connection, "count", SqlPartUses.CountSql);
        Plan(connection, "uses", SqlPartUses.UsesSql);
        Plan(connection, "without", SqlPartUses.WithoutSql);
        Plan(connection, "names", SqlPartUses.PartsSql);
        Plan(connection, "one build", "select rank, cost, json from builds where run_id = @run and rank = @rank");

        var random = new Random64(2);
        string Part() => parts[random.Below(parts.Length)];
        BuildPlace Place() => new(runs[random.Below(runs.Count)], 1 + random.Below(20));
        Console.WriteLine($"{"question",-44}{"calls",7}{"median",9}{"95 %",9}{"99 %",9}{"most",9}  ms");
        Time("where used, first page with the counts", calls, Part, part => (store.PartUses.Count(part), store.PartUses.Uses(part, null, Page)));
        Time("where used, a page further down", calls, () => (Part: Part(), After: Place()), ask => store.PartUses.Uses(ask.Part, ask.After, Page));
        Time("what goes without it", calls, Part, part => store.PartUses.Without(part, null, Page));
        Time("names of all parts", calls, () => 0, _ => store.PartUses.Parts());
        Time("one build and its parts list for 25 sets", calls, Place, place => List(store, job, place));
    }

    private static PartsList List(WorkshopStore store, JobDocument job, BuildPlace place)
    {
        StoredBuild build = store.Runs.Build(place.RunId, place.Rank)!;
        BuildDocument read = BuildFile.Read(Encoding.UTF8.GetBytes(build.Json), "build", job.Inventory).Value!;
        return PartsList.Of(read.Earpiece, job.Inventory, new Dictionary<string, decimal>(), new PartsOrder(25, 2, 1, new DateOnly(2026, 1, 1), null));
    }

    private static void Plan(SqliteConnection connection, string name, string sql)
    {
        Console.WriteLine($"plan of {name}:");
        foreach (dynamic step in connection.Query("explain query plan " + sql, new { part = "", run = "", rank = 0, take = Page, after = (string?)null }))
        {
            Console.WriteLine("  " + step.detail);
        }
    }

    private static void Time<TAsked, TAnswer>(string name, int calls, Func<TAsked> ask, Func<TAsked, TAnswer> answer)
    {
        // A tenth before the clock starts: the pages and the code are warm.
        TAsked[] asked = [.. Enumerable.Range(0, calls + (calls / 10)).Select(_ => ask())];
        double[] times = [.. asked.Select(one =>
        {
            long start = Stopwatch.GetTimestamp();
            answer(one);
            return Stopwatch.GetElapsedTime(start).TotalMilliseconds;
        }).Skip(calls / 10).Order()];
        double At(double share) => times[(int)Math.Ceiling(share * times.Length) - 1];
        Say($"{name,-44}{times.Length,7}{At(0.5),9:0.00}{At(0.95),9:0.00}{At(0.99),9:0.00}{times[^1],9:0.00}");
    }

    private static void Say(FormattableString line) => Console.WriteLine(line.ToString(CultureInfo.InvariantCulture));
}
