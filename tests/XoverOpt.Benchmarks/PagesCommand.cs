using System.Globalization;
using System.Text;
using System.Text.Json.Nodes;

namespace XoverOpt.Benchmarks;

/// <summary>
/// The server's time for each page with many stored runs while a search uses the cores: what a browser waits for before it can show the
/// content. Prints median and percentiles by page.
/// <code>dotnet run -c Release --project tests/XoverOpt.Benchmarks -- pages --runs 1000 --rounds 200</code>
/// </summary>
internal static class PagesCommand
{
    /// <summary>Runs it; 0 when every page was answered.</summary>
    public static int Run(string[] arguments)
    {
        var options = new ReachOptions(arguments, "--runs", "--rounds", "--worker", "--job", "--inventory");
        string dll = options.Text("--worker") ?? Path.Combine("src", "XoverOpt.Worker", "bin", "Release", "net10.0", "XoverOpt.Worker.dll");
        if (!File.Exists(dll))
        {
            throw new ArgumentException($"--worker {dll}: no such file; build the worker in Release first.");
        }

        DirectoryInfo folder = Directory.CreateTempSubdirectory("pages");
        try
        {
            using var worker = new LoadWorker(dll, options.Text("--inventory") ?? "driverlib", folder.FullName);
            return Measure(worker, options).GetAwaiter().GetResult();
        }
        finally
        {
            folder.Delete(recursive: true);
        }
    }

    private static async Task<int> Measure(LoadWorker worker, ReachOptions options)
    {
        int runs = options.Whole("--runs", 1000), rounds = options.Whole("--rounds", 200);
        string job = await File.ReadAllTextAsync(options.Text("--job") ?? Path.Combine("jobs", "budget.json"));
        await worker.Ready();
        using HttpClient http = new() { BaseAddress = worker.Address, Timeout = TimeSpan.FromMinutes(2) };
        string whole = await Submit(http, WithEffort(job, 60_000, 20));
        await Ended(http, whole);
        await Parallel.ForAsync(1, runs, new ParallelOptions { MaxDegreeOfParallelism = 16 }, async (_, _) => await Submit(http, WithEffort(job, 500, 5)));
        while ((int)JsonNode.Parse(await http.GetStringAsync("/api/worker"))!["runs"]!["waiting"]! > 0)
        {
            await Task.Delay(1000);
        }

        string endless = await Submit(http, WithEffort(job, 100_000_000_000, 20)), other = await Submit(http, WithEffort(job, 100_000_000_000, 20));
        await Task.Delay(3000);
        string part = (string)JsonNode.Parse(await http.GetStringAsync($"/api/jobs/{whole}/builds/1"))!["ways"]![0]!["receiver"]!;
        (string Name, string Path)[] pages =
        [
            ("runs", "/"), ("run", $"/runs/{whole}"), ("run at work", $"/runs/{endless}"), ("build", $"/runs/{whole}/builds/1"), ("compare", $"/compare?run={whole}&rank=1&rank=2"),
            ("new job", "/new"), ("drawer", "/drawer"), ("part", $"/drawer/{Uri.EscapeDataString(part)}"), ("parts", $"/parts?run={whole}&rank=1&sets=25"),
            ("inspect", $"/inspect?run={whole}&rank=1"), ("pairs", "/pairs"), ("sign in", "/sign-in"), ("curves", $"/api/jobs/{whole}/builds/1/curves"),
        ];
        foreach ((_, string path) in pages)
        {
            // The first answer of each page is made by code that has to be compiled yet.
            await http.GetStringAsync(path);
        }

        LoadTimes times = new();
        for (int round = 0; round < rounds; round++)
        {
            foreach ((string name, string path) in pages)
            {
                await times.Of(name, async () =>
                {
                    using HttpResponseMessage answer = await http.GetAsync(path);
                    await answer.Content.ReadAsByteArrayAsync();
                    return answer.IsSuccessStatusCode;
                });
            }
        }

        Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{runs} stored runs, two endless searches on {Environment.ProcessorCount} cores, {rounds} rounds, one request at a time"));
        bool good = times.Print();
        await http.PostAsync($"/api/jobs/{endless}/stop", null);
        await http.PostAsync($"/api/jobs/{other}/stop", null);
        return good ? 0 : 2;
    }

    private static async Task<string> Submit(HttpClient http, string job)
    {
        using HttpResponseMessage response = await http.PostAsync("/api/jobs", new StringContent(job, Encoding.UTF8, "application/json"));
        return (string)JsonNode.Parse(await response.Content.ReadAsStringAsync())!["id"]!;
    }

    private static async Task Ended(HttpClient http, string id)
    {
        while (JsonNode.Parse(await http.GetStringAsync("/api/jobs/" + id))!["ended"] is null)
        {
            await Task.Delay(100);
        }
    }

    private static string WithEffort(string job, long evaluations, int keep)
    {
        JsonObject whole = JsonNode.Parse(job)!.AsObject();
        whole["effort"] = new JsonObject { ["evaluations"] = evaluations, ["seed"] = 7, ["keep"] = keep };
        return whole.ToJsonString();
    }
}
