using System.Text.Json;
using XoverOpt.Search;
using XoverOpt.Worker.Host;
using XoverOpt.Workshop.Running;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Queue;

/// <summary>Helps runs that other processes hold, as long as this one has none of its own: takes shards, evaluates them, delivers.</summary>
public sealed class SpareHands(RunSharing sharing, OwnRuns own, IRunStore store, WorkerSettings settings, ILogger<SpareHands> log) : BackgroundService
{
    // A shard takes some hundredths of a second; one that is kept longer is evaluated by its run's holder, too.
    private static readonly TimeSpan Lease = TimeSpan.FromSeconds(10);
    private static readonly TimeSpan LookEvery = TimeSpan.FromMilliseconds(250);
    private static readonly TimeSpan Rest = TimeSpan.FromSeconds(1);

    /// <inheritdoc/>
    protected override Task ExecuteAsync(CancellationToken stoppingToken) => Task.WhenAll(Enumerable.Range(0, settings.Threads)
        .Select(_ => Task.Factory.StartNew(() => Work(stoppingToken), CancellationToken.None, TaskCreationOptions.LongRunning, TaskScheduler.Default)));

    private void Work(CancellationToken end)
    {
        ShardBench bench = new(Read);
        while (!end.IsCancellationRequested)
        {
            try
            {
                Task news = sharing.News.Coming(NewsTopic.Shards);
                if (own.None && sharing.Exchange.Take(RunJob.Owner, Lease) is { } shard)
                {
                    Evaluate(shard, bench, end);
                }
                else
                {
                    Task.WaitAny([news, Task.Delay(LookEvery, end)], CancellationToken.None);
                }
            }
            catch (Exception failure) when (!end.IsCancellationRequested)
            {
                // Whatever it is, the run's holder evaluates the shard itself.
                log.LogWarning("No shard could be helped with, trying again: {Failure}", failure.Message);
                end.WaitHandle.WaitOne(Rest);
            }
        }
    }

    private void Evaluate(Shard shard, ShardBench bench, CancellationToken end)
    {
        try
        {
            if (bench.Evaluate(shard, end) is { } results)
            {
                RunMeter.ShardsTaken.Add(1);
                sharing.Exchange.Deliver(shard, results);
            }
            else
            {
                // Not given back: it would be taken again at once. Others may after the lease.
                log.LogDebug("Run {RunId}: a shard of another program, job or inventory is left to others", shard.RunId);
                end.WaitHandle.WaitOne(Rest);
            }
        }
        catch (Exception failure) when (failure is OperationCanceledException or JsonException)
        {
            sharing.Exchange.GiveBack(shard);
            throw;
        }
    }

    private Problem? Read(string runId) => store.Job(runId) is { } job ? RunJob.ReadJob(job, settings) : null;
}
