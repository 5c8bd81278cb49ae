using System.Text;
using Microsoft.AspNetCore.Http.HttpResults;
using XoverOpt.Worker.Host;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Api;

/// <summary>Finds a stored build together with the job it was found for.</summary>
public sealed class StoredBuilds(IRunStore store, WorkerSettings settings)
{
    /// <summary>The build, or the answer to give where there is none.</summary>
    /// <param name="runId">The run.</param>
    /// <param name="rank">Rank of the build, 1 is best.</param>
    /// <param name="answer">The problem details; null where there is a build.</param>
    /// <exception cref="InvalidDataException">The store holds what this program cannot read.</exception>
    public BuildInJob? Find(string runId, int rank, out ProblemHttpResult? answer)
    {
        if (store.Job(runId) is not { } text)
        {
            answer = ApiProblems.NotFound($"There is no job '{runId}'.");
            return null;
        }

        if (store.Build(runId, rank) is not { } stored)
        {
            answer = ApiProblems.NotFound($"The job has no build of rank {rank} (yet).");
            return null;
        }

        answer = null;
        JobDocument job = Good(JobFile.ReadPosted(Encoding.UTF8.GetBytes(text), settings.InventoryRoot));
        return Good(BuildInJob.Read(Encoding.UTF8.GetBytes(stored.Json), $"build {rank}", job));
    }

    private static T Good<T>(Reading<T> reading)
        where T : class =>
        reading.IsGood ? reading.Value : throw new InvalidDataException("the store holds what can no longer be read: " + string.Join("; ", reading.Faults.Select(fault => fault.Message)));
}
