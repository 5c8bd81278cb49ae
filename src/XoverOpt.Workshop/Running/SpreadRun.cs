using XoverOpt.Acoustics;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Running;

/// <summary>Runs the part-spread study of builds on some threads. The result has the same bits for any number of them.</summary>
public static class SpreadRun
{
    /// <summary>Studies builds of one job, all on the same draws.</summary>
    /// <param name="problem">The job.</param>
    /// <param name="earpieces">The builds.</param>
    /// <param name="settings">What to assume and how many units to draw.</param>
    /// <param name="threads">Threads that work at once.</param>
    /// <param name="stop">Breaks it off.</param>
    /// <exception cref="OperationCanceledException">It was broken off.</exception>
    public static IReadOnlyList<SpreadResult> Of(
        Problem problem, IReadOnlyList<Earpiece> earpieces, SpreadSettings settings, int threads, CancellationToken stop = default)
    {
        var options = new ParallelOptions { MaxDegreeOfParallelism = threads, CancellationToken = stop };
        ProblemTables tables = SpreadStudy.Tables(problem);
        List<SpreadResult> results = [];
        foreach (Earpiece earpiece in earpieces)
        {
            SpreadStudy study = new(problem, earpiece, settings, tables);
            Parallel.For(0, study.Blocks, options, study.RunBlock);
            Parallel.For(0, study.Columns, options, study.RunColumn);
            results.Add(study.Result());
        }

        return results;
    }
}
