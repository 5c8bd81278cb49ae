using System.Diagnostics;
using XoverOpt.Search;
using XoverOpt.Workshop.Running;

namespace XoverOpt.Benchmarks;

/// <summary>
/// As good a build as a time allows: searches with new seeds, one after another, each with the evaluations that its share of the time
/// pays for, until a build is good enough or the time is up. A search plans its stages by its evaluations, so the time is turned into
/// evaluations by the rate measured before. Everything counts: setting up, every evaluation, and the finish of a search cut short; a
/// build that turns up after the time is not taken.
/// </summary>
/// <param name="problem">What is searched.</param>
/// <param name="threads">Threads that evaluate at once.</param>
/// <param name="rate">Evaluations a second to plan by, as from <see cref="Rate"/>.</param>
internal sealed class ReachSearch(Problem problem, int threads, double rate)
{
    /// <summary>Kept for the short finish that makes a search cut short buildable: a second on an idle machine, more on a busy one.</summary>
    private static readonly TimeSpan Finish = TimeSpan.FromSeconds(1.5);

    private readonly Stopwatch _clock = new();
    private TimeSpan _end = TimeSpan.MaxValue;

    /// <summary>The best build that can be bought, feasible ones first; null before the first.</summary>
    public RankedBuild? Best { get; private set; }

    /// <summary>When it was found, from the start.</summary>
    public TimeSpan BestAfter { get; private set; }

    /// <summary>Time used.</summary>
    public TimeSpan Used => _clock.Elapsed;

    /// <summary>Evaluations of all searches.</summary>
    public long Evaluations { get; private set; }

    /// <summary>Searches begun.</summary>
    public int Searches { get; private set; }

    /// <summary>Evaluations a second of the last search worth timing.</summary>
    public double MeasuredRate { get; private set; } = rate;

    /// <summary>Ends the run when it says so of the best build.</summary>
    public Func<RankedBuild, bool> Enough { get; init; } = _ => false;

    /// <summary>Hears of every new best build.</summary>
    public Action OnBetter { get; init; } = () => { };

    /// <summary>Hears of every search that ended, with the result.</summary>
    public Action<SearchResult> OnEnded { get; init; } = _ => { };

    /// <summary>Evaluations a second on a problem, by one short search.</summary>
    public static double Rate(Problem problem, int threads)
    {
        var trial = new ReachSearch(problem, threads, 0);
        trial._clock.Start();
        trial.Search(1, 50_000, TimeSpan.FromSeconds(20));
        return trial.MeasuredRate;
    }

    /// <summary>Starts from a build already known.</summary>
    public void Offer(RankedBuild build)
    {
        if (Best is null || BuildRanking.Order.Compare(build, Best) < 0)
        {
            Best = build;
            BestAfter = Used;
            OnBetter();
        }
    }

    /// <summary>Searches.</summary>
    /// <param name="time">Time to use.</param>
    /// <param name="seed">Seed of the first search; each further one takes the next.</param>
    /// <param name="first">Share of the time the first search is planned for.</param>
    /// <param name="growth">How many times as much each further one is planned for.</param>
    public void Run(TimeSpan time, ulong seed, double first, double growth)
    {
        _end = time;
        _clock.Start();
        double planned = first * time.TotalSeconds;
        for (TimeSpan left = time; left > 1.3 * Finish && !Done; left = time - Used)
        {
            // A tenth is left over, lest a search that runs slower than planned is cut before its end.
            double most = 0.9 * (left - Finish).TotalSeconds, seconds = most < 1.5 * planned ? most : planned;
            Search(seed++, (long)Math.Max(seconds * MeasuredRate, 1000), left - Finish);
            planned *= growth;
        }

        _clock.Stop();
    }

    private bool Done => Best is not null && Enough(Best);

    private void Search(ulong seed, long evaluations, TimeSpan time)
    {
        using var stop = new CancellationTokenSource(time);
        TimeSpan before = Used;
        Searches++;
        SearchRun? run = null;
        run = new SearchRun(
            problem with { Effort = problem.Effort with { Evaluations = evaluations, Minutes = null, Seed = seed } },
            new RunPace { Threads = threads, ProgressEvery = TimeSpan.FromMilliseconds(100) },
            TimeProvider.System)
        {
            OnProgress = progress =>
            {
                // Only what would be better is worth judging while the search works.
                if (Best is not { Feasible: true } || progress.Search.BestCost < Best.Cost.Total)
                {
                    Take(run!.SoFar);
                    if (Done)
                    {
                        stop.Cancel();
                    }
                }
            },
        };
        SearchResult result = run.Run(stop.Token);
        Take(result);
        Evaluations += result.Evaluations;
        double seconds = (Used - before).TotalSeconds;
        if (seconds > 0.5)
        {
            MeasuredRate = result.Evaluations / seconds;
        }

        OnEnded(result);
    }

    private void Take(SearchResult result)
    {
        if (result.Builds.Count > 0 && Used <= _end)
        {
            Offer(result.Builds[0]);
        }
    }
}
