using System.Globalization;
using System.Text;
using XoverOpt.Worker.Host;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Changes;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Api;

/// <summary>Finds stored runs as they are compared.</summary>
public sealed class StoredRuns(IRunStore store, WorkerSettings settings)
{
    /// <summary>A run with its job, drawer and builds; null where there is none of that id.</summary>
    /// <exception cref="InvalidDataException">The store holds what this program cannot read.</exception>
    public KeptRun? Find(string runId)
    {
        if (store.Find(runId) is not { } run || store.Job(runId) is not { } job)
        {
            return null;
        }

        Reading<KeptRun> reading = KeptRun.Of(
            runId,
            JobFile.ReadPosted(Encoding.UTF8.GetBytes(job), settings.InventoryRoot),
            store.Builds(runId).Select(build => (string.Create(CultureInfo.InvariantCulture, $"build {build.Rank}"), build.Json)),
            run.Result);
        return reading.IsGood
            ? reading.Value with { ProgramVersion = reading.Value.ProgramVersion ?? run.ProgramVersion }
            : throw new InvalidDataException("the store holds what can no longer be read: " + string.Join("; ", reading.Faults.Select(fault => fault.Message)));
    }
}
