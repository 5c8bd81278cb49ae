using XoverOpt.Acoustics;
using XoverOpt.Search;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Purchasing;
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
    private readonly WorkshopStore _store;
    private readonly Random64 _random;
    private readonly RankedBuild _judged;
    private readonly EarpieceResponse _response;
    private string _name = "";

    public PartUsesStore(JobDocument job, WorkshopStore store, ulong seed)
    {
        _job = job;
        _store = store;
        _random = new Random64(seed);
        _space = new LayoutSpace(job.Problem);
        _tables = new ProblemTables(job.Problem, 6);
        Earpiece first = Draw();
        var evaluation = new BuildEvaluation(job.Problem);
        _judged = evaluation.Judge(first);
        _response = evaluation.Response(first);
    }

    /// <summary>Adds runs until their builds use so many parts.</summary>
    /// <param name="rows">Rows of part uses.</param>
    /// <returns>How many were added.</returns>
    public long Fill(long rows)
    {
        long filled = 0;
        for (int run = 0; filled < rows; run++)
        {
            StoredBuild[] builds = [.. Enumerable.Range(1, BuildsPerRun).Select(Build)];
            _name = run % RunsPerJob == 0 ? Guid.NewGuid().ToString() : _name;
            string id = _store.Runs.Submit(new(_name, _job.SelfContainedJson, _name, _job.Inventory.Hash, 1, BuildFile.ProgramVersion)).RunId;
            RunClaim claim = _store.Runs.TryClaim(id, "benchmark", TimeSpan.FromMinutes(1))!;
            _store.Runs.Finish(id, claim.Epoch, new(RunState.Done, "finished", null, null, null, builds));
            filled += builds.Sum(build => BuildParts.Of(build.Json).Count);
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
