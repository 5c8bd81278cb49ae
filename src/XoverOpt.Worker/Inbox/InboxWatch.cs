using XoverOpt.Worker.Host;
using XoverOpt.Worker.Queue;

namespace XoverOpt.Worker.Inbox;

/// <summary>Looks into the watched folder as long as the worker runs. By looking, not by notices of the system, which network disks do not give.</summary>
public sealed class InboxWatch(WorkerSettings settings, JobIntake intake, TimeProvider clock, ILogger<InboxWatch> log) : BackgroundService
{
    /// <summary>The folder watched where none is asked for, if it is there.</summary>
    public const string UsualPath = "jobs/inbox";

    /// <inheritdoc/>
    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        string path = settings.InboxPath ?? (Directory.Exists(UsualPath) ? UsualPath : "");
        if (path.Length == 0)
        {
            return;
        }

        log.LogInformation("Watching {Folder} for job files", path);
        InboxFolder folder = new(path, intake.Take, settings.InboxSettle, clock, log);
        using PeriodicTimer timer = new(settings.InboxSettle / 2, clock);
        string? told = null;
        while (await timer.WaitForNextTickAsync(stoppingToken).ConfigureAwait(false))
        {
            try
            {
                folder.Look();
                told = null;
            }
            catch (Exception failure) when (failure is System.Data.Common.DbException or IOException or UnauthorizedAccessException)
            {
                // The store or the disk may be away for a moment; said once, not every second.
                if (told != failure.Message)
                {
                    log.LogWarning("The watched folder {Folder} waits: {Failure}", path, failure.Message);
                    told = failure.Message;
                }
            }
        }
    }
}
