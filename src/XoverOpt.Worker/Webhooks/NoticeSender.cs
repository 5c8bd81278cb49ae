using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Webhooks;

/// <summary>
/// Sends the notices of ended runs from the store's outbox until each is taken or given up. A worker that dies amid sending is followed
/// by another after the lease, so a notice may come twice: the run's id tells.
/// </summary>
public sealed class NoticeSender(IOutbox outbox, IRunStore store, INews news, NoticeClient client, TimeProvider clock, ILogger<NoticeSender> log)
    : BackgroundService
{
    // After these pauses: eleven attempts over about a day and a half.
    private static readonly TimeSpan[] Pauses =
    [
        TimeSpan.FromSeconds(10), TimeSpan.FromSeconds(30), TimeSpan.FromMinutes(2), TimeSpan.FromMinutes(10), TimeSpan.FromMinutes(30),
        TimeSpan.FromHours(1), TimeSpan.FromHours(2), TimeSpan.FromHours(4), TimeSpan.FromHours(8), TimeSpan.FromHours(16),
    ];

    // Longer than one attempt can take.
    private static readonly TimeSpan Lease = TimeSpan.FromMinutes(1);
    private static readonly TimeSpan LookEvery = TimeSpan.FromSeconds(5);

    // An address that is slow to answer must not keep all others waiting.
    private const int AtOnce = 4;

    /// <summary>Attempts after which a notice is given up.</summary>
    public static int MostAttempts => Pauses.Length + 1;

    /// <inheritdoc/>
    protected override Task ExecuteAsync(CancellationToken stoppingToken) => Task.WhenAll(Enumerable.Range(0, AtOnce).Select(_ => Send(stoppingToken)));

    private async Task Send(CancellationToken stoppingToken)
    {
        while (true)
        {
            Task fresh = news.Coming(NewsTopic.Outbox);
            try
            {
                await SendDue(stoppingToken).ConfigureAwait(false);
            }
            catch (Exception failure) when (failure is not OperationCanceledException)
            {
                log.LogWarning("The store could not be asked for notices, trying again: {Failure}", failure.Message);
            }

            try
            {
                await fresh.WaitAsync(LookEvery, clock, stoppingToken).ConfigureAwait(false);
            }
            catch (TimeoutException)
            {
                // Retries come due without news.
            }
        }
    }

    /// <summary>Sends every notice that is due now, one after the other.</summary>
    internal async Task SendDue(CancellationToken end)
    {
        while (outbox.Take(Lease) is { } notice)
        {
            // A notice that was tried in vain until its worker died each time has an end, too.
            string? failure = notice.Attempts > MostAttempts ? "the worker died over it"
                : store.Find(notice.RunId) is not { } run ? "the run is gone"
                : await client.Send(new Uri(notice.Url), run, end).ConfigureAwait(false);
            if (failure is null)
            {
                outbox.Delivered(notice);
                log.LogInformation("Run {RunId}: its end was told at attempt {Attempt}", notice.RunId, notice.Attempts);
                continue;
            }

            TimeSpan? pause = notice.Attempts <= Pauses.Length ? Pauses[notice.Attempts - 1] : null;
            outbox.Failed(notice, failure, pause);
            log.LogWarning(
                "Run {RunId}: its end could not be told at attempt {Attempt}, {Next}: {Failure}",
                notice.RunId, notice.Attempts, pause is null ? "given up" : "trying again", failure);
        }
    }
}
