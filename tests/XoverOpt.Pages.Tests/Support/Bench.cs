using System.Text;
using System.Text.Json.Nodes;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Playwright;
using XoverOpt.Acoustics;
using XoverOpt.Search;
using XoverOpt.Worker.Tests.Support;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Store;

[assembly: AssemblyFixture(typeof(XoverOpt.Pages.Tests.Support.Bench))]

namespace XoverOpt.Pages.Tests.Support;

/// <summary>
/// One worker on a port of its own with runs that are done, and one browser, for all tests. The browser is Debian's Chromium
/// (apt-get install chromium); nothing is downloaded.
/// </summary>
public sealed class Bench : IAsyncLifetime
{
    /// <summary>A name that would do harm if it were taken for HTML.</summary>
    public const string HostileName = "<img src=x onerror=\"document.title='taken in'\"><b>bold</b> & co";

    private static readonly string[] Switches =
    [
        "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync",
    ];

    private readonly Desk _desk = new();
    private IPlaywright _playwright = null!;
    private IBrowser _browser = null!;

    internal WorkerHere Worker { get; private set; } = null!;

    /// <summary>A run that is done, with a name full of HTML.</summary>
    public string RunId { get; private set; } = "";

    /// <summary>Another that is done.</summary>
    public string OtherId { get; private set; } = "";

    public string Address => Worker.Client.Http.BaseAddress!.ToString().TrimEnd('/');

    public async ValueTask InitializeAsync()
    {
        Worker = await WorkerHere.Start(_desk, change: settings => settings with { RequestsPerSecond = 0 });
        RunId = await Worker.Client.Submit(Job(9000, HostileName));
        OtherId = await Worker.Client.Submit(Job(12000, "Other two-way"));
        await Worker.Client.JobEnded(RunId);
        await Worker.Client.JobEnded(OtherId);
        _playwright = await Playwright.CreateAsync();
        _browser = await _playwright.Chromium.LaunchAsync(new() { ExecutablePath = Environment.GetEnvironmentVariable("CHROMIUM") ?? "/usr/bin/chromium", Args = Switches });
    }

    public async ValueTask DisposeAsync()
    {
        await _browser.DisposeAsync();
        _playwright.Dispose();
        await Worker.DisposeAsync();
        _desk.Dispose();
    }

    /// <summary>A job of the desk with another name and effort.</summary>
    public static string Job(long evaluations, string name)
    {
        JsonNode job = JsonNode.Parse(Desk.Job(evaluations))!;
        job["name"] = name;
        return job.ToJsonString();
    }

    /// <summary>A build file of the run.</summary>
    public Task<string> Build(int rank) => Worker.Client.Http.GetStringAsync($"/api/jobs/{RunId}/builds/{rank}", TestContext.Current.CancellationToken);

    /// <summary>A build file of the run with what the build really does as its response.</summary>
    public string WithResponse(string build)
    {
        JobDocument job = JobFile.ReadPosted(Encoding.UTF8.GetBytes(Worker.Services.GetRequiredService<IRunStore>().Job(RunId)!), _desk.Inventory).Value!;
        Earpiece earpiece = BuildInJob.Read(Encoding.UTF8.GetBytes(build), "build", job).Value!.Build.Earpiece;
        BuildEvaluation evaluation = new(job.Problem);
        return BuildFile.Write(evaluation.Judge(earpiece), job.Problem, evaluation.Response(earpiece));
    }

    /// <summary>A window of its own, with its complaints kept.</summary>
    public async Task<Window> Open(int width = 1440, int height = 900, bool dark = false, bool script = true, string? address = null)
    {
        IBrowserContext context = await _browser.NewContextAsync(new()
        {
            BaseURL = address ?? Address,
            ViewportSize = new() { Width = width, Height = height },
            ColorScheme = dark ? ColorScheme.Dark : ColorScheme.Light,
            JavaScriptEnabled = script,
            ReducedMotion = ReducedMotion.Reduce,
        });
        return new Window(context, await context.NewPageAsync());
    }
}
