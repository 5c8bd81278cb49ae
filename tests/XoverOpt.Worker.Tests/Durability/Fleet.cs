using System.Text.Json.Nodes;
using System.Text.RegularExpressions;
using XoverOpt.Worker.Tests.Support;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Tests.Durability;

/// <summary>Worker processes on one store, and the store itself to look at the truth.</summary>
internal sealed partial class Fleet : IDisposable
{
    private readonly Desk _desk;
    private readonly string _store;
    private readonly double _lease;
    private readonly Cli?[] _workers;
    private readonly WorkerClient?[] _clients;
    private readonly List<string> _runs = [];
    private readonly List<(string RunId, long Epoch, DateTimeOffset At)> _lost = [];
    private WorkshopStore? _truth;

    /// <summary>No process runs yet.</summary>
    public Fleet(Desk desk, string store, int processes, double leaseSeconds)
    {
        _desk = desk;
        _store = store;
        _lease = leaseSeconds;
        _workers = new Cli?[processes];
        _clients = new WorkerClient?[processes];
    }

    /// <summary>The store, seen from beside the workers.</summary>
    public WorkshopStore Truth => _truth ??= WorkshopStore.OpenBeside(_store, TimeProvider.System);

    public IReadOnlyList<string> Runs => _runs;

    public int Processes => _workers.Length;

    /// <summary>Evaluations of each run.</summary>
    public long Evaluations { get; init; } = 40_000;

    /// <summary>Starts a process and waits until it listens.</summary>
    public async Task Start(int index)
    {
        Cli worker = Cli.Start(
            _desk.Root, "serve", "--urls", "http://127.0.0.1:0", "--store", _store, "--inventory", "driverlib", "--checkpoint", "0.05",
            "--lease", _lease.ToString(System.Globalization.CultureInfo.InvariantCulture));
        _workers[index] = worker;
        string address = await Until.Some(
            () => Task.FromResult(Listening().Match(worker.Error) is { Success: true } match ? match.Groups[1].Value : null),
            () => $"the worker does not listen: {worker.Output}{worker.Error}");
        _clients[index] = new WorkerClient(address);
    }

    public Task StartAll() => Task.WhenAll(Enumerable.Range(0, Processes).Select(Start));

    /// <summary>Hands in a run at a process.</summary>
    public async Task<string> Submit(int index = 0)
    {
        string id = await _clients[index]!.Submit(Desk.Job(Evaluations));
        _runs.Add(id);
        return id;
    }

    /// <summary>What a process measures, by name; 0 for what it has not measured yet.</summary>
    public async Task<double> Measured(int index, string name)
    {
        string metrics = await _clients[index]!.Http.GetStringAsync("/metrics", TestContext.Current.CancellationToken);
        return metrics.Split('\n').Where(line => line.StartsWith(name, StringComparison.Ordinal))
            .Sum(line => double.Parse(line.Split(' ')[1], System.Globalization.CultureInfo.InvariantCulture));
    }

    /// <summary>Counts a run that came another way.</summary>
    public void Accepted(string runId) => _runs.Add(runId);

    /// <summary>SIGKILL.</summary>
    public async Task Kill(int index)
    {
        Lose(index);
        await _workers[index]!.Kill();
        Forget(index);
    }

    /// <summary>SIGTERM.</summary>
    /// <returns>The exit code.</returns>
    public async Task<int> Terminate(int index)
    {
        _workers[index]!.Signal("TERM");
        int exit = await _workers[index]!.Exit();
        Forget(index);
        return exit;
    }

    /// <summary>SIGSTOP: it stands still and knows nothing of it.</summary>
    public void Freeze(int index)
    {
        Lose(index);
        _workers[index]!.Signal("STOP");
    }

    /// <summary>SIGCONT.</summary>
    public void Thaw(int index) => _workers[index]!.Signal("CONT");

    /// <summary>The process that holds a run; null while none does.</summary>
    public int? Holder(string runId) =>
        Truth.Runs.Find(runId)?.Owner is { } owner && Array.FindIndex(_workers, worker => worker is not null && owner.EndsWith($"/{worker.Id}", StringComparison.Ordinal)) is >= 0 and var index
            ? index
            : null;

    public bool IsOpen(string runId) => Truth.Runs.Find(runId)!.Open;

    /// <summary>Waits until a run has got on by a checkpoint.</summary>
    public Task GotOn(string runId, long than) => Until.True(
        () => Truth.Runs.Find(runId) is { } run && (run.Step > than || !run.Open), () => $"stays at {Truth.Runs.Find(runId)}");

    /// <summary>Waits for the end of every run and compares it with the undisturbed one.</summary>
    public async Task<DurabilityRow> End(string what, int times, IReadOnlyList<string> undisturbed)
    {
        await Until.True(
            () => Tried(() => _runs.All(run => !IsOpen(run))),
            () => "runs stay open: " + string.Join(", ", _runs.Select(run => Truth.Runs.Find(run)?.ToString())));
        int finished = _runs.Count(run => Truth.Runs.Find(run)!.State == RunState.Done);
        int equal = _runs.Count(run => Truth.Runs.Builds(run).Select(build => build.Json).SequenceEqual(undisturbed));
        int kept = Truth.Runs.List(null, null, 10_000).Count;
        List<TimeSpan> waits = [];
        foreach ((string runId, long epoch, DateTimeOffset at) in _lost)
        {
            // The claim after the lost one; none if the run ended under it after all.
            if (States(runId).Where(state => (string?)state.Data["state"] == "running").Skip((int)epoch).FirstOrDefault() is { Data: not null } next)
            {
                waits.Add(next.Time - at);
            }
        }

        Assert.Equal(_runs.Count, kept);
        return new DurabilityRow(what, times, _runs.Count, finished, equal, _runs.Count(Doubled), _runs.Count(run => Ends(run) == 0), waits.Count == 0 ? null : waits.Max());
    }

    /// <summary>Whether a look at the store succeeds and says yes.</summary>
    public static bool Tried(Func<bool> look)
    {
        try
        {
            return look();
        }
        catch (System.Data.Common.DbException)
        {
            return false;
        }
    }

    public void Dispose()
    {
        for (int i = 0; i < Processes; i++)
        {
            Forget(i);
        }

        _truth?.Dispose();
    }

    private void Lose(int index)
    {
        DateTimeOffset now = DateTimeOffset.UtcNow;
        foreach (string run in _runs.Where(run => Holder(run) == index))
        {
            _lost.Add((run, Truth.Runs.Find(run)!.Epoch, now));
        }
    }

    private int Ends(string runId) => States(runId).Count(state => (string?)state.Data["state"] is "done" or "stopped" or "failed");

    private bool Doubled(string runId)
    {
        long[] checkpoints = [.. Truth.Events.Events(runId, 0, 100_000).Where(one => one.Kind == EventKind.Best).Select(one => (long)JsonNode.Parse(one.Data)!["checkpoint"]!)];
        return Ends(runId) > 1 || !checkpoints.SequenceEqual(checkpoints.Distinct().Order());
    }

    private IEnumerable<(DateTimeOffset Time, JsonNode Data)> States(string runId) =>
        Truth.Events.Events(runId, 0, 100_000).Where(one => one.Kind == EventKind.State).Select(one => (one.Time, JsonNode.Parse(one.Data)!));

    private void Forget(int index)
    {
        _workers[index]?.Dispose();
        _clients[index]?.Dispose();
        _workers[index] = null;
        _clients[index] = null;
    }

    [GeneratedRegex("Listening at (http://127\\.0\\.0\\.1:[0-9]+)")]
    private static partial Regex Listening();
}
