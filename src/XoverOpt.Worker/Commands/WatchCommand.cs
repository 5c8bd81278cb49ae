using System.CommandLine;
using System.Runtime.InteropServices;
using System.Text.Json;
using System.Text.Json.Nodes;
using Spectre.Console;
using XoverOpt.Worker.Api;
using XoverOpt.Worker.Text;

namespace XoverOpt.Worker.Commands;

/// <summary><c>watch ID</c>: shows how a run goes until it has ended.</summary>
internal static class WatchCommand
{
    private const string About = "Shows how a run goes until it has ended.";

    private const string Guide =
        """
        A bar on a terminal, a line every few seconds elsewhere, both on standard error; how it ended on standard output.
        A worker that goes down meanwhile is waited for, five minutes at most. Ctrl-C leaves the run going.

        Examples:
          xoveropt watch 019a7c52-5a0e-7c61-9c35-0d3f6a1f2b11

        Exit codes: 0 done; 1 no such run; 2 the run failed, or no worker answers; 130 the run was stopped, or Ctrl-C.
        """;

    private static readonly TimeSpan LookEvery = TimeSpan.FromSeconds(1);
    private static readonly TimeSpan LineEvery = TimeSpan.FromSeconds(5);
    private static readonly TimeSpan Patience = TimeSpan.FromMinutes(5);

    /// <summary>The command.</summary>
    public static Command Create()
    {
        Argument<string> id = new("ID") { Description = "The id of the run." };
        return WorkerLink.Command(new GuidedCommand("watch", About, Guide) { id }, (parsed, link, end) => Follow(parsed.GetRequiredValue(id), link, end));
    }

    /// <summary>Watches a run to its end.</summary>
    /// <returns>The exit code.</returns>
    public static async Task<int> Follow(string id, WorkerLink link, CancellationToken end)
    {
        using CancellationTokenSource interrupted = CancellationTokenSource.CreateLinkedTokenSource(end);
        void OnSignal(PosixSignalContext signal)
        {
            signal.Cancel = true;
            interrupted.Cancel();
        }

        using var interrupt = PosixSignalRegistration.Create(PosixSignal.SIGINT, OnSignal);
        using var terminate = PosixSignalRegistration.Create(PosixSignal.SIGTERM, OnSignal);
        try
        {
            JsonObject run = Console.IsErrorRedirected
                ? await Lines(id, link, interrupted.Token).ConfigureAwait(false)
                : await Bar(id, link, interrupted.Token).ConfigureAwait(false);
            return Told(id, run);
        }
        catch (OperationCanceledException)
        {
            Console.Error.WriteLine($"The run goes on. To end it: xoveropt stop {id}");
            return ExitCode.Stopped;
        }
    }

    private static async Task<JsonObject> Lines(string id, WorkerLink link, CancellationToken end)
    {
        string? last = null;
        DateTime due = default;
        return await UntilEnded(id, link, (run, progress) =>
        {
            string state = (string)run["state"]!;
            if (state != last || DateTime.UtcNow >= due)
            {
                (last, due) = (state, DateTime.UtcNow + LineEvery);
                Console.Error.WriteLine($"{Numbers.Fixed(100 * (progress?.Fraction ?? 0), 0),3} %  {Words(run, progress)}");
            }
        }, end).ConfigureAwait(false);
    }

    private static async Task<JsonObject> Bar(string id, WorkerLink link, CancellationToken end)
    {
        IAnsiConsole console = AnsiConsole.Create(new AnsiConsoleSettings { Out = new AnsiConsoleOutput(Console.Error) });
        return await console.Progress()
            .AutoClear(true)
            .Columns(new ProgressBarColumn { Width = 24 }, new PercentageColumn(), new TaskDescriptionColumn { Alignment = Justify.Left })
            .StartAsync(context =>
            {
                ProgressTask task = context.AddTask("asking");
                return UntilEnded(id, link, (run, progress) =>
                {
                    task.Value = 100 * (progress?.Fraction ?? 0);
                    task.Description = Markup.Escape(Words(run, progress));
                }, end);
            }).ConfigureAwait(false);
    }

    private static async Task<JsonObject> UntilEnded(string id, WorkerLink link, Action<JsonObject, ProgressView?> show, CancellationToken end)
    {
        DateTime? silentSince = null;
        while (true)
        {
            try
            {
                JsonObject run = await link.Ask(HttpMethod.Get, "/api/jobs/" + Uri.EscapeDataString(id), end).ConfigureAwait(false);
                silentSince = null;
                show(run, run["progress"].Deserialize<ProgressView>(ApiJson.Options));
                if ((string?)run["state"] is "done" or "stopped" or "failed")
                {
                    return run;
                }
            }
            catch (WorkerAnswerException answer) when (answer.Passing && DateTime.UtcNow - (silentSince ??= DateTime.UtcNow) < Patience)
            {
                // Perhaps it is only being started again.
            }

            await Task.Delay(LookEvery, end).ConfigureAwait(false);
        }
    }

    private static string Words(JsonObject run, ProgressView? progress)
    {
        string state = (string)run["state"]!;
        return progress is null || state == "waiting" ? state : $"{(state == "running" ? progress.Phase : state)}  {RunText.Best(progress)}"
            + $"{Numbers.Count(progress.EvaluationsPerSecond)} evaluations/s  {Numbers.Duration(Left(progress))} left";
    }

    private static TimeSpan? Left(ProgressView progress) => progress.LeftSeconds is { } seconds ? TimeSpan.FromSeconds(seconds) : null;

    private static int Told(string id, JsonObject run)
    {
        string state = (string)run["state"]!;
        string? reason = (string?)run["reason"], failure = (string?)run["failure"];
        Console.WriteLine($"{state}{(reason is null || reason == state ? "" : $" ({reason})")}{(failure is null ? "" : ": " + failure)}");
        if (run["progress"].Deserialize<ProgressView>(ApiJson.Options)?.Best is not null)
        {
            Console.WriteLine($"To have the builds: xoveropt export {id}");
        }

        return state switch { "done" => ExitCode.Done, "stopped" => ExitCode.Stopped, _ => ExitCode.CouldNotBeDone };
    }
}
