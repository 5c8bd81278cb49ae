using System.Globalization;
using XoverOpt.Acoustics;
using XoverOpt.Search;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Benchmarks;

/// <summary>
/// Fills a store with random builds of a job, whole build files with the response of one of them, through the doors that runs come in by:
/// twenty builds a run, a new job after every eighth run.
/// </summary>
internal sealed class PartUsesStore
{
    private const int BuildsPerRun = 20;
    private const int RunsPerJob = 8;
    private readonly JobDocument _job;
    private readonly LayoutSpace _space;
    private readonly ProblemTables _tables;
    private readonly Random64 _random = new(1);
    private readonly RankedBuild _judged;
    private readonly EarpieceResponse _response;

    public PartUsesStore(JobDocument job)
    {
        _job = job;
        _space = new LayoutSpace(job.Problem);
        _tables = new ProblemTables(job.Problem, 6);
        Earpiece first = Draw();
        var evaluation = new BuildEvaluation(job.Problem);
        _judged = evaluation.Judge(first);
        _response = evaluation.Response(first);
    }

    /// <summary>Runs kept.</summary>
    public List<string> Runs { get; } = [];

    /// <summary>Adds runs until their builds use so many parts.</summary>
    /// <param name="store">The store.</param>
    /// <param name="rows">Rows of part uses.</param>
    /// <returns>How many there are.</returns>
    public long Fill(WorkshopStore store, long rows)
    {
        long filled = 0;
        while (filled < rows)
        {
            StoredBuild[] builds = [.. Enumerable.Range(1, BuildsPerRun).Select(rank => Build(rank))];
            string name = string.Create(CultureInfo.InvariantCulture, $"job {Runs.Count / RunsPerJob}");
            string id = store.Runs.Submit(new(name, _job.SelfContainedJson, name, _job.Inventory.Hash, 1, BuildFile.ProgramVersion)).RunId;
            RunClaim claim = store.Runs.TryClaim(id, "benchmark", TimeSpan.FromMinutes(1))!;
            store.Runs.Finish(id, claim.Epoch, new(RunState.Done, "finished", null, null, null, builds));
            Runs.Add(id);
            filled += builds.Sum(build => Workshop.Purchasing.BuildParts.Of(build.Json).Count);
        }

        return filled;
    }

    private StoredBuild Build(int rank) => new(rank, 0.5 + (0.01 * rank), BuildFile.Write(_judged with { Rank = rank, Earpiece = Draw() }, _job.Problem, _response));

    private Earpiece Draw()
    {
        var candidate = new Candidate(_tables, _space, _space.Draw(_random) ?? throw new ArgumentException("The job allows no layout."));
        for (int q = 0; q < candidate.Ranges.Length; q++)
        {
            candidate.Hold(q, _random.Below(candidate.Ranges[q].Choices.Count));
        }

        return candidate.ToEarpiece();
    }
}
