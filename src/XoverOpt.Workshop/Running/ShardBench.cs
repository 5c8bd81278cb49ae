using XoverOpt.Search;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Workshop.Running;

/// <summary>Evaluates shards that other workers' runs lend. Keeps what a run's trials need, for the run seen last. Not for several threads at once.</summary>
/// <param name="read">The problem of a run; null if there is no such run.</param>
public sealed class ShardBench(Func<string, Problem?> read)
{
    private (string RunId, CheckpointOrigin Origin, TrialRunner Runner)? _kept;

    /// <summary>The results of a shard; null if it is of another program, job or inventory than can be had here.</summary>
    /// <param name="shard">The shard.</param>
    /// <param name="leave">Breaks it off.</param>
    /// <exception cref="OperationCanceledException">It was broken off.</exception>
    public byte[]? Evaluate(Shard shard, CancellationToken leave)
    {
        ShardWork work = ShardWork.FromBytes(shard.Payload);
        if (work.Origin.ProgramVersion != BuildFile.ProgramVersion || Runner(shard.RunId, work.Origin) is not { } runner)
        {
            return null;
        }

        List<TrialResult> results = [];
        foreach (Trial trial in work.Trials)
        {
            TrialResult result = runner.Run(trial, leave);
            RunMeter.Evaluations.Add(result.Evaluations);
            results.Add(result);
        }

        return ShardWork.Results(results);
    }

    private TrialRunner? Runner(string runId, CheckpointOrigin wanted)
    {
        if (_kept?.RunId != runId)
        {
            if (read(runId) is not { } problem)
            {
                return null;
            }

            _kept = (runId, CheckpointOrigin.Of(problem), new TrialRunner(problem, new LayoutSpace(problem)));
        }

        return _kept.Value.Origin == wanted ? _kept.Value.Runner : null;
    }
}
