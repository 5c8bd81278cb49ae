using Spectre.Console;
using XoverOpt.Search;
using XoverOpt.Worker.Text;
using XoverOpt.Workshop.Running;

namespace XoverOpt.Worker.Commands;

/// <summary>Shows how a search goes, on standard error: a bar on a terminal, a line every few seconds elsewhere.</summary>
internal static class SolveProgress
{
    private static readonly TimeSpan LineEvery = TimeSpan.FromSeconds(5);

    /// <summary>Runs the work and shows what it reports.</summary>
    public static SearchResult Show(Func<Action<RunProgress>, SearchResult> work) => Console.IsErrorRedirected ? Lines(work) : Bar(work);

    private static SearchResult Lines(Func<Action<RunProgress>, SearchResult> work)
    {
        TimeSpan? last = null;
        return work(progress =>
        {
            if (last is null || progress.Used - last >= LineEvery)
            {
                last = progress.Used;
                Console.Error.WriteLine($"{Numbers.Fixed(Percent(progress.Search), 0),3} %  {progress.Search.Phase}  {Figures(progress)}");
            }
        });
    }

    private static SearchResult Bar(Func<Action<RunProgress>, SearchResult> work)
    {
        IAnsiConsole console = AnsiConsole.Create(new AnsiConsoleSettings { Out = new AnsiConsoleOutput(Console.Error) });
        return console.Progress()
            .AutoClear(true)
            .Columns(new ProgressBarColumn { Width = 24 }, new PercentageColumn(), new TaskDescriptionColumn { Alignment = Justify.Left })
            .Start(context =>
            {
                ProgressTask task = context.AddTask("starting");
                return work(progress =>
                {
                    task.Value = Percent(progress.Search);
                    task.Description = Markup.Escape($"{progress.Search.Phase}  {Figures(progress)}");
                });
            });
    }

    private static double Percent(SearchProgress progress) =>
        progress.EvaluationBudget > 0 ? Math.Min(100.0 * progress.Evaluations / progress.EvaluationBudget, 100) : 0;

    private static string Figures(RunProgress progress)
    {
        SearchProgress search = progress.Search;
        string best = search.BestCost is { } cost
            ? $"best {Numbers.Fixed(cost, 3)} ({Numbers.Fixed(search.BestMagnitudeRmsDb, 2)} dB, {Numbers.Fixed(search.BestPhaseMaxDeg, 1)}°)  "
            : "";
        return progress.EvaluationsPerSecond > 0
            ? $"{best}{Numbers.Count(progress.EvaluationsPerSecond)} evaluations/s  {Numbers.Duration(progress.Left)} left"
            : best;
    }
}
