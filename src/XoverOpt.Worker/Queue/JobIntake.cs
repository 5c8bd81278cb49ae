using System.Security.Cryptography;
using XoverOpt.Search;
using XoverOpt.Worker.Host;
using XoverOpt.Worker.Webhooks;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Queue;

/// <summary>Takes a job in, whichever way it came: reads it, keeps it, rings for it.</summary>
public sealed class JobIntake(IRunStore store, Bell bell, NoticeRule notices, WorkerSettings settings, TimeProvider clock)
{
    /// <summary>A client's mark with the hash of what it was sent with.</summary>
    public static IdempotencyKey Key(string mark, ReadOnlySpan<byte> job) => new(mark, Convert.ToHexStringLower(SHA256.HashData(job)));

    /// <summary>Takes a job in; what is wrong with it becomes faults, and nothing is kept.</summary>
    /// <param name="job">The job, UTF-8 JSON; its inventory is looked for in the worker's.</param>
    /// <param name="key">Makes sending it twice one run; null for none.</param>
    public Intake Take(ReadOnlyMemory<byte> job, IdempotencyKey? key)
    {
        // A request sent again gets its first answer, even if the inventory has changed since.
        if (key is not null && store.Known(key) is { } known)
        {
            return new Intake(known, []);
        }

        job = ParentBuild.PutIn(job, store, out Fault? unknown);
        Reading<JobDocument> reading = unknown is null ? JobFile.ReadPosted(job, settings.InventoryRoot) : new(null, [unknown]);
        IReadOnlyList<Fault> faults = reading.IsGood ? [.. Untimely(reading.Value.Schedule)] : reading.Faults;
        if (faults.Count > 0)
        {
            return new Intake(null, faults);
        }

        JobDocument document = reading.Value!;
        Problem problem = document.Problem;
        NewRun run = new(
            problem.Name, document.SelfContainedJson, problem.JobHash, problem.InventoryHash, problem.Effort.Seed, BuildFile.ProgramVersion, document.Schedule)
        { Notify = document.Schedule.Notify?.AbsoluteUri };
        Submission submission = store.Submit(run, key);

        // The run is kept; the ring only saves it the wait for the reconciler.
        if (submission.Kind == SubmissionKind.Kept)
        {
            bell.Ring(submission.RunId);
        }

        return new Intake(submission, []);
    }

    private IEnumerable<Fault> Untimely(JobSchedule schedule)
    {
        if (schedule.Deadline <= clock.GetUtcNow())
        {
            yield return new Fault(JobFile.PostedName, "/schedule/deadline", "a time that has passed", "a time to come");
        }

        if (schedule.Notify is { } address && notices.Complaint(address) is { } complaint)
        {
            yield return new Fault(JobFile.PostedName, "/schedule/notify", complaint.Found, complaint.Allowed);
        }
    }
}

/// <summary>What came of a job handed in: either a submission or faults.</summary>
/// <param name="Submission">The run it became or was known as; null if it is wrong.</param>
/// <param name="Faults">What is wrong with it.</param>
public sealed record Intake(Submission? Submission, IReadOnlyList<Fault> Faults);
