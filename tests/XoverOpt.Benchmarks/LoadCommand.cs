using System.Diagnostics;
using System.Globalization;
using System.Net;
using System.Text;
using System.Text.Json.Nodes;

namespace XoverOpt.Benchmarks;

/// <summary>
/// A worker under load: a queue of runs, clients that read and hand in for some minutes, and a search that uses the cores meanwhile. Prints
/// errors, times by kind of request, the worker's memory and the time from handing in to the start of work.
/// <code>dotnet run -c Release --project tests/XoverOpt.Benchmarks -- load --minutes 5 --clients 100 --runs 1000</code>
/// </summary>
internal static class LoadCommand
{
    private const int Starts = 20;

    /// <summary>Runs it; 0 when every request was answered as it should be.</summary>
    public static int Run(string[] arguments)
    {
        var options = new ReachOptions(arguments, "--minutes", "--clients", "--runs", "--pause", "--worker", "--job", "--inventory");
        string dll = options.Text("--worker") ?? Path.Combine("src", "XoverOpt.Worker", "bin", "Release", "net10.0", "XoverOpt.Worker.dll");
        if (!File.Exists(dll))
        {
            throw new ArgumentException($"--worker {dll}: no such file; build the worker in Release first.");
        }

        DirectoryInfo folder = Directory.CreateTempSubdirectory("load");
        try
        {
            using var worker = new LoadWorker(dll, options.Text("--inventory") ?? "driverlib", folder.FullName);
            return Load(worker, options).GetAwaiter().GetResult();
        }
        finally
        {
            folder.Delete(recursive: true);
        }
    }

    private static async Task<int> Load(LoadWorker worker, ReachOptions options)
    {
        int clients = options.Whole("--clients", 100), runs = options.Whole("--runs", 1000);
        TimeSpan time = TimeSpan.FromMinutes(options.Number("--minutes", 5)), pause = TimeSpan.FromSeconds(options.Number("--pause", 1));
        string job = await File.ReadAllTextAsync(options.Text("--job") ?? Path.Combine("jobs", "quick.json"));
        string small = WithEffort(job, 2000), endless = WithEffort(job, 100_000_000_000);
        await worker.Ready();
        using HttpClient http = new(new SocketsHttpHandler { MaxConnectionsPerServer = clients }) { BaseAddress = worker.Address, Timeout = TimeSpan.FromMinutes(1) };
        LoadTimes times = new();

        List<double> waits = [];
        for (int k = 0; k < Starts; k++)
        {
            waits.Add(await StartAfter(http, small));
        }

        waits.Sort();
        Line($"handed in to start of work, {Starts} jobs one after another: median {waits[Starts / 2]:0} ms, most {waits[^1]:0} ms");

        await times.Of("hand in", () => Post(http, endless));
        double idle = worker.Megabytes;
        await Parallel.ForAsync(0, runs, new ParallelOptions { MaxDegreeOfParallelism = 16 }, async (_, _) => await times.Of("fill queue", () => Post(http, small)));
        string[] ids = [.. JsonNode.Parse(await http.GetStringAsync("/api/jobs?limit=200"))!["jobs"]!.AsArray().Select(one => (string)one!["id"]!)];

        double before = worker.Megabytes, most = before;
        Stopwatch clock = Stopwatch.StartNew();
        Task[] all = [.. Enumerable.Range(0, clients).Select(client => Task.Run(() => Client(client)))];
        Task done = Task.WhenAll(all);
        for (double next = time.TotalSeconds / 4; !done.IsCompleted; await Task.WhenAny(done, Task.Delay(1000)))
        {
            most = Math.Max(most, worker.Megabytes);
            if (clock.Elapsed.TotalSeconds >= next)
            {
                Line($"  after {clock.Elapsed.TotalSeconds,4:0} s: worker holds {worker.Megabytes:0} MB");
                next += time.TotalSeconds / 4;
            }
        }

        await done;
        Line($"{clients} clients, {time.TotalMinutes:0.#} minutes, a request after each pause of {pause.TotalSeconds:0.##} s, {runs} runs queued before, one endless search");
        bool good = times.Print();
        JsonNode ready = JsonNode.Parse(await http.GetStringAsync("/health/ready"))!;
        Line($"worker's memory: {idle:0} MB before the queue was filled, {before:0} MB at the start, {most:0} MB at most, {worker.Megabytes:0} MB at the end; runs {ready["runs"]!.ToJsonString()}");
        return good ? 0 : 2;

        async Task Client(int number)
        {
            var random = new Random(number);
            while (clock.Elapsed < time)
            {
                string id = ids[random.Next(ids.Length)];
                await (random.Next(10) switch
                {
                    0 => times.Of("hand in", () => Post(http, small)),
                    1 => times.Of("list", () => Get(http, "/api/jobs?limit=50")),
                    2 => times.Of("builds", () => Get(http, $"/api/jobs/{id}/builds")),
                    3 => times.Of("stock", () => Get(http, "/api/receivers")),
                    4 => times.Of("ready", () => Get(http, "/health/ready")),
                    _ => times.Of("one job", () => Get(http, $"/api/jobs/{id}")),
                });
                await Task.Delay(pause * (0.5 + random.NextDouble()));
            }
        }
    }

    private static async Task<double> StartAfter(HttpClient http, string job)
    {
        using HttpResponseMessage response = await http.PostAsync("/api/jobs", Json(job));
        string id = (string)JsonNode.Parse(await response.Content.ReadAsStringAsync())!["id"]!;
        while (true)
        {
            JsonNode run = JsonNode.Parse(await http.GetStringAsync("/api/jobs/" + id))!;
            if (run["ended"] is not null)
            {
                return ((DateTimeOffset)run["started"]! - (DateTimeOffset)run["created"]!).TotalMilliseconds;
            }

            await Task.Delay(20);
        }
    }

    private static async Task<bool> Get(HttpClient http, string path)
    {
        using HttpResponseMessage response = await http.GetAsync(path);
        await response.Content.ReadAsByteArrayAsync();
        return response.IsSuccessStatusCode;
    }

    private static async Task<bool> Post(HttpClient http, string job)
    {
        using HttpResponseMessage response = await http.PostAsync("/api/jobs", Json(job));
        return response.StatusCode == HttpStatusCode.Accepted;
    }

    private static StringContent Json(string text) => new(text, Encoding.UTF8, "application/json");

    private static string WithEffort(string job, long evaluations)
    {
        JsonObject whole = JsonNode.Parse(job, documentOptions: new() { CommentHandling = System.Text.Json.JsonCommentHandling.Skip, AllowTrailingCommas = true })!.AsObject();
        whole["effort"] = new JsonObject { ["evaluations"] = evaluations, ["seed"] = 7, ["keep"] = 5 };
        return whole.ToJsonString();
    }

    private static void Line(FormattableString text) => Console.WriteLine(text.ToString(CultureInfo.InvariantCulture));
}
